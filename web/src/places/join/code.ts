/** The code of the address that was opened is kept for this tab, so that one may look about first and join later. */

const KEY = 'joining code';

export function keepCode(code: string): void {
  try {
    sessionStorage.setItem(KEY, code);
  } catch {
    // a browser that keeps nothing for the tab: the code is typed again
  }
}

export function keptCode(): string {
  try {
    return sessionStorage.getItem(KEY) ?? '';
  } catch {
    return '';
  }
}

export function forgetCode(): void {
  try {
    sessionStorage.removeItem(KEY);
  } catch {
    // nothing was kept
  }
}
