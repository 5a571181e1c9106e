import { sync } from '../../strings/sync.ts';
import type { Place } from '../place.ts';
import SettlePage from './SettlePage.svelte';

export const place: Place = { name: 'settle', title: sync.settleTitle, glyph: 'settle', rank: 80, page: SettlePage };
