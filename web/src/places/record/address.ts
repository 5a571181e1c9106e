/** Where in the place the recorder is: the detail of the address, such as `sheet.<id>.<field>` or `relate.<id>`. */

import { labelOf, type Held } from '../../offline/index.ts';
import { addressOf, go, route } from '../../parts/route.svelte.ts';

export const PLACE = 'record';

export interface Here {
  readonly page: string;
  /** Id of the record or context that the page begins with; empty when none. */
  readonly id: string;
  /** Field of a sheet that is wanted; empty when none. */
  readonly field: string;
}

export function here(): Here {
  const [page = '', id = '', field = ''] = route.detail.split('.');
  return { page, id, field };
}

export function to(page: string, id = '', field = ''): string {
  return addressOf(PLACE, detailOf(page, id, field));
}

/** Return where the outline of a context is drawn: the plan of its unit, with the context in hand. */
export function toDraw(context: Held): string {
  const { units } = context.values;
  const unit: unknown = Array.isArray(units) ? units[0] : undefined;
  return addressOf('draw', typeof unit === 'string' ? [labelOf(unit), 'plan', context.id].join('/') : '');
}

export function open(page: string, id = '', field = ''): void {
  go(PLACE, detailOf(page, id, field));
}

function detailOf(page: string, id: string, field: string): string {
  return [page, id, field].join('.').replace(/\.+$/, '');
}
