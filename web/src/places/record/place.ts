import { record } from '../../strings/record.ts';
import type { Place } from '../place.ts';
import RecordPlace from './RecordPlace.svelte';

export const place: Place = { name: 'record', title: record.place, glyph: 'record', rank: 15, page: RecordPlace };
