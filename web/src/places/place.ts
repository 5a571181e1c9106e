/** What a place is: one folder with a `place.ts` that exports one of these; the shell finds it by itself. */

import type { Component } from 'svelte';

import type { GlyphName } from '../parts/glyphs.ts';

export interface Place {
  /** Its word in the address. */
  readonly name: string;
  readonly title: string;
  readonly glyph: GlyphName;
  /** Where it stands in the list of places, from the top. */
  readonly rank: number;
  readonly page: Component;
  /** Reached from the head and the list of actions, and left out of the list of places. */
  readonly corner?: boolean;
  /** Needs nothing of the site, so that it is there before the site was fetched. */
  readonly bare?: boolean;
}
