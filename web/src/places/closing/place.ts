import { words } from '../../strings/strings.ts';
import type { Place } from '../place.ts';
import ClosingPage from './ClosingPage.svelte';

export const place: Place = { name: 'closing', title: words.closing, glyph: 'closing', rank: 40, page: ClosingPage };
