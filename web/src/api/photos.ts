/** What is asked of a photo with marked points. */

import { blob, json } from './client.ts';
import type { FitView, PiecesView } from './schema.ts';

/** A marked point as it is asked with: pixel, place in the site's own lengths, name. */
export interface AskedPoint {
  readonly point: string;
  readonly column: number;
  readonly row: number;
  readonly across: number;
  readonly up: number;
}

/** A piece picked, in the site's own lengths. */
export interface AskedPick {
  readonly number: string;
  readonly across: number;
  readonly up: number;
}

const part = encodeURIComponent;

function asked(points: readonly AskedPoint[]): [string, string][] {
  return points.map(({ point, column, row, across, up }) => ['point', [column, row, across, up, point].join(',')]);
}

export const photoFit = (photo: string, points: readonly AskedPoint[]): Promise<FitView> => json(`photos/${part(photo)}/fit?${new URLSearchParams(asked(points))}`);

export const straightPhoto = (photo: string, points: readonly AskedPoint[]): Promise<Blob> =>
  blob(`photos/${part(photo)}/straight.png?${new URLSearchParams(asked(points))}`);

export function proposedPieces(
  photo: string,
  points: readonly AskedPoint[],
  question: { structure: string; picks: readonly AskedPick[]; stones: boolean },
): Promise<PiecesView> {
  const picks = question.picks.map(({ number, across, up }): [string, string] => ['pick', [across, up, number].join(',')]);
  const words = new URLSearchParams([...asked(points), ...picks, ['structure', question.structure], ['stones', String(question.stones)]]);
  return json(`photos/${part(photo)}/pieces?${words}`);
}
