/** What lies on a sheet already, painted: one pass for each look, so that thousands of pieces pan smoothly. */

import { place, type Extent, type Place } from '../../geometry/places.ts';
import { signedArea, type Edge } from '../../geometry/ring.ts';
import { toScreen, type SheetView } from '../../geometry/sheet_view.ts';
import type { Shape, Spot, Things } from './things.ts';

/** Line quality is certainty, as in every drawing: breadth and dashes in pixels. */
export const LOOKS: Readonly<Record<Edge | 'ground' | 'string' | 'contact', { breadth: number; dashes: readonly number[] }>> = {
  seen: { breadth: 1.8, dashes: [] },
  uncertain: { breadth: 1.8, dashes: [9, 5] },
  'cut away': { breadth: 1.8, dashes: [4, 3, 4, 9] },
  'limit of excavation': { breadth: 2, dashes: [18, 4, 2, 4] },
  ground: { breadth: 2.8, dashes: [] },
  string: { breadth: 1, dashes: [3, 3] },
  contact: { breadth: 2.4, dashes: [2, 2] },
};
const INK = '#1f1c18';
const PAPER = '#ffffff';
const NIGHT_PAPER = '#e6e0d3';
const PIECE = '#d9d3c7';
const MARK = '#b3400e';
/** Share of the limit's area from which a context is drawn as a line alone, so that it hides nothing. */
const ALL_OVER = 0.95;
/** Pixels of a sign, and of a cut's notch. */
const SIGN = 5;
const NOTCH = 7;

export interface Beneath {
  readonly picture: CanvasImageSource;
  readonly extent: Extent;
  readonly opacity: number;
}

export interface Painted {
  readonly things: Things;
  readonly view: SheetView;
  readonly chosen: string;
  readonly night: boolean;
  readonly beneath: readonly Beneath[];
  /** Whether contexts are filled with their soil colours; over a photo they are not. */
  readonly filled: boolean;
}

export function paint(pen: CanvasRenderingContext2D, what: Painted): void {
  const { things, view } = what;
  const ratio = pen.canvas.width / Math.max(1, view.width);
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.fillStyle = what.night ? NIGHT_PAPER : PAPER;
  pen.fillRect(0, 0, view.width, view.height);
  for (const one of what.beneath) paintBeneath(pen, one, view);
  pen.lineJoin = 'round';
  if (what.filled) paintGround(pen, what);
  paintPieces(pen, what);
  paintEdges(pen, things.shapes, view);
  paintNotches(pen, things.shapes, view);
  for (const { line, look } of things.lines) stroke(pen, trace([line], view, false), LOOKS[look], INK);
  if (things.limit.corners.length > 1) stroke(pen, trace([things.limit.corners], view, things.limit.closed), LOOKS['limit of excavation'], INK);
  paintChosen(pen, things.shapes, view, what.chosen);
  const room = new Room();
  for (const { at } of things.spots) {
    const [across, down] = toScreen(view, at);
    room.take(across - SIGN, down - SIGN, 2 * SIGN, 2 * SIGN);
  }
  paintNumbers(pen, things.shapes, view, room);
  paintSpots(pen, things.spots, view, what.chosen, room);
}

function paintBeneath(pen: CanvasRenderingContext2D, { picture, extent, opacity }: Beneath, view: SheetView): void {
  const [left, top] = toScreen(view, place(extent.left, extent.high));
  pen.globalAlpha = opacity;
  pen.imageSmoothingEnabled = true;
  pen.drawImage(picture, left, top, (extent.right - extent.left) * view.scale, (extent.high - extent.low) * view.scale);
  pen.globalAlpha = 1;
}

/** Return a path through places, in pixels of the screen. */
function trace(lines: readonly (readonly Place[])[], view: SheetView, closed: boolean): Path2D {
  const path = new Path2D();
  for (const line of lines) {
    line.forEach((at, index) => {
      const [across, down] = toScreen(view, at);
      if (index === 0) path.moveTo(across, down);
      else path.lineTo(across, down);
    });
    if (closed) path.closePath();
  }
  return path;
}

