/** Drafts that are not kept as records yet, so that a reload or a flat battery in the middle of an outline loses no corner. */

const BEFORE = 'baulk draft ';

/** Keep a draft under a name; undefined forgets it. A device that keeps nothing for pages still draws. */
export function keepDraft(name: string, draft: unknown): void {
  try {
    if (draft === undefined) localStorage.removeItem(BEFORE + name);
    else localStorage.setItem(BEFORE + name, JSON.stringify(draft));
  } catch {
    // the draft then lasts until the page is closed
  }
}

/** Return the draft kept under a name, when there is one. */
export function draftOf(name: string): unknown {
  try {
    const text = localStorage.getItem(BEFORE + name);
    return text === null ? undefined : JSON.parse(text);
  } catch {
    return undefined;
  }
}
