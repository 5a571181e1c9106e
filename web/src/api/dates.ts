/** What is asked of the dates. */

import { blob, json } from './client.ts';
import type { AbsenceLine, BeforeView, BestView, ChronologyView, DatesView, SensitivityView, SpansView, WhyDateView, WithinView } from './schema.ts';

const asked = (words: Record<string, string | number | boolean>): string => String(new URLSearchParams(Object.entries(words).map(([name, value]) => [name, String(value)])));

export const dates = (offset: number, limit: number): Promise<DatesView> => json(`dates?${asked({ offset, limit })}`);
export const whyDate = (context: string): Promise<WhyDateView> => json(`dates/why?${asked({ context })}`);
export const chronology = (absence: boolean, begin: boolean): Promise<ChronologyView> => json(`dates/chronology?${asked({ absence, begin })}`);
export const before = (one: string, other: string): Promise<BeforeView> => json(`dates/before?${asked({ one, other })}`);
export const best = (context: string): Promise<BestView> => json(`dates/best?${asked({ context })}`);
export const within = (context: string, begin: number, end: number): Promise<WithinView> => json(`dates/within?${asked({ context, begin, end })}`);
export const spans = (one: string, other: string): Promise<SpansView> => json(`dates/spans?${asked({ one, other })}`);
export const sensitivity = (begin: boolean): Promise<SensitivityView> => json(`dates/sensitivity?${asked({ begin })}`);
export const absence = (): Promise<AbsenceLine[]> => json('dates/absence');

export async function datesDrawing(dated: boolean, absence: boolean): Promise<string> {
  return (await blob(`dates/drawing.svg?${asked({ dated, absence })}`)).text();
}

export async function aidsDrawing(context: string): Promise<string> {
  return (await blob(`dates/aids.svg?${asked({ context })}`)).text();
}
