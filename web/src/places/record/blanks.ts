/** Which fields of a record are blank, by how much they are needed. */

import type { FieldView } from '../../api/schema.ts';
import { factsOf, type Held } from '../../offline/index.ts';
import { groupsOf, LOST_GROUPS } from './groups.ts';

export const sortOf = (one: Held): string => (one.kind === 'context' ? String(one.values['kind'] ?? '') : '');

export function isBlank(one: Held, field: FieldView): boolean {
  return one.values[field.name] === undefined && one.absences[field.name] === undefined;
}

/** Return the blank fields that are mandatory or expected, in the order of the sheet. */
export function blanksOf(one: Held): FieldView[] {
  return groupsOf(one.kind, factsOf(one.kind), sortOf(one))
    .flatMap((group) => group.fields)
    .filter((field) => field.need !== 'optional' && isBlank(one, field));
}

/** Return the blank mandatory fields whose answer is lost once the unit is filled in. */
export function lostBlanksOf(one: Held): FieldView[] {
  return groupsOf(one.kind, factsOf(one.kind), sortOf(one))
    .filter((group) => LOST_GROUPS.includes(group.name))
    .flatMap((group) => group.fields)
    .filter((field) => field.need === 'mandatory' && isBlank(one, field));
}
