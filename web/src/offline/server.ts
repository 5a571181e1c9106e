/** What this device asks of the site server under /api/sync and /api/uploads. */

import { Refusal, sent } from '../api/client.ts';
import type { Change } from './change.ts';
import type { Folded } from './fold.ts';

export interface Joined {
  readonly token: string;
  readonly person: string;
  readonly device: string;
  readonly expires: unknown;
}

export interface Hello {
  readonly site: string;
  readonly code: string;
  readonly name: string;
  readonly revision: number;
  readonly now: number;
  readonly app: string;
  readonly view: string;
  readonly person: string;
  readonly device: string;
}

export interface RecordsPage {
  readonly revision: number;
  readonly records: readonly (Folded & { readonly gone?: boolean })[];
  readonly next: string | null;
}

export interface Taken {
  readonly revision: number;
  readonly kept: readonly string[];
  readonly notes: readonly { change: string; message: string }[];
  readonly refused?: readonly { change: string; message: string }[];
}

export interface Upload {
  readonly held: number;
  readonly whole: boolean;
}

export interface Block {
  readonly id: string;
  readonly series: string;
  readonly first: number;
  readonly last: number;
  readonly person: string;
}

const post = (path: string, body: unknown): Promise<Response> =>
  sent(path, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) });

export async function join(code: string, person: string, device: string): Promise<Joined> {
  return (await post('sync/join', { code, person, device })).json() as Promise<Joined>;
}

export async function hello(): Promise<Hello> {
  return (await sent('sync/hello')).json() as Promise<Hello>;
}

export async function recordsAfter(revision: number, page: string | null): Promise<RecordsPage> {
  const asked = new URLSearchParams({ after: String(revision), ...(page ? { page } : {}) });
  return (await sent(`sync/records?${asked}`)).json() as Promise<RecordsPage>;
}

export async function giveChanges(changes: readonly Change[]): Promise<Taken> {
  return (await post('sync/changes', { changes })).json() as Promise<Taken>;
}

export async function askBlock(series: string, size: number): Promise<Block> {
  return (await post('sync/block', { series, size })).json() as Promise<Block>;
}

export async function uploadOf(sha: string): Promise<Upload> {
  return (await sent(`uploads/${sha}`)).json() as Promise<Upload>;
}

export async function upload(sha: string, offset: number, size: number, piece: Blob): Promise<Upload> {
  const asked = new URLSearchParams({ offset: String(offset), size: String(size) });
  return (await sent(`uploads/${sha}?${asked}`, { method: 'PUT', body: piece })).json() as Promise<Upload>;
}

/** Return a photo as a small JPEG. */
export async function smallPicture(sha: string): Promise<Blob> {
  return (await sent(`thumbs/${sha}`)).blob();
}

/** Tell whether the server turned the device away for its token. */
export function turnedAway(refusal: unknown): refusal is Refusal {
  return refusal instanceof Refusal && refusal.code.startsWith('token_');
}

/** Tell whether there was no answer at all. */
export function outOfReach(refusal: unknown): boolean {
  return refusal instanceof Refusal && refusal.code === 'out_of_reach';
}