function stroke(pen: CanvasRenderingContext2D, path: Path2D, look: { breadth: number; dashes: readonly number[] }, colour: string): void {
  pen.setLineDash([...look.dashes]);
  pen.lineWidth = look.breadth;
  pen.strokeStyle = colour;
  pen.stroke(path);
  pen.setLineDash([]);
}

function paintGround(pen: CanvasRenderingContext2D, { things, view }: Painted): void {
  const whole = Math.abs(signedArea(things.limit.corners));
  for (const shape of things.shapes) {
    const colour = shape.context?.colour;
    if (!colour || shape.context?.kind === 'cut' || (whole > 0 && Math.abs(signedArea(shape.corners)) > ALL_OVER * whole)) continue;
    pen.fillStyle = colour;
    pen.fill(trace([shape.corners], view, true));
  }
}

function paintPieces(pen: CanvasRenderingContext2D, { things: { pieces }, view, chosen, filled }: Painted): void {
  const path = trace(pieces.map((piece) => piece.ring), view, true);
  if (filled) {
    pen.fillStyle = PIECE;
    pen.fill(path);
  } else {
    stroke(pen, path, { breadth: 3, dashes: [] }, 'rgb(255 255 255 / 70%)');
  }
  stroke(pen, path, { breadth: 1.2, dashes: [] }, INK);
  const marked = pieces.filter((piece) => piece.id === chosen).map((piece) => piece.ring);
  if (marked.length > 0) stroke(pen, trace(marked, view, true), { breadth: 3.5, dashes: [] }, MARK);
}

/** Paint all edges of one kind at once. */
function paintEdges(pen: CanvasRenderingContext2D, shapes: readonly Shape[], view: SheetView): void {
  const runs = new Map<Edge, Place[][]>();
  for (const { corners, edges } of shapes) {
    corners.forEach((here, index) => {
      const kind = edges[index] ?? 'uncertain';
      const next = corners[(index + 1) % corners.length] as Place;
      const held = runs.get(kind) ?? [];
      const last = held[held.length - 1];
      if (last && last[last.length - 1] === here) last.push(next);
      else held.push([here, next]);
      runs.set(kind, held);
    });
  }
  for (const [kind, lines] of runs) {
    const path = trace(lines, view, false);
    stroke(pen, path, { breadth: LOOKS[kind].breadth + 2, dashes: [] }, 'rgb(255 255 255 / 70%)');
    stroke(pen, path, LOOKS[kind], INK);
  }
}

/** A cut is a line with notches that point into it, but for where the unit or a later cut ends it. */
function paintNotches(pen: CanvasRenderingContext2D, shapes: readonly Shape[], view: SheetView): void {
  const path = new Path2D();
  for (const { context, corners, edges } of shapes) {
    if (context?.kind !== 'cut') continue;
    const side = signedArea(corners) < 0 ? -NOTCH : NOTCH;
    corners.forEach((here, index) => {
      if (edges[index] !== 'seen' && edges[index] !== 'uncertain') return;
      const [from, to] = [toScreen(view, here), toScreen(view, corners[(index + 1) % corners.length] as Place)];
      const [across, down] = [to[0] - from[0], to[1] - from[1]];
      const length = Math.hypot(across, down);
      const count = Math.round(length / (2.5 * NOTCH));
      for (let step = 0; step < count; step += 1) {
        const share = (step + 0.5) / count;
        const foot = [from[0] + share * across, from[1] + share * down] as const;
        path.moveTo(foot[0], foot[1]);
        path.lineTo(foot[0] + (side * down) / length, foot[1] - (side * across) / length);
      }
    });
  }
  stroke(pen, path, { breadth: 1.5, dashes: [] }, INK);
}

function paintChosen(pen: CanvasRenderingContext2D, shapes: readonly Shape[], view: SheetView, chosen: string): void {
  const marked = shapes.filter((shape) => shape.id === chosen || shape.context?.id === chosen).map((shape) => shape.corners);
  if (chosen && marked.length > 0) stroke(pen, trace(marked, view, true), { breadth: 4, dashes: [] }, MARK);
}

