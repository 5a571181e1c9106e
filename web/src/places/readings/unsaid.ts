/** Cells in which nobody said a word, and pieces that are counted once: what the page tells of them. */

import type { EvidenceLine, WeighView } from '../../api/schema.ts';
import { createMany, get, pointing, writeMany } from '../../offline/index.ts';
import { readingsWords as words } from '../../strings/readings.ts';

/** Return the pieces that do not count yet, since a cell of theirs is not said. */
export function waitingPieces(view: WeighView): EvidenceLine[] {
  return view.pieces.filter((piece) => piece.unsaid.length > 0 && !piece.of_test);
}

/** Return the marks of the readings under which nobody spoke of a piece; the name where a reading has none. */
export function unsaidMarks(view: WeighView, piece: EvidenceLine): string[] {
  const left = view.readings.filter((reading) => piece.unsaid.includes(reading.id)).map((reading) => reading.mark || reading.name);
  return left.sort((one, other) => one.localeCompare(other, undefined, { numeric: true }));
}

/** Say “cannot say” in every cell of these pieces that is not said. */
export async function sayRest(pieces: readonly EvidenceLine[]): Promise<void> {
  const left = pieces.flatMap((piece) => piece.unsaid.map((reading) => ({ piece, reading, own: ownCell(piece.id, reading) })));
  const held = left.flatMap(({ own }) => (own ? [{ id: own, field: 'word', value: words.cannotSay }] : []));
  const fresh = left.filter(({ own }) => !own);
  if (held.length > 0) await writeMany(held);
  await createMany(fresh.map(({ piece, reading }) => ({ kind: 'expectation', values: { evidence: piece.id, reading, word: words.cannotSay } })));
}

function ownCell(piece: string, reading: string): string {
  return pointing('expectation', 'evidence', piece).find((one) => one.values['reading'] === reading)?.id ?? '';
}

/** Tell that a piece is counted once together with others, and whether its own word under a reading carries weight; else nothing. */
export function countedOnce(view: WeighView, piece: EvidenceLine, reading: string): string {
  if (!piece.cause || view.treatment === 'in full' || piece.unsaid.length > 0 || piece.set_aside) return '';
  const others = view.pieces.filter((one) => one.id !== piece.id && one.cause === piece.cause && !one.set_aside && (one.of_test || one.unsaid.length === 0));
  if (others.length === 0) return '';
  const marks = others.map((one) => one.mark || one.saw);
  if (view.treatment === 'shared') return words.onceShared(marks, piece.cause, others.length + 1);
  const best = (one: EvidenceLine): number => one.cells.find((cell) => cell.reading === reading)?.best ?? 1;
  const least = others.reduce((held, one) => (best(one) < best(held) ? one : held));
  if (best(piece) < best(least)) return words.onceStands(marks, piece.cause);
  if (best(piece) > best(least)) return words.onceBehind(least.mark || least.saw, marks, piece.cause);
  return words.onceAlike(marks, piece.cause);
}

/** Whether the word of a cell was said after the reason beside it was written. */
export function isOldReason(cell: string): boolean {
  const heads = get(cell)?.heads;
  const [word, why] = [heads?.['word']?.[0], heads?.['why']?.[0]];
  return Boolean(word && why?.value && word.time > why.time);
}
