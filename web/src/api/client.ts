/** The one way to the server: typed by the description of its routes. */

import { keepAnswer, keptAnswer, showKept } from './kept.svelte.ts';
import type {
  Caution,
  ClosingView,
  KindView,
  OrderView,
  Problem,
  RecordPage,
  RegisterPage,
  ShapeView,
  SiteView,
  UnitLine,
  UnitView,
} from './schema.ts';

/** What the server answered instead of what was asked. */
export class Refusal extends Error {
  readonly code: string;

  constructor(problem: Problem) {
    super(problem.message);
    this.name = 'Refusal';
    this.code = problem.code;
  }
}

const OUT_OF_REACH: Problem = {
  code: 'out_of_reach',
  message: 'The server does not answer, and this was not seen before on this device. See whether the network reaches, or whether “baulk open” still runs in its terminal, then try again.',
  numbers: [],
};

let token = '';

/** Show this token with every request from now on; an empty one shows none. */
export function showToken(given: string): void {
  token = given;
}

/** Send a request and return its answer; what the server refuses is thrown in its own words. */
export async function sent(path: string, asked: RequestInit = {}): Promise<Response> {
  let response: Response;
  const headers = new Headers(asked.headers);
  if (token) headers.set('authorization', `Bearer ${token}`);
  try {
    response = await fetch(`/api/${path}`, { ...asked, headers });
  } catch {
    throw new Refusal(OUT_OF_REACH);
  }
  if (response.ok) return response;
  const problem: unknown = await response.json().catch(() => null);
  throw new Refusal(isProblem(problem) ? problem : { ...OUT_OF_REACH, code: `http_${response.status}` });
}

/** How long a question is waited for when an older answer is there in its place. */
const PATIENCE_MS = 30_000;

/** Ask, and keep the answer; out of reach the last one kept is given, and the page is told how old it is. */
async function answer(path: string): Promise<Response> {
  const kept = await keptAnswer(path);
  try {
    const signal = kept ? { signal: AbortSignal.timeout(PATIENCE_MS) } : {};
    const fresh = await sent(path, { headers: { accept: 'application/json, image/svg+xml' }, ...signal });
    void keepAnswer(path, fresh.clone());
    return fresh;
  } catch (refusal) {
    if (!kept || !(refusal instanceof Refusal) || refusal.code !== OUT_OF_REACH.code) throw refusal;
    showKept(path, kept);
    return kept;
  }
}

function isProblem(found: unknown): found is Problem {
  return typeof found === 'object' && found !== null && 'code' in found && 'message' in found;
}

export async function json<T>(path: string): Promise<T> {
  return (await answer(path)).json() as Promise<T>;
}

export async function blob(path: string): Promise<Blob> {
  return (await answer(path)).blob();
}

const part = encodeURIComponent;

export const site = (): Promise<SiteView> => json('site');
export const cautions = (): Promise<Caution[]> => json('cautions');
export const fields = (): Promise<KindView[]> => json('fields');
export const units = (): Promise<UnitLine[]> => json('units');
export const unit = (number: string): Promise<UnitView> => json(`unit/${part(number)}`);
export const shape = (number: string): Promise<ShapeView> => json(`shape/${part(number)}`);
export const record = (id: string): Promise<RecordPage> => json(`record/${part(id)}`);
export const order = (): Promise<OrderView> => json('order');
export const closing = (number: string): Promise<ClosingView> => json(`closing/${part(number)}`);

export function register(kind: string, asked: { offset: number; limit: number; find: string }): Promise<RegisterPage> {
  const words = new URLSearchParams({ offset: String(asked.offset), limit: String(asked.limit), find: asked.find });
  return json(`registers/${part(kind)}?${words}`);
}

/** Parts of a folded drawing that are asked for open: whole boxes by a context in them, and contexts out of any box. */
export interface Folds {
  readonly opened: readonly string[];
  readonly unfold: readonly string[];
}

export async function drawing(name: string, folds: Folds = { opened: [], unfold: [] }): Promise<string> {
  const asked = new URLSearchParams([...folds.opened.map((id) => ['opened', id]), ...folds.unfold.map((id) => ['unfold', id])]);
  return (await answer(`drawings/${part(name)}.svg${asked.size > 0 ? `?${asked}` : ''}`)).text();
}

/** Return a kept file; it is kept on the device as well. */
export async function file(sha: string): Promise<Blob> {
  return (await answer(`files/${part(sha)}`)).blob();
}
