/** What is asked of the order. */

import { json } from './client.ts';
import type { DoubtView, LikelyView, MissedView, PhasePage, WhyView } from './schema.ts';

export const doubts = (): Promise<DoubtView> => json('order/doubts');
export const missed = (): Promise<MissedView> => json('order/missed');

export const why = (later: string, earlier: string): Promise<WhyView> => json(`order/why?${new URLSearchParams({ later, earlier })}`);

export const likely = (one: string, other: string): Promise<LikelyView> => json(`order/likely?${new URLSearchParams({ one, other })}`);

export function phases(asked: { offset: number; limit: number; conflicts: boolean }): Promise<PhasePage> {
  const words = new URLSearchParams({ offset: String(asked.offset), limit: String(asked.limit), conflicts: String(asked.conflicts) });
  return json(`order/phases?${words}`);
}
