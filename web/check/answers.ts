/** Answers questions about the rules of recording, JSON in and out, so that tests can hold them beside those of the site server. */

import { readFileSync } from 'node:fs';

import { closeRun, endFault, reduceRun, type Booking } from '../src/geometry/levels_book.ts';
import { readLength, type LengthUnit } from '../src/geometry/read_length.ts';
import { LoopWatch, type Ordered } from '../src/parts/loop.ts';

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
  loop: ({ relations, asked }: { relations: Ordered[]; asked: Omit<Ordered, 'id'>[] }) => {
    const watch = new LoopWatch();
    watch.hold(relations);
    const began = performance.now();
    const loops = asked.map((one) => watch.loopOf(one));
    return { loops, milliseconds: performance.now() - began };
  },
};

const questions = JSON.parse(readFileSync(0, 'utf8')) as { rule: string; asked: never }[];
process.stdout.write(JSON.stringify(questions.map(({ rule, asked }) => RULES[rule]?.(asked) ?? null)));
