/**
 * Fingers, pen and mouse on the sheet. With a tool that draws, one finger or the pen draws and two fingers move and resize; a second
 * finger that comes soon ends a stroke begun by mistake. Once a pen has been seen a finger or palm only moves the sheet.
 */

import { place, type Place } from '../../geometry/places.ts';

type OnScreen = Place<'screen'>;

export interface Acts {
  /** Whether one pointer draws a line. */
  strokes(): boolean;
  /** Whether only a pen draws. */
  penOnly(): boolean;
  sawPen(): void;
  /** Take hold of what is there; tells whether there was something. */
  grab(at: OnScreen): boolean;
  dragged(to: OnScreen): void;
  pan(across: number, down: number): void;
  zoom(factor: number, about: OnScreen): void;
  /** The line so far. */
  drawing(line: readonly OnScreen[]): void;
  drawn(line: readonly OnScreen[]): void;
  cancelled(): void;
  press(at: OnScreen): void;
}

/** Pixels that a press may wander before it is a line or a move. */
const STILL = 7;
/** Milliseconds within which a second finger means that both were to move the sheet. */
const SOON = 350;
/** Pixels between the places of a stroke that are kept. */
const STEP = 1.5;

interface Down {
  readonly type: string;
  readonly from: OnScreen;
  at: OnScreen;
}

type Role = 'nothing' | 'waiting' | 'draws' | 'drags' | 'moves';

export class Hand {
  readonly #acts: Acts;
  readonly #down = new Map<number, Down>();
  #role: Role = 'nothing';
  #leader = -1;
  #line: OnScreen[] = [];
  #began = 0;

  constructor(acts: Acts) {
    this.#acts = acts;
  }

  down(event: PointerEvent): void {
    const at = spotOf(event);
    if (event.pointerType === 'pen') this.#takePen();
    if (event.pointerType === 'touch' && this.#penIsDown()) return; // the palm of the hand that holds the pen
    this.#down.set(event.pointerId, { type: event.pointerType, from: at, at });
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    if (this.#down.size === 1) this.#begin(event, at);
    else if (this.#role === 'draws' && event.timeStamp - this.#began > SOON) this.#down.delete(event.pointerId);
    else this.#both();
  }

  move(event: PointerEvent): void {
    const held = this.#down.get(event.pointerId);
    if (!held) return;
    const at = spotOf(event);
    if (this.#role === 'moves') this.#moved(event.pointerId, held.at, at);
    held.at = at;
    if (event.pointerId !== this.#leader) return;
    if (this.#role === 'waiting' && away(held.from, at) > STILL) this.#decide(held);
    if (this.#role === 'draws') this.#draw(event);
    else if (this.#role === 'drags') this.#acts.dragged(at);
  }

  up(event: PointerEvent): void {
    if (!this.#down.delete(event.pointerId)) return;
    const [role, line] = [this.#role, this.#line];
    if (event.pointerId !== this.#leader && role !== 'moves') return;
    if (this.#down.size > 0) return; // the other finger may go on moving
    this.#role = 'nothing';
    this.#line = [];
    if (event.type === 'pointercancel') this.#acts.cancelled();
    else if (role === 'waiting') this.#acts.press(spotOf(event));
    else if (role === 'draws') this.#acts.drawn(line);
  }

  #begin(event: PointerEvent, at: OnScreen): void {
    this.#leader = event.pointerId;
    this.#began = event.timeStamp;
    this.#line = [at];
    const moves = event.button > 0 || (event.pointerType === 'touch' && this.#acts.penOnly());
    this.#role = moves ? 'moves' : this.#acts.grab(at) ? 'drags' : 'waiting';
  }

  #decide(held: Down): void {
    this.#role = this.#acts.strokes() ? 'draws' : 'moves';
    if (this.#role === 'moves') this.#acts.pan(held.at[0] - held.from[0], held.at[1] - held.from[1]);
  }

  #draw(event: PointerEvent): void {
    const steps = event.getCoalescedEvents?.() ?? [];
    for (const step of steps.length > 0 ? steps : [event]) {
      const at = spotOf(step, event);
      if (away(this.#line[this.#line.length - 1] as OnScreen, at) >= STEP) this.#line.push(at);
    }
    this.#acts.drawing(this.#line);
  }

  #both(): void {
    if (this.#role === 'draws' || this.#role === 'drags') this.#acts.cancelled();
    this.#role = 'moves';
  }

  #moved(id: number, before: OnScreen, now: OnScreen): void {
    const other = [...this.#down].find(([one]) => one !== id)?.[1];
    if (!other) {
      this.#acts.pan(now[0] - before[0], now[1] - before[1]);
      return;
    }
    this.#acts.pan((now[0] - before[0]) / 2, (now[1] - before[1]) / 2);
    const factor = Math.max(1, away(now, other.at)) / Math.max(1, away(before, other.at));
    this.#acts.zoom(factor, place((now[0] + other.at[0]) / 2, (now[1] + other.at[1]) / 2));
  }

  #takePen(): void {
    this.#acts.sawPen();
    if (this.#down.size > 0) this.#acts.cancelled();
    for (const [id, held] of this.#down) if (held.type === 'touch') this.#down.delete(id);
    this.#role = 'nothing';
  }

  #penIsDown(): boolean {
    return [...this.#down.values()].some((one) => one.type === 'pen');
  }
}

/** Return where a pointer is in the frame that listens, also for the finer steps that belong to one event. */
function spotOf(event: PointerEvent, of: PointerEvent = event): OnScreen {
  const frame = (of.currentTarget as HTMLElement).getBoundingClientRect();
  return place(event.clientX - frame.left, event.clientY - frame.top);
}

const away = (one: OnScreen, other: OnScreen): number => Math.hypot(one[0] - other[0], one[1] - other[1]);
