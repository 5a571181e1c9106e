/** Keys of a field: Tab goes from box to box; one key goes from a box to what stands beside its name, and back. */

const BESIDE = 'button[data-aid]';
const BOX = 'input, textarea, select, button:not([data-aid])';

/** Keys that go from a box to its aids, as a screen reader is told. */
export const AID_KEYS = 'Alt+ArrowUp F2';

/** Attach the keys to the element of a field. */
export function aidKeys(field: HTMLElement): () => void {
  const aids = (): HTMLElement[] => [...field.querySelectorAll<HTMLElement>(BESIDE)];

  function onkeydown(event: KeyboardEvent): void {
    const at = event.target instanceof HTMLElement ? aids().indexOf(event.target) : -1;
    const target = at < 0 ? fromBox(event) : fromAid(event, at);
    if (!target) return;
    event.preventDefault();
    event.stopPropagation();
    target.focus();
  }

  function fromBox(event: KeyboardEvent): HTMLElement | undefined {
    return event.key === 'F2' || (event.altKey && event.key === 'ArrowUp') ? aids()[0] : undefined;
  }

  function fromAid(event: KeyboardEvent, at: number): HTMLElement | undefined {
    const among = aids();
    if (event.key === 'ArrowRight' || event.key === 'ArrowLeft') return among.at((at + (event.key === 'ArrowRight' ? 1 : -1)) % among.length);
    return event.key === 'Escape' ? (field.querySelector<HTMLElement>(BOX) ?? undefined) : undefined;
  }

  field.addEventListener('keydown', onkeydown);
  return () => field.removeEventListener('keydown', onkeydown);
}
