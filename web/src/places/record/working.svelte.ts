/** The unit that is worked on, remembered on this device; what belongs to it. */

import { all, get, pointing, type Held } from '../../offline/index.ts';
import { stackOf } from '../../parts/device_order.svelte.ts';
import { byNumber } from '../../parts/form/by_number.ts';

const KEY = 'baulk working unit';

function kept(): string {
  try {
    return localStorage.getItem(KEY) ?? '';
  } catch {
    return ''; // a device that keeps nothing for pages begins with the first open unit
  }
}

let chosen = $state(kept());

export function workOn(unit: string): void {
  chosen = unit;
  try {
    localStorage.setItem(KEY, unit);
  } catch {
    // the choice then lasts until the page is closed
  }
}

/** Units in the order of their numbers, open ones first. */
export function units(): Held[] {
  const sorted = byNumber(all('unit'));
  return [...sorted.filter((unit) => unit.values['closed'] === undefined), ...sorted.filter((unit) => unit.values['closed'] !== undefined)];
}

/** The unit worked on; undefined on a site without units. */
export function theUnit(): Held | undefined {
  const known = get(chosen);
  return known?.kind === 'unit' && known.values['void'] === undefined ? known : units()[0];
}

/** The contexts of the unit worked on, latest first. */
export function theStack(): Held[] {
  const unit = theUnit();
  return unit ? stackOf(byNumber(pointing('context', 'units', unit.id))) : [];
}
