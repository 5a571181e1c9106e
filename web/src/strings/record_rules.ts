/** Words of the rules of recording: what refuses a length or a line of the levels book, and how a loop is told. */

const short = (text: string): string => (text.length > 60 ? `${text.slice(0, 57)}…` : text);

/** The same sentences as the readers of the record use, so that a person meets one wording. */
export const lengthRefusals = {
  blank: 'The length is blank. Give a number with its quantity, such as 2.50 m, or leave the field out.',
  tooLong: 'This is too long for a length.',
  comma: 'A comma may stand for decimals or for thousands; here it is not taken for either.',
  commaNext: 'Write decimals with a point',
  inchMark: 'After the feet stands a number that may be inches or tenths; tenths of a foot and inches are different.',
  inchMarkNext: 'Write 10 ft 4 in for inches, or 10.4 ft for tenths',
  unreadable: 'This is no length that can be read.',
  next: 'Write 2.50 m, 250 cm, 10.4 ft or 10 ft 4 3/4 in',
  mixed: (feet: string) => `${feet} ft is already in tenths, and inches follow; tenths of a foot and inches are not mixed in one length.`,
  mixedNext: 'Write either 10.4 ft or 10 ft 4 3/4 in',
  both: 'The inches have both decimals and a fraction.',
  bothNext: 'Write 4.5 in or 4 1/2 in',
  noTape: (fraction: string) => `${fraction} in is not a fraction of a tape: halves, quarters, eighths and sixteenths below one inch are.`,
  noTapeNext: 'Write 4 3/16 in',
  aFoot: (inch: string) => `${inch} in beside feet is a foot or more; beside feet the inches run from 0 to below 12.`,
  aFootNext: 'Carry the twelve inches into the feet',
  given: (text: string, why: string, next: string) => `The length is given as “${short(text)}”. ${why} ${next}.`,
} as const;

type Sight = 'backsight' | 'intermediate sight' | 'foresight';

/** What is wrong with a line of the levels book; the sentences of the reduction on the site server. */
export const bookFaults = {
  noBenchmark:
    'The level run has no benchmark. Levels are heights above a known point: give the level of the first point, or an assumed one (such as 100.000) and say that it is assumed.',
  noStaff: (name: Sight, reading: string) => `the ${name} is given as ${reading} m, which no staff shows; look up the figure in the book.`,
  longStaff: (name: Sight, reading: string) => `${name} ${reading} is longer than a staff of 5 m: is the decimal point in its place?`,
  starts: (held: string) => `the run starts with ${held}; it starts with a backsight alone, on the benchmark. Book it in the backsight column.`,
  ends: (held: string) =>
    `the run ends with ${held}; it ends with a foresight alone, so that the run closes. Read the staff on the benchmark again and book that foresight on a line of its own; only if this line is that sight does it belong in the foresight column.`,
  none: 'no staff reading; book the reading, or take the line out.',
  noForesight:
    'a backsight without a foresight; the instrument was moved without a turning point. Book the foresight to this point from the set-up before, or begin a new run here.',
  noBacksight:
    'a foresight without a backsight, but the run goes on; if this is a turning point book the backsight from the new set-up, if the set-up stayed book the reading as an intermediate sight.',
  beside: 'an intermediate sight beside a backsight or foresight; a point is either intermediate or a turning point.',
  noReading: 'no reading',
  and: ' and ',
} as const;
