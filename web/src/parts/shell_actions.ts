/** The actions that are there in every place. */

import { redo, sendNow, undo, device } from '../offline/index.ts';
import { shell } from '../strings/shell.ts';
import { register, type Action } from './actions.svelte.ts';
import { askAnew } from './anew.svelte.ts';
import { choose, go, route } from './route.svelte.ts';
import { set, settings, type Theme } from './settings.svelte.ts';
import type { ShownIn } from '../geometry/lengths.ts';
import { tellingOf } from './told.svelte.ts';

const THEMES: readonly Theme[] = ['as the device', 'bright', 'dark'];
const LENGTHS: readonly ShownIn[] = ['own', 'm', 'ft'];

/** Register what can be done everywhere. */
export function registerShell(places: readonly { name: string; title: string }[]): void {
  const going: Action[] = places.map(({ name, title }) => ({ id: `go ${name}`, label: shell.goTo(title), run: () => go(name) }));
  const lights: Action[] = THEMES.map((theme) => ({
    id: `theme ${theme}`,
    label: shell.themeAction[theme] ?? theme,
    run: () => set('theme', theme),
    when: () => settings.theme !== theme,
  }));
  const lengths: Action[] = LENGTHS.map((shown) => ({
    id: `lengths ${shown}`,
    label: shell.lengthsAction[shown] ?? shown,
    run: () => set('lengths', shown),
    when: () => settings.lengths !== shown,
  }));
  register([
    { id: 'undo', label: shell.undoAction, key: 'mod+z', run: () => tellingOf(undo), when: () => device.person !== '' },
    { id: 'redo', label: shell.redoAction, key: 'mod+shift+z', run: () => tellingOf(redo), when: () => device.person !== '' },
    { id: 'send', label: shell.sendAction, run: sendNow, when: () => device.joined },
    { id: 'choose none', label: shell.chooseNone, run: () => choose(''), when: () => route.chosen !== '' },
    { id: 'anew', label: shell.anew, run: askAnew },
    ...going,
    ...lengths,
    ...lights,
  ]);
}
