import { sync } from '../../strings/sync.ts';
import type { Place } from '../place.ts';
import JoinPage from './JoinPage.svelte';

export const place: Place = { name: 'join', title: sync.joinTitle, glyph: 'join', rank: 100, page: JoinPage, corner: true, bare: true };
