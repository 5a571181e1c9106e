/** A few words to the person about what was just done; they stand for a while, or until the next press, and are read out. */

import { wordsOf } from '../api/refusal_words.ts';

const STAND_MS = 8_000;

let words = $state('');
let timer: ReturnType<typeof setTimeout> | undefined;

/** The words that stand now. */
export const told = {
  get words(): string {
    return words;
  },
};

/** Say something for a while; the next press anywhere puts it away, so that it covers nothing that is wanted. */
export function tellPerson(said: string): void {
  words = said;
  clearTimeout(timer);
  timer = setTimeout(putAway, STAND_MS);
  document.addEventListener('pointerdown', putAway, { once: true, capture: true });
}

function putAway(): void {
  words = '';
  clearTimeout(timer);
}

/** Do something and say what came of it, a refusal in its own words. */
export async function tellingOf(doing: () => Promise<string | void>): Promise<void> {
  try {
    const said = await doing();
    if (said) tellPerson(said);
  } catch (refusal) {
    tellPerson(wordsOf(refusal));
  }
}
