/** What is being typed into one box: kept on a pause and on leaving, so that typing never waits. */

import { wordsOf } from '../../api/refusal_words.ts';
import { LengthRefusal } from '../../geometry/read_length.ts';
import { box } from '../../strings/record.ts';
import { BoxRefusal, type Reading } from './read_value.ts';

interface Acts {
  /** Read what is typed; throws the refusal in words. */
  read(text: string): Reading;
  /** Have a value on the device's disk. */
  keep(reading: Reading): Promise<void>;
  /** A kept value as it stands in the box. */
  shown(value: unknown): string;
}

/** Milliseconds without a key after which what stands in the box is kept. */
const PAUSE = 700;

export class Typed {
  text = $state('');
  /** `kept` once the disk has it; nothing is said before anything was typed. */
  state = $state<'rest' | 'typing' | 'keeping' | 'kept'>('rest');
  refusal = $state('');
  readonly #acts: Acts;
  #known: string | undefined;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #turn = 0;

  constructor(acts: Acts) {
    this.#acts = acts;
  }

  /** Take in the value that the record holds, unless something is being typed over it. */
  follow(value: unknown): void {
    const known = JSON.stringify(value ?? null);
    if (known === this.#known || this.state === 'typing' || this.state === 'keeping') return;
    this.#known = known;
    this.text = this.#acts.shown(value);
    this.refusal = '';
  }

  input(text: string): void {
    this.text = text;
    this.state = 'typing';
    this.refusal = '';
    this.#turn += 1;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.flush(false), PAUSE);
  }

  /** Keep what stands in the box; a half-typed number is refused only when the box is left. */
  async flush(leaving = true): Promise<void> {
    clearTimeout(this.#timer);
    if (this.state !== 'typing') return;
    const turn = this.#turn;
    let reading: Reading;
    try {
      reading = this.#acts.read(this.text);
    } catch (refusal) {
      if (leaving) this.refusal = refusal instanceof BoxRefusal || refusal instanceof LengthRefusal ? `${box.notKeptYet} ${refusal.message}` : String(refusal);
      return;
    }
    this.state = 'keeping';
    const before = this.#known;
    this.#known = JSON.stringify(reading.value ?? null);
    try {
      await this.#acts.keep(reading);
      this.state = turn === this.#turn ? 'kept' : 'typing';
      this.refusal = '';
    } catch (refusal) {
      this.#known = before;
      this.state = 'typing';
      this.refusal = wordsOf(refusal);
    }
  }
}
