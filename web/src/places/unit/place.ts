import { words } from '../../strings/strings.ts';
import type { Place } from '../place.ts';
import UnitPage from './UnitPage.svelte';

export const place: Place = { name: 'unit', title: words.unit, glyph: 'unit', rank: 20, page: UnitPage };
