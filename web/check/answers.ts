/** Answers questions about the rules of recording, JSON in and out, so that tests can hold them beside those of the site server. */

import { readFileSync } from 'node:fs';

import type { Change } from '../src/offline/change.ts';
import { absenceIn, applied, differs, foldRecord, type Folded } from '../src/offline/fold.ts';
import { idAt, laterTime, nextTime } from '../src/offline/identity.ts';
import { closeRun, endFault, reduceRun, type Booking } from '../src/geometry/levels_book.ts';
import { readLength, type LengthUnit } from '../src/geometry/read_length.ts';
import { notesBeside, withNote } from '../src/parts/form/notes_beside.ts';
import { dotsOf, SHARES } from '../src/parts/form/shares.ts';
import { latestFirst } from '../src/parts/latest_first.ts';
import { LoopWatch, type Ordered } from '../src/parts/loop.ts';
import { groupsOf } from '../src/places/record/groups.ts';
import type { FieldView } from '../src/api/schema.ts';

interface Run {
  readonly bookings: Booking[];
  readonly benchmark?: number;
  readonly known?: number;
  readonly metres: number;
  readonly limit?: number;
}

const RULES: Readonly<Record<string, (asked: never) => unknown>> = {
  length: ({ text, own }: { text: string; own: LengthUnit }) => {
    try {
      return readLength(text, own);
    } catch (refusal) {
      return { refusal: refusal instanceof Error ? refusal.message : String(refusal) };
    }
  },
  levels: ({ bookings, benchmark, known, metres, limit }: Run) => {
    const run = reduceRun(bookings, benchmark, metres);
    return { ...run, end: endFault(bookings), closure: closeRun(run, known, metres, limit) ?? null };
  },
  ids: ({ milliseconds, bits }: { milliseconds: number; bits: string }) => idAt(milliseconds, BigInt(bits)),
  times: ({ clocks, seen }: { clocks: number[]; seen: string[] }) => {
    const times: string[] = [];
    clocks.forEach((clock, at) => times.push(nextTime(laterTime(times[at - 1] ?? '0000000000000.000000', seen[at] ?? ''), clock)));
    return times;
  },
  fold: ({ changes, base }: { changes: Change[]; base: number }) => ({
    whole: told(foldRecord(changes)),
    // as a device does it: some changes in the base that the server folded, the rest one by one on top, some of them held already
    onTop: told(changes.slice(Math.max(0, base - 2)).reduce<Folded | undefined>(applied, base > 0 ? foldRecord(changes.slice(0, base)) : undefined)),
  }),
  loop: ({ relations, asked }: { relations: Ordered[]; asked: Omit<Ordered, 'id'>[] }) => {
    const watch = new LoopWatch();
    watch.hold(relations);
    const began = performance.now();
    const loops = asked.map((one) => watch.loopOf(one));
    return { loops, milliseconds: performance.now() - began };
  },
  shares: () => SHARES.map((share) => ({ ...share, dots: dotsOf(share.percent) })),
  groups: ({ kind, fields, sort }: { kind: string; fields: FieldView[]; sort: string }) =>
    groupsOf(kind, fields, sort).map((group) => ({ title: group.title, fields: group.fields.map((field) => field.name) })),
  latest: ({ ids, relations }: { ids: string[]; relations: Ordered[] }) => latestFirst(ids, relations),
  notes: ({ notes, label, words }: { notes: string; label: string; words: string }) => notesBeside(withNote(notes, label, words), label),
};

const questions = JSON.parse(readFileSync(0, 'utf8')) as { rule: string; asked: never }[];
process.stdout.write(JSON.stringify(questions.map(({ rule, asked }) => RULES[rule]?.(asked) ?? null)));

/** Return a folded record in the words of the site server: values and absences apart, heads by id, differences. */
function told(folded: Folded | undefined): unknown {
  const values: Record<string, unknown> = {};
  const absences: Record<string, string> = {};
  const heads: Record<string, string[]> = {};
  const differing: Record<string, string[]> = {};
  for (const [name, writes] of Object.entries(folded?.fields ?? {})) {
    const absence = absenceIn(writes[0]?.value);
    if (absence !== undefined) absences[name] = absence;
    else if (writes[0]?.value !== null) values[name] = writes[0]?.value;
    heads[name] = writes.map((write) => write.change).sort();
    if (differs(writes)) differing[name] = writes.map((write) => write.change);
  }
  return { kind: folded?.kind, id: folded?.id, values, absences, heads, differing };
}
