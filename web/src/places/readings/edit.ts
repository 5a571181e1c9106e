/** What this device does to a question: what belongs to it, and the changes that the page makes. */

import type { CellLine, NewItem, EvidenceLine, PostedQuestion, WeighView } from '../../api/schema.ts';
import { all, create, createMany, get, newId, pointing, write, type Held } from '../../offline/index.ts';
import { box } from '../../strings/record.ts';

/** Return a question with all that belongs to it as this device has it; undefined when the device does not carry it. */
export function gathered(question: string): PostedQuestion | undefined {
  const held = get(question);
  if (!held) return undefined;
  const evidence = pointing('evidence', 'question', question);
  const records = [held, ...pointing('reading', 'question', question), ...evidence, ...pointing('test', 'question', question)];
  const cells = evidence.flatMap((piece) => [...pointing('expectation', 'evidence', piece.id)]);
  return { question, treatment: '', records: [...records, ...cells].map(posted) };
}

function posted(held: Held): PostedQuestion['records'][number] {
  return { kind: held.kind as PostedQuestion['records'][number]['kind'], id: held.id, values: { ...held.values } };
}

/** Return the device's own record of a question by its number or id. */
export function questionOf(number: string): Held | undefined {
  const found = get(number);
  return found?.kind === 'question' ? found : all('question').find((one) => one.values['number'] === number);
}

/** Say how expected a piece is under a reading: writes the cell's own record, or makes it. */
export async function say(piece: EvidenceLine, cell: CellLine, field: 'word' | 'why' | 'source', value: string): Promise<void> {
  const own = pointing('expectation', 'evidence', piece.id).find((one) => one.values['reading'] === cell.reading);
  if (own) await write(own.id, field, value || null);
  else if (value) await create('expectation', { evidence: piece.id, reading: cell.reading, [field]: value, ...(field !== 'word' && cell.expected ? { word: cell.expected } : {}) });
}

/** Write one field of a reading, a piece, a test or the question; an empty text blanks it. */
export async function put(id: string, field: string, value: string | number | boolean | null): Promise<void> {
  await write(id, field, value === '' ? null : value);
}

/** Return the number that was typed, with a point or a comma, or null for an empty box; throws in words when it is none or out of bounds. */
export function numberIn(text: string, least = -Infinity, most = Infinity): number | null {
  if (text.trim() === '') return null;
  const value = Number(text.trim().replace(',', '.'));
  if (!Number.isFinite(value)) throw new Error(box.noNumber(text));
  if (value < least || value > most) throw new Error(box.outside(text, least, most));
  return value;
}

/** Make the records that the server proposes, each under an id of this device's own, in one act. Returns the id of the first. */
export async function make(items: readonly NewItem[], changed: Readonly<Record<string, unknown>> = {}): Promise<string> {
  const ids = new Map(items.map((item) => [item.id, newId()]));
  const own = (value: unknown): unknown => (typeof value === 'string' ? (ids.get(value) ?? value) : value);
  const made = items.map((item, place) => ({
    kind: item.kind,
    id: ids.get(item.id) ?? newId(),
    values: Object.fromEntries(Object.entries({ ...item.values, ...(place === 0 ? changed : {}) }).map(([field, value]) => [field, own(value)])),
  }));
  await createMany(made);
  return made[0]?.id ?? '';
}

/** Enter a piece of evidence; its mark follows the last one. */
export async function addPiece(view: WeighView, saw: string, seen: boolean): Promise<string> {
  const marks = pointing('evidence', 'question', view.id).map((one) => Number(String(one.values['number'] ?? '').split('.').at(-1)));
  const last = Math.max(0, ...marks.filter(Number.isFinite));
  const number = `${view.number || '?'}.${String(last + 1).padStart(2, '0')}`;
  return create('evidence', { question: view.id, number, saw, seen, records: view.about.map((link) => link.id) });
}

/** Add a reading that competes; its mark is the next free letter. */
export async function addReading(view: WeighView, name: string): Promise<string> {
  const taken = new Set(pointing('reading', 'question', view.id).map((one) => one.values['number']));
  const letter = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ'].find((mark) => !taken.has(`${view.number}${mark}`)) ?? '';
  return create('reading', { question: view.id, name, ...(letter ? { number: `${view.number}${letter}` } : {}) });
}

/** Ask a question of one's own: the readings as named, and always one more, that it was none of these. */
export async function askOwn(asks: string, names: readonly string[], about: readonly string[], last: string): Promise<string> {
  const numbers = all('question').map((one) => Number(one.values['number'])).filter(Number.isFinite);
  const number = String(Math.max(0, ...numbers) + 1);
  const question = newId();
  const readings = [...names, last].map((name, place) => ({
    kind: 'reading',
    values: { question, name, number: `${number}${String.fromCharCode(65 + place)}` },
  }));
  await createMany([{ kind: 'question', id: question, values: { number, asks, about } }, ...readings]);
  return number;
}

/** Enter a look not taken yet, with the chance of each answer under each reading. */
export async function addLook(
  view: WeighView,
  does: string,
  hours: number,
  lost: boolean,
  chances: Readonly<Record<string, number>>,
  [yes, no]: readonly [string, string],
): Promise<string> {
  const others = Object.fromEntries(Object.entries(chances).map(([reading, chance]) => [reading, Number((1 - chance).toFixed(6))]));
  const number = `${view.number}-T${pointing('test', 'question', view.id).length + 1}`;
  const values = { question: view.id, number, does, hours, only_open: lost ? 'lost for good' : 'recoverable', outcomes: { [yes]: chances, [no]: others } };
  return create('test', values);
}
