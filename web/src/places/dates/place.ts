import { datesWords } from '../../strings/dates.ts';
import type { Place } from '../place.ts';
import DatesPage from './DatesPage.svelte';

export const place: Place = { name: 'dates', title: datesWords.place, glyph: 'dates', rank: 32, page: DatesPage };
