/** A few words to the person about what was just done; they stand for a while and are read out. */

const STAND_MS = 8_000;

let words = $state('');
let timer: ReturnType<typeof setTimeout> | undefined;

/** The words that stand now. */
export const told = {
  get words(): string {
    return words;
  },
};

/** Say something for a while. */
export function tellPerson(said: string): void {
  words = said;
  clearTimeout(timer);
  timer = setTimeout(() => {
    words = '';
  }, STAND_MS);
}

/** Do something and say what came of it, a refusal in its own words. */
export async function tellingOf(doing: () => Promise<string | void>): Promise<void> {
  try {
    const said = await doing();
    if (said) tellPerson(said);
  } catch (refusal) {
    tellPerson(refusal instanceof Error ? refusal.message : String(refusal));
  }
}
