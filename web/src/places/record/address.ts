/** Where in the place the recorder is: the detail of the address, such as `sheet.<id>.<field>` or `relate.<id>`. */

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

export function open(page: string, id = '', field = ''): void {
  go(PLACE, detailOf(page, id, field));
}

function detailOf(page: string, id: string, field: string): string {
  return [page, id, field].join('.').replace(/\.+$/, '');
}
