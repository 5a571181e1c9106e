/** What every place needs and the shell fetches once: the site, the facts of every field, the cautions. */

import * as api from '../api/client.ts';
import type { Caution, FieldView, KindView, SiteView, UnitLine } from '../api/schema.ts';
import { knowFields, start } from '../offline/index.ts';

interface Held {
  site: SiteView;
  units: UnitLine[];
  kinds: Map<string, KindView>;
  cautions: Caution[];
}

let held: Held | undefined;

export async function fetchHeld(): Promise<Held> {
  await start();
  const [site, units, kinds, cautions] = await Promise.all([api.site(), api.units(), api.fields(), api.cautions()]);
  knowFields(kinds);
  held = { site, units, kinds: new Map(kinds.map((kind) => [kind.kind, kind])), cautions };
  return held;
}

function now(): Held {
  if (!held) throw new Error('a place was drawn before the site was fetched');
  return held;
}

export const theSite = (): SiteView => now().site;
export const theUnits = (): UnitLine[] => now().units;
export const cautionsOf = (place: string): Caution[] => now().cautions.filter((caution) => caution.place === place);
export const kindTitle = (kind: string): string => now().kinds.get(kind)?.title ?? kind;

/** Return the fields of a kind that belong to a record of that sort: of a cut, those of cuts. */
export function fieldsOf(kind: string, sort = ''): FieldView[] {
  const fields = now().kinds.get(kind)?.fields ?? [];
  return fields.filter((field) => field.applies.length === 0 || !sort || field.applies.includes(sort));
}
