/** What every record drawn here says of who drew it and when. */

import { today } from '../../parts/form/today.ts';
import { device } from '../../offline/index.ts';

export function recorded(): { recorded_by: string; recorded_on: string } {
  return { recorded_by: device.person, recorded_on: today() };
}

/** Return the number after a number: its last digits counted on, `S09` to `S10`; a 1 is put behind words. */
export function numberAfter(number: string): string {
  const found = /^(.*?)(\d+)$/.exec(number.trim());
  if (!found) return `${number.trim()}1`;
  const [, before = '', digits = '0'] = found;
  return `${before}${String(Number(digits) + 1).padStart(digits.length, '0')}`;
}
