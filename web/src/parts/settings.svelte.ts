/** What the reader set on this device: quantity of lengths and theme. */

import type { ShownIn } from '../geometry/lengths.ts';

export type Theme = 'as the device' | 'bright' | 'dark';

interface Settings {
  lengths: ShownIn;
  theme: Theme;
  /** Whether the walk through the example was made or put off. */
  walked: boolean;
}

const KEY = 'baulk settings';

function kept(): Settings {
  const fresh: Settings = { lengths: 'own', theme: 'as the device', walked: false };
  try {
    return { ...fresh, ...(JSON.parse(localStorage.getItem(KEY) ?? '{}') as Partial<Settings>) };
  } catch {
    return fresh; // a device that keeps nothing for pages still shows them
  }
}

export const settings: Settings = $state(kept());

export function set<K extends keyof Settings>(name: K, value: Settings[K]): void {
  settings[name] = value;
  try {
    localStorage.setItem(KEY, JSON.stringify(settings));
  } catch {
    // the setting then lasts until the page is closed
  }
  applyTheme();
}

export function applyTheme(): void {
  const root = document.documentElement;
  if (settings.theme === 'as the device') delete root.dataset['theme'];
  else root.dataset['theme'] = settings.theme;
}
