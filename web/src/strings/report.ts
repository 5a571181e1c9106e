/** The words of the place Report. */

export const reportWords = {
  place: 'Report',
  title: (unit: string) => `Report of unit ${unit}`,
  version: 'Version',
  whole: 'whole, restricted',
  public: 'public',
  keepPdf: 'Keep as PDF',
  keepHtml: 'Keep as HTML',
  publicOnly:
    'This is the public version: burials, exact places and the names of owners are withheld and listed as withheld. Read its free text before it leaves the office: words that tell a place cannot all be found by rule.',
  wholeToo: 'The whole report tells of burials and exact places. Show it only to those who may know.',
  chapters: 'Chapters',
  appendix: (number: string) => `Appendix ${number}`,
  table: (number: string) => `Table ${number}`,
  figure: (number: string) => `Figure ${number}`,
  rows: (count: number) => `${count.toLocaleString()} ${count === 1 ? 'row' : 'rows'}`,
  source: (source: string) => `Source: ${source}`,
  blankCell: '–',
} as const;
