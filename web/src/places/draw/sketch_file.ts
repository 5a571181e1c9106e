/**
 * A sketch as files: an SVG of lines and words alone, in the sheet's own co-ordinates, and the same as pixels. Reading takes nothing but
 * what is written here, so that a file from elsewhere can bring no script, picture or address with it.
 */

import { extentOf, place, type Extent, type Place, type SheetKind } from '../../geometry/places.ts';
import { wider } from '../../geometry/ticks.ts';
import { INKS, type Ink } from './sketch_tool.svelte.ts';

export type SketchMark =
  | { readonly line: readonly Place[]; readonly ink: Ink }
  | { readonly words: string; readonly at: Place; readonly ink: Ink };

const SVG = 'http://www.w3.org/2000/svg';
/** Longest text and most marks that are read from one file. */
const LONGEST = 500;
const MOST = 20_000;
const NUMBER = /^-?\d{1,9}(?:\.\d{1,6})?$/;

/** Breadth of a line and height of letters as shares of the longer side of a sketch. */
const BREADTH = 0.004;
const LETTERS = 0.03;

function placesIn(marks: readonly SketchMark[]): Place[] {
  return marks.flatMap((one) => ('line' in one ? one.line : [one.at]));
}

/** Return the box of a sketch with a margin; undefined when nothing is drawn. */
export function sketchExtent(marks: readonly SketchMark[]): Extent | undefined {
  const box = extentOf(placesIn(marks));
  if (!box) return undefined;
  const least = Math.max(box.right - box.left, box.high - box.low) > 0 ? 0.1 : 0;
  return least ? wider(box, least) : { left: box.left - 0.5, right: box.right + 0.5, low: box.low - 0.5, high: box.high + 0.5 };
}

/** Return a sketch as SVG; co-ordinates are those of the sheet with up turned down. */
export function sketchSvg(marks: readonly SketchMark[], on: SheetKind): string {
  const box = sketchExtent(marks) ?? { left: 0, low: 0, right: 1, high: 1 };
  const [width, height] = [box.right - box.left, box.high - box.low];
  const side = Math.max(width, height);
  const number = (value: number): string => String(Number(value.toFixed(4)));
  const spot = ([across, up]: Place): string => `${number(across)} ${number(-up)}`;
  const bodies = marks.map((one) =>
    'line' in one
      ? `<path data-ink="${one.ink}" stroke="${INKS[one.ink]}" d="M${one.line.map(spot).join('L')}"/>`
      : `<text data-ink="${one.ink}" fill="${INKS[one.ink]}" x="${number(one.at[0])}" y="${number(-one.at[1])}">${escaped(one.words)}</text>`,
  );
  return [
    `<svg xmlns="${SVG}" data-baulk-sketch="${on}" viewBox="${[box.left, -box.high, width, height].map(number).join(' ')}">`,
    `<g fill="none" stroke-width="${number(side * BREADTH)}" stroke-linecap="round" stroke-linejoin="round" font-family="sans-serif" font-size="${number(side * LETTERS)}">`,
    ...bodies,
    '</g></svg>',
    '',
  ].join('\n');
}

/** Return the marks of a sketch that was written here; anything else in the file is passed over. */
export function readSketch(text: string): readonly SketchMark[] {
  const page = new DOMParser().parseFromString(text, 'image/svg+xml');
  if (page.documentElement.getAttribute('data-baulk-sketch') === null) return [];
  const found: SketchMark[] = [];
  for (const one of [...page.querySelectorAll('path, text')].slice(0, MOST)) {
    const name = one.getAttribute('data-ink') ?? '';
    const ink: Ink = name in INKS ? (name as Ink) : 'black';
    if (one.localName === 'text') {
      const at = numbers([one.getAttribute('x') ?? '', one.getAttribute('y') ?? '']);
      if (at) found.push({ words: (one.textContent ?? '').slice(0, LONGEST), at: place(at[0] as number, -(at[1] as number)), ink });
    } else {
      const line = (one.getAttribute('d') ?? '').replace(/^M/, '').split('L').map((pair) => numbers(pair.split(' ')));
      if (line.every((pair) => pair?.length === 2)) found.push({ line: line.map((pair) => place(pair?.[0] ?? 0, -(pair?.[1] ?? 0))), ink });
    }
  }
  return found;
}

/** Return a sketch as a picture on white, `pixels` along its longer side. */
export async function sketchPicture(marks: readonly SketchMark[], pixels = 1600): Promise<Blob> {
  const box = sketchExtent(marks) ?? { left: 0, low: 0, right: 1, high: 1 };
  const [width, height] = [box.right - box.left, box.high - box.low];
  const scale = pixels / Math.max(width, height);
  const surface = new OffscreenCanvas(Math.max(1, Math.round(width * scale)), Math.max(1, Math.round(height * scale)));
  const pen = surface.getContext('2d');
  if (!pen) throw new Error('this browser gives no surface to draw on');
  pen.fillStyle = '#ffffff';
  pen.fillRect(0, 0, surface.width, surface.height);
  [pen.lineWidth, pen.lineCap, pen.lineJoin] = [pixels * BREADTH, 'round', 'round'];
  pen.font = `${pixels * LETTERS}px sans-serif`;
  const spot = ([across, up]: Place): [number, number] => [(across - box.left) * scale, (box.high - up) * scale];
  for (const one of marks) {
    if ('line' in one) {
      pen.strokeStyle = INKS[one.ink];
      pen.beginPath();
      for (const at of one.line) pen.lineTo(...spot(at));
      pen.stroke();
    } else {
      pen.fillStyle = INKS[one.ink];
      pen.fillText(one.words, ...spot(one.at));
    }
  }
  return surface.convertToBlob({ type: 'image/png' });
}

function numbers(parts: readonly string[]): number[] | undefined {
  const tidy = parts.map((part) => part.trim());
  return tidy.every((part) => NUMBER.test(part)) ? tidy.map(Number) : undefined;
}

function escaped(words: string): string {
  return words.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');
}
