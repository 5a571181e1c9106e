/** Words beside a measure stand among the notes of the record, a line each, under the field's name: “Length: taken along the base.” */

export function notesBeside(notes: string, label: string): string[] {
  return notes
    .split('\n')
    .filter((line) => line.startsWith(`${label}: `))
    .map((line) => line.slice(label.length + 2));
}

export function withNote(notes: string, label: string, words: string): string {
  const line = `${label}: ${words.trim().split(/\s+/).join(' ')}`;
  return notes.trim() === '' ? line : `${notes.trimEnd()}\n${line}`;
}
