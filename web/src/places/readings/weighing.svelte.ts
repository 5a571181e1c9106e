/** Weighs a question anew whenever something that belongs to it changes on this device; the last answer stays meanwhile. */

import * as api from '../../api/readings.ts';
import { Refusal } from '../../api/client.ts';
import { wordsOf } from '../../api/refusal_words.ts';
import type { ProposalLine, WeighView } from '../../api/schema.ts';
import { device } from '../../offline/index.ts';
import { readingsWords as words } from '../../strings/readings.ts';
import { gathered, questionOf } from './edit.ts';

const PAUSE_MS = 120;

export class Weighing {
  view = $state.raw<WeighView>();
  proposals = $state.raw<readonly ProposalLine[]>([]);
  problem = $state('');
  busy = $state(false);
  #key = '';
  #turn = 0;
  #unanswered = $state(false);
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(number: string) {
    const posted = $derived.by(() => {
      const held = device.joined ? questionOf(number) : undefined;
      return held ? gathered(held.id) : undefined;
    });
    $effect(() => {
      const body = posted;
      const key = body ? JSON.stringify(body) : number;
      const answers = device.online && this.#unanswered; // it is asked again once the server is there again
      if (key === this.#key && !answers) return; // the same values again, as when the server has acknowledged them
      this.#key = key;
      const turn = ++this.#turn;
      clearTimeout(this.#timer);
      this.#timer = setTimeout(() => void this.#ask(number, body, turn), this.view ? PAUSE_MS : 0);
    });
    $effect(() => () => clearTimeout(this.#timer));
  }

  async #ask(number: string, body: ReturnType<typeof gathered>, turn: number): Promise<void> {
    this.busy = true;
    try {
      const [view, found] = await Promise.all(body ? [api.weigh(body), api.propose(body)] : [api.question(number), api.proposals(number)]);
      if (turn !== this.#turn) return;
      [this.view, this.proposals, this.problem, this.#unanswered] = [view, found.proposals, '', false];
    } catch (refusal) {
      if (turn !== this.#turn) return;
      this.#unanswered = this.view !== undefined && refusal instanceof Refusal && refusal.code === 'out_of_reach';
      this.problem = this.#unanswered ? words.notWeighed : wordsOf(refusal);
    } finally {
      if (turn === this.#turn) this.busy = false;
    }
  }
}
