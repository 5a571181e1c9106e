/** What a record is called: its number, or the words that tell which one it is. */

import { facts } from './facts.svelte.ts';
import { get } from './records.svelte.ts';

const TELLING = ['title', 'name', 'subject', 'object', 'asks', 'mark', 'purpose', 'says', 'done', 'saw', 'does', 'why', 'day'];

export function labelOf(id: string): string {
  const one = get(id);
  if (!one) return `… ${id.slice(-6)}`;
  const { number, later, earlier, how } = one.values;
  if (number !== undefined) return String(number);
  if (typeof later === 'string' && typeof earlier === 'string') return `${labelOf(later)} ${String(how ?? '?')} ${labelOf(earlier)}`;
  const context = one.values['context'];
  if (typeof context === 'string') return `${kindTitle(one.kind)} · ${labelOf(context)}`;
  const said = TELLING.map((field) => one.values[field]).find((words) => typeof words === 'string' && words);
  return said ? String(said) : `${kindTitle(one.kind)} ${id.slice(-6)}`;
}

export function kindTitle(kind: string): string {
  return facts.kinds.find((one) => one.kind === kind)?.title ?? kind.replaceAll('_', ' ');
}

/** Return the trade's name of a field. */
export function fieldLabel(kind: string, field: string): string {
  return facts.kinds.find((one) => one.kind === kind)?.fields.find((one) => one.name === field)?.label ?? field.replaceAll('_', ' ');
}
