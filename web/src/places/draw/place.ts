import { drawWords } from '../../strings/draw.ts';
import type { Place } from '../place.ts';
import DrawPage from './DrawPage.svelte';

export const place: Place = { name: 'draw', title: drawWords.place, glyph: 'draw', rank: 22, page: DrawPage };
