import { words } from '../../strings/strings.ts';
import type { Place } from '../place.ts';
import RegistersPage from './RegistersPage.svelte';

export const place: Place = { name: 'registers', title: words.registers, glyph: 'registers', rank: 50, page: RegistersPage };
