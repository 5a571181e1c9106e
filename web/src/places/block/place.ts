import { words } from '../../strings/strings.ts';
import type { Place } from '../place.ts';
import BlockPage from './BlockPage.svelte';

export const place: Place = { name: 'block', title: words.block, glyph: 'block', rank: 25, page: BlockPage };
