/** What is asked of the readings: questions weighed as they stand, as this device has them, and as they stood. */

import { json, sent } from './client.ts';
import type { BegunView, ChangesView, PostedQuestion, ProposalsView, ReadingsView, WeighView } from './schema.ts';

const part = encodeURIComponent;

export const readings = (): Promise<ReadingsView> => json('readings');
export const question = (number: string): Promise<WeighView> => json(`readings/${part(number)}`);
export const proposals = (number: string): Promise<ProposalsView> => json(`readings/${part(number)}/proposals`);
export const changes = (number: string): Promise<ChangesView> => json(`readings/${part(number)}/changes`);
export const then = (number: string, time: string): Promise<WeighView> => json(`readings/${part(number)}/then?${new URLSearchParams({ time })}`);

export function begin(pattern: string, about: readonly string[]): Promise<BegunView> {
  return json(`readings/begin?${new URLSearchParams([['pattern', pattern], ...about.map((id) => ['about', id])])}`);
}

/** Weigh a question as this device has it; the server keeps nothing of it. */
export const weigh = (posted: PostedQuestion): Promise<WeighView> => post('readings/weigh', posted);

/** Ask what the record says to the pattern of a question as this device has it. */
export const propose = (posted: PostedQuestion): Promise<ProposalsView> => post('readings/propose', posted);

async function post<T>(path: string, body: PostedQuestion): Promise<T> {
  const asked = { method: 'POST', body: JSON.stringify(body), headers: { 'content-type': 'application/json', accept: 'application/json' } };
  return (await sent(path, asked)).json() as Promise<T>;
}
