/** Which fields of a register stand in its table: the telling ones first, and only those that some record of the page fills. */

import type { FieldView, RecordView } from '../../api/schema.ts';

const MOST = 7;
const NEVER = new Set(['number', 'file', 'file_name', 'term_list', 'recorded_by', 'recorded_on', 'checked_by', 'checked_on', 'void', 'notes', 'conditions']);
const LONG = new Set(['polygon', 'path', 'structured data']);

export function columnsOf(fields: readonly FieldView[], records: readonly RecordView[]): FieldView[] {
  const filled = (field: FieldView): number =>
    records.filter((record) => field.name in record.values || field.name in record.links || field.name in record.absences).length;
  return fields
    .filter((field) => !NEVER.has(field.name) && !LONG.has(field.quantity))
    .map((field, place) => ({ field, place, score: filled(field) * (field.need === 'optional' ? 1 : 2) }))
    .filter((one) => one.score > 0)
    .sort((one, other) => other.score - one.score || one.place - other.place)
    .slice(0, MOST)
    .sort((one, other) => one.place - other.place)
    .map((one) => one.field);
}
