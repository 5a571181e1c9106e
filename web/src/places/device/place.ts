import { sync } from '../../strings/sync.ts';
import type { Place } from '../place.ts';
import DevicePage from './DevicePage.svelte';

export const place: Place = { name: 'device', title: sync.deviceTitle, glyph: 'device', rank: 90, page: DevicePage, bare: true };
