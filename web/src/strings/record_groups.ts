/** Titles of the parts of a sheet. */

export const groupTitles = {
  known: 'What it is',
  seen: 'What is seen',
  size: 'How large',
  edges: 'Its edges',
  belongs: 'What it belongs to',
  dug: 'How it was dug',
  means: 'What it may mean',
  dated: 'Dates and phase',
  signed: 'Who wrote and who checked',
  why: 'Why here, and for what',
  laidOut: 'As laid out',
  before: 'Before digging',
  end: 'Where it ended',
  shows: 'What it shows',
  inPicture: 'In the picture',
  file: 'The frame',
  from: 'Where it is from',
  what: 'What it is',
  kept: 'What became of it',
  rest: 'The record',
} as const;
