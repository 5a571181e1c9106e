/** A run of the levels book, reduced by height of instrument while it is being read; the rules of the reduction on the site server. */

import { bookFaults as say } from '../strings/record_rules.ts';

/** One line; a reading that was not taken is undefined. Readings are in the site's own quantity. */
export interface Booking {
  readonly backsight?: number | undefined;
  readonly intermediate?: number | undefined;
  readonly foresight?: number | undefined;
}

export interface ReducedLine {
  /** Level of the line of sight that this point was read from; undefined on the first line and while it cannot be told. */
  readonly instrument: number | undefined;
  readonly level: number | undefined;
  /** The set-up that it was read from; 0 for the benchmark. */
  readonly setUp: number;
  /** Why its readings cannot be right; empty when they can. */
  readonly fault: string;
  /** A reading that may be mistaken; empty when none is. */
  readonly doubt: string;
}

export interface ReducedRun {
  readonly lines: readonly ReducedLine[];
  /** The line of sight of the instrument as it stands now; undefined before the first backsight. */
  readonly instrument: number | undefined;
  readonly setUps: number;
  readonly sumBacksights: number;
  readonly sumForesights: number;
  /** Whether it is whole: every line can be right, and it ends with a foresight. */
  readonly whole: boolean;
}

export interface Closure {
  /** Level reached less level known, in the site's own quantity. */
  readonly misclosure: number;
  readonly allowed: number;
  readonly within: boolean;
}

const STAFF = 5; // metres
const NO_STAFF = 100; // metres
/** Metres for each root of the number of set-ups: a house setting; from memory, common practice, no source. */
const HOUSE_LIMIT = 0.005;

const NAMES = { backsight: 'backsight', intermediate: 'intermediate sight', foresight: 'foresight' } as const;
type Column = keyof typeof NAMES;
const COLUMNS: readonly Column[] = ['backsight', 'intermediate', 'foresight'];

/** Reduce a run as far as it goes: a line that cannot be right has no level, and neither have those that rest on it. */
export function reduceRun(bookings: readonly Booking[], benchmark: number | undefined, metres: number): ReducedRun {
  const lines: ReducedLine[] = [];
  let instrument: number | undefined;
  let setUp = 0;
  bookings.forEach((line, place) => {
    const fault = faultOf(line, { first: place === 0, last: place === bookings.length - 1, metres });
    const arriving = line.intermediate ?? line.foresight;
    const level = place === 0 ? benchmark : instrument === undefined || arriving === undefined ? undefined : instrument - arriving;
    lines.push({ instrument: place === 0 ? undefined : instrument, level, setUp, fault, doubt: doubtOf(line, metres) });
    if (line.backsight !== undefined) {
      setUp += 1;
      instrument = level === undefined ? undefined : level + line.backsight;
    }
  });
  const whole = bookings.length > 1 && endFault(bookings) === '' && benchmark !== undefined && lines.every((line) => line.fault === '');
  return { lines, instrument, setUps: setUp, sumBacksights: sum(bookings, 'backsight'), sumForesights: sum(bookings, 'foresight'), whole };
}

/** Hold the last level of a whole run beside the level known there; `limit` is in the site's own quantity. */
export function closeRun(run: ReducedRun, known: number | undefined, metres: number, limit?: number): Closure | undefined {
  const reached = run.lines.at(-1)?.level;
  if (!run.whole || known === undefined || reached === undefined) return undefined;
  const allowed = limit ?? (HOUSE_LIMIT * Math.sqrt(run.setUps)) / metres;
  const misclosure = reached - known;
  return { misclosure, allowed, within: Math.abs(misclosure) * metres <= allowed * metres + 1e-9 };
}

function sum(bookings: readonly Booking[], column: Column): number {
  return bookings.reduce((total, line) => total + (line[column] ?? 0), 0);
}

function given(line: Booking): Column[] {
  return COLUMNS.filter((column) => line[column] !== undefined);
}

function doubtOf(line: Booking, metres: number): string {
  const long = given(line).find((column) => Math.abs(line[column] ?? 0) * metres > STAFF);
  return long ? say.longStaff(NAMES[long], (line[long] ?? 0).toFixed(3)) : '';
}

/** Return why the readings of a line cannot be right; a last line with a backsight or an intermediate sight is a run not yet closed. */
function faultOf(line: Booking, { first, last, metres }: { first: boolean; last: boolean; metres: number }): string {
  const columns = given(line);
  const beyond = columns.find((column) => Math.abs(line[column] ?? 0) * metres > NO_STAFF);
  if (beyond) return say.noStaff(NAMES[beyond], String(line[beyond]));
  const held = columns.join(' ');
  if (first) return held === 'backsight' ? '' : say.starts(inWords(columns));
  if (held === 'intermediate' || held === 'backsight foresight' || (last && held === 'foresight')) return '';
  if (held === '') return say.none;
  if (held === 'backsight') return say.noForesight;
  if (held === 'foresight') return say.noBacksight;
  return say.beside;
}

/** Return what is wrong with the end of a run that is said to be closed: it must end with a foresight alone. */
export function endFault(bookings: readonly Booking[]): string {
  const last = bookings.at(-1);
  if (!last || given(last).join() === 'foresight') return '';
  return say.ends(inWords(given(last)));
}

function inWords(columns: readonly Column[]): string {
  return columns.map((column) => NAMES[column]).sort().join(say.and) || say.noReading;
}
