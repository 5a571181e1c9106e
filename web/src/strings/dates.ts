/** Words of the place Dates. */

const many = (count: number, one: string, more: string): string => `${count.toLocaleString()} ${count === 1 ? one : more}`;
const year = (given: number): string => (given > 0 ? String(given) : `${-given} BC`);

interface Piece {
  begin: number;
  end: number;
  share: number;
}

/** A range in words: "1799 to 1838", or several with their shares. */
function range(pieces: readonly Piece[]): string {
  const told = pieces.map((one) => `${year(one.begin)} to ${year(one.end)}${pieces.length > 1 ? ` (${Math.round(100 * one.share)} %)` : ''}`);
  return told.join(' or ');
}

export const datesWords = {
  place: 'Dates',
  title: 'Dates',
  help: 'Bounds follow from finds, documents and the order. Ranges come from the chronology, which also weighs what is absent; it is worked out when you ask for it.',

  worked: 'How likely each year is',
  workOut: 'Work out the chronology',
  workOutHelp: 'It takes from a few seconds to some minutes; the page may be left meanwhile. The answer is kept until the record changes.',
  refused: 'No dates are told.',
  absence: 'The absence of later finds',
  counted: 'counts',
  leftOut: 'is left out',
  notWorkedOut: 'Bounds alone are drawn.',
  drawing: 'Dates of the contexts, latest on top',

  contexts: 'Contexts, latest first',
  orLater: (given: number) => `${year(given)} or later`,
  orEarlier: (given: number) => `${year(given)} or earlier`,
  by: (what: string) => `: ${what}`,
  over: 'over',
  noBound: 'no bound',
  contradicted: 'contradicted',
  ranges: (outer: readonly Piece[], inner: readonly Piece[]) => `95 %: ${range(outer)}; 68 %: ${range(inner)}`,
  before: (pieces: readonly Piece[]) => `by order and span alone ${range(pieces)}`,
  orderAlone: 'nothing of its own dates it',
  range,

  whyTitle: 'Why this date?',
  whyContext: 'Context',
  hint: 'number',
  ask: 'Why?',
  takeChosen: (label: string) => `Take ${label}`,
  giveOne: 'Give the number of a context.',
  aids: 'Aids, side by side',
  aidsDrawing: (label: string) => `Aids to the date of ${label}`,
  aidSays: (begin: number | null, end: number | null, middle: number | null) => {
    const span = begin === null && end === null ? '' : begin === null ? `${year(Math.round(end ?? 0))} or earlier` : end === null ? `${year(Math.round(begin))} or later` : `${year(Math.round(begin))} to ${year(Math.round(end))}`;
    const one = middle === null ? '' : middle.toFixed(1);
    return one && span ? `${one} (${span})` : one || span || 'says nothing here';
  },
  offValidity: 'outside of what it holds for: not to be used',
  holdsFor: (what: string) => `Holds for ${what}.`,
  from: (source: string, mark: string) => `${source}; ${mark}.`,
  leftOutOf: (what: string) => `Left out: ${what}.`,
  noAids: 'No aid has anything to say of this context.',

  beforeTitle: 'Which is earlier?',
  first: 'Is this one earlier',
  second: 'than this one?',
  askBefore: 'How likely?',
  chance: (share: number) => (share > 0.99 ? 'above 99 per cent' : share < 0.01 ? 'below 1 per cent' : `${Math.round(100 * share)} per cent`),
  giveTwo: 'Give two contexts by number.',

  withinTitle: 'How likely is it of these years?',
  fromYear: 'From the year',
  toYear: 'To the year',
  giveContextAndYears: 'Give a context by number and two years.',
  giveYears: 'Give the years as whole numbers, the earlier first; years before Christ are negative.',

  spansTitle: 'How do two phases stand in time?',
  spansHelp: 'Write “phase 2”, or contexts by number: 104,107. Each runs from its earliest deposit to its latest, in whole years.',
  firstSpan: 'First phase or contexts',
  secondSpan: 'Second phase or contexts',
  askSpans: 'How do they stand?',
  giveTwoSpans: 'Give two: phases, or contexts by number.',

  absenceTitle: 'What the absence of later finds does',
  askAbsence: 'Compare with and without',
  absenceHelp: 'Both chronologies are worked out, which takes twice as long.',
  noAbsence: 'Nothing that is common later is absent from a deposit here, so absence says nothing.',
  withIt: 'counted',
  withoutIt: 'left out',

  bestTitle: 'What would date this best?',
  askBest: 'What would?',
  bestHelp: 'For each piece of work that could be done: by how many years the range would narrow on average, and for each hour of work. The hours are house figures.',
  hours: (hours: number) => `${hours.toLocaleString()} h`,
  narrows: (now: number, then: number, error: number) =>
    `${Math.round(now)} years would become ${Math.round(then)} on average (standard error ${error.toFixed(1)})`,
  noMoreThanChance: (years: number, error: number) => `Would hardly narrow it: by ${Math.max(0, years).toFixed(1)} years, standard error ${error.toFixed(1)}, which is under half a year or no more than chance.`,
  perHour: (years: number) => `${years.toPrecision(2)} years an hour`,

  sensitivityTitle: 'What if the suppositions were others?',
  askSensitivity: 'Vary them',
  sensitivityHelp: 'The chronology is worked out anew with intrusion, discard and absence varied one at a time, seed and all else the same. It takes several times as long as the chronology; the page may be left meanwhile, and the answer is kept.',
  nothingMoves: 'No date moves.',
  becomes: (before: readonly Piece[], after: readonly Piece[]) => `${range(before)} becomes ${range(after)}`,
  movedBy: (years: number) => `moved by ${many(years, 'year', 'years')}`,

  phases: 'The site and its phases',
  notIn: (count: number) => `Not in the chronology (${count.toLocaleString()})`,
  site: 'the site',
  starts: (pieces: readonly Piece[]) => `begins ${range(pieces)}`,
  ends: (pieces: readonly Piece[]) => `ends ${range(pieces)}`,
  lasts: (length: readonly number[]) => `lasts ${Math.round(length[0] ?? 0)} to ${Math.round(length[4] ?? 0)} years`,
  outOfPlace: 'What looks out of place',
  putIn: 'What was put in',
  supposed: 'What is supposed',
  drawn: (diagnosis: string, seed: number) => `${diagnosis} Seed ${seed}.`,

  oddTitle: (count: number) => `Radiocarbon ages to look at (${count.toLocaleString()})`,
  workedOutOf: 'worked out of',
  setBy: 'set by',

  contradictions: (count: number) => (count === 0 ? 'No contradiction' : many(count, 'contradiction', 'contradictions')),
  noContradictions: 'No find in or below a context was made after the year by which a document has it there.',
  waysOut: 'Ways out, and what each would cost',
  settles: 'settles it',
  notEnough: 'not enough',
  shift: (bound: string, before: number | null, after: number | null) =>
    `${bound.toUpperCase()} from ${before === null ? 'none' : year(before)} to ${after === null ? 'none' : year(after)}`,
  costs: (count: number) => (count === 0 ? 'No other bound would change.' : `It would change ${many(count, 'bound', 'bounds')}:`),
  leftOutTitle: (count: number) => `Sets no bound (${count.toLocaleString()})`,
  more: (shown: number, all: number) => `The first ${shown.toLocaleString()} of ${all.toLocaleString()}.`,
  notes: 'To be known',
} as const;
