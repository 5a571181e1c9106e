/** One pointer drags, two pinch, a short press chooses. */

interface Acts {
  /** Moved by shares of the frame's size. */
  pan(across: number, down: number): void;
  zoom(factor: number, across: number, down: number): void;
  press(target: Element): void;
}

interface Spot {
  readonly across: number;
  readonly down: number;
}

/** Pixels that a press may wander before it is a drag. */
const STILL = 6;

export class Fingers {
  readonly #acts: Acts;
  readonly #at = new Map<number, Spot>();
  #start: (Spot & { target: Element }) | undefined;
  #dragged = false;

  constructor(acts: Acts) {
    this.#acts = acts;
  }

  down(event: PointerEvent): void {
    if (event.button !== 0) return;
    const spot = spotOf(event);
    this.#at.set(event.pointerId, spot);
    if (this.#at.size === 1) {
      this.#start = { ...spot, target: event.target as Element };
      this.#dragged = false;
    }
  }

  move(event: PointerEvent): void {
    const before = this.#at.get(event.pointerId);
    if (!before || !this.#start) return;
    const now = spotOf(event);
    const wandered = Math.hypot(now.across - this.#start.across, now.down - this.#start.down);
    if (!this.#dragged && this.#at.size === 1 && wandered < STILL) return;
    const frame = event.currentTarget as HTMLElement;
    if (!this.#dragged) frame.setPointerCapture(event.pointerId);
    this.#dragged = true;
    const rect = frame.getBoundingClientRect();
    const other = [...this.#at].find(([id]) => id !== event.pointerId)?.[1];
    if (other) {
      const factor = apart(now, other) / Math.max(1, apart(before, other));
      this.#acts.zoom(factor, ((now.across + other.across) / 2 - rect.left) / rect.width, ((now.down + other.down) / 2 - rect.top) / rect.height);
    } else {
      this.#acts.pan((now.across - before.across) / rect.width, (now.down - before.down) / rect.height);
    }
    this.#at.set(event.pointerId, now);
  }

  up(event: PointerEvent): void {
    if (!this.#at.delete(event.pointerId) || this.#at.size > 0) return;
    const start = this.#start;
    this.#start = undefined;
    if (start && !this.#dragged && event.type === 'pointerup') this.#acts.press(start.target);
  }
}

function spotOf(event: PointerEvent): Spot {
  return { across: event.clientX, down: event.clientY };
}

function apart(one: Spot, other: Spot): number {
  return Math.hypot(one.across - other.across, one.down - other.down);
}
