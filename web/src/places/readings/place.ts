import { readingsWords } from '../../strings/readings.ts';
import type { Place } from '../place.ts';
import ReadingsPage from './ReadingsPage.svelte';

export const place: Place = { name: 'readings', title: readingsWords.place, glyph: 'readings', rank: 34, page: ReadingsPage };