function paintSpots(pen: CanvasRenderingContext2D, spots: readonly Spot[], view: SheetView, chosen: string, room: Room): void {
  pen.font = '500 12px "Atkinson Hyperlegible Next Variable", sans-serif';
  pen.textAlign = 'left';
  for (const spot of spots) {
    const [across, down] = toScreen(view, spot.at);
    if (across < -20 || down < -20 || across > view.width + 20 || down > view.height + 20) continue;
    const path = new Path2D(signOf(spot.sign, across, down));
    stroke(pen, path, { breadth: 5, dashes: [] }, 'rgb(255 255 255 / 80%)');
    stroke(pen, path, { breadth: 2, dashes: [] }, spot.id && spot.id === chosen ? MARK : INK);
    if (spot.label && room.take(across + SIGN + 4, down - 8, 7 * spot.label.length, 14)) words(pen, spot.label, across + SIGN + 4, down + 4);
  }
}

/** A level is a cross under a bar, a find a triangle, a sample a diamond, a station a ringed dot, a corner a right angle. */
function signOf(sign: Spot['sign'], x: number, y: number): string {
  const s = SIGN;
  if (sign === 'find') return `M${x} ${y - s}L${x + s} ${y + s}H${x - s}Z`;
  if (sign === 'sample') return `M${x} ${y - s - 1}L${x + s + 1} ${y}L${x} ${y + s + 1}L${x - s - 1} ${y}Z`;
  if (sign === 'level') return `M${x - s} ${y}H${x + s}M${x} ${y - s}V${y + s}M${x - s} ${y - s - 3}H${x + s}`;
  if (sign === 'station') return `M${x - s} ${y}a${s} ${s} 0 1 0 ${2 * s} 0a${s} ${s} 0 1 0 ${-2 * s} 0M${x - 1} ${y}H${x + 1}`;
  return `M${x - s} ${y}H${x + s}M${x} ${y - s}V${y + s}`;
}

function paintNumbers(pen: CanvasRenderingContext2D, shapes: readonly Shape[], view: SheetView, room: Room): void {
  pen.font = '700 14px "Atkinson Hyperlegible Next Variable", sans-serif';
  pen.textAlign = 'center';
  for (const { context, corners } of [...shapes].reverse()) {
    if (!context) continue;
    const across = corners.reduce((sum, one) => sum + one[0], 0) / corners.length;
    const up = corners.reduce((sum, one) => sum + one[1], 0) / corners.length;
    const [x, y] = toScreen(view, place(across, up));
    const breadth = 9 * context.number.length;
    const free = [0, 18, -18, 36].find((lower) => room.take(x - breadth / 2, y - 9 + lower, breadth, 18));
    if (x > 0 && y > 0 && x < view.width && y < view.height && free !== undefined) words(pen, context.number, x, y + 5 + free);
  }
}

/** Room for words on the screen: what is taken first stands, what would lie on it is left out until the sheet is closer. */
class Room {
  readonly #cells = new Set<string>();
  static readonly CELL = 9;

  take(left: number, top: number, width: number, height: number): boolean {
    const wanted: string[] = [];
    for (let x = Math.floor(left / Room.CELL); x <= (left + width) / Room.CELL; x += 1) {
      for (let y = Math.floor(top / Room.CELL); y <= (top + height) / Room.CELL; y += 1) wanted.push(`${x} ${y}`);
    }
    if (wanted.some((cell) => this.#cells.has(cell))) return false;
    for (const cell of wanted) this.#cells.add(cell);
    return true;
  }
}

function words(pen: CanvasRenderingContext2D, said: string, x: number, y: number): void {
  pen.lineWidth = 4;
  pen.strokeStyle = 'rgb(255 255 255 / 85%)';
  pen.strokeText(said, x, y);
  pen.fillStyle = INK;
  pen.fillText(said, x, y);
}
