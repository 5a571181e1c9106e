import { words } from '../../strings/strings.ts';
import type { Place } from '../place.ts';
import OrderPage from './OrderPage.svelte';

export const place: Place = { name: 'order', title: words.order, glyph: 'order', rank: 30, page: OrderPage };
