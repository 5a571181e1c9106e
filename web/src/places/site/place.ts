import { words } from '../../strings/strings.ts';
import type { Place } from '../place.ts';
import SitePage from './SitePage.svelte';

export const place: Place = { name: 'site', title: words.site, glyph: 'site', rank: 10, page: SitePage };
