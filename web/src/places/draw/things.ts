/** What lies on a sheet already, read from the device's own copy of the record. */

import { placesOf, place, type Place, type SheetKind } from '../../geometry/places.ts';
import { EDGES, type Edge } from '../../geometry/ring.ts';
import type { Limit } from '../../geometry/snap.ts';
import { all, get, isVoid, pointing, type Held } from '../../offline/index.ts';
import { stackOf } from '../../parts/device_order.svelte.ts';
import { byNumber } from '../../parts/form/by_number.ts';
import { soilColour } from './soil.ts';

/** A context as far as a drawing needs it. */
export interface Drawable {
  readonly id: string;
  readonly number: string;
  readonly kind: string;
  readonly title: string;
  readonly colour: string | undefined;
}

/** The outline of a context. */
export interface Shape {
  readonly id: string;
  readonly context: Drawable | undefined;
  readonly corners: readonly Place[];
  readonly edges: readonly Edge[];
}

export interface Piece {
  readonly id: string;
  readonly number: string;
  readonly ring: readonly Place[];
}

export interface Spot {
  readonly id: string;
  readonly at: Place;
  readonly sign: 'level' | 'find' | 'sample' | 'station' | 'corner';
  readonly label: string;
}

export interface Drawn {
  readonly id: string;
  readonly line: readonly Place[];
  readonly look: 'ground' | 'string' | 'contact' | Edge;
}

export interface Things {
  readonly kind: SheetKind;
  readonly limit: Limit;
  readonly shapes: readonly Shape[];
  readonly pieces: readonly Piece[];
  readonly spots: readonly Spot[];
  readonly lines: readonly Drawn[];
}

const text = (value: unknown): string => (value === undefined || value === null ? '' : String(value));

export function drawable(one: Held): Drawable {
  const { number, kind, title, colour_moist: moist, colour_dry: dry } = one.values;
  return { id: one.id, number: text(number), kind: text(kind), title: text(title), colour: soilColour(moist) ?? soilColour(dry) };
}

/** Return the contexts of a unit, the earliest first, as the relations on this device tell it; where they tell nothing, the lowest number counts as the latest. */
export function contextsOf(unit: string): Drawable[] {
  return earliestFirst(pointing('context', 'units', unit).filter((one) => !isVoid(one))).map(drawable);
}

/** What is painted last lies on top. */
function earliestFirst(contexts: readonly Held[]): Held[] {
  return stackOf(byNumber(contexts)).reverse();
}

/** Return what lies on the plan of a unit; of one context alone when it is named. */
export function planThings(unit: Held, alone = ''): Things {
  const contexts = contextsOf(unit.id).filter((one) => !alone || one.id === alone);
  const corners = placesOf<'plan'>(unit.values['corners']);
  const each = <T>(make: (context: Drawable) => T[]): T[] => contexts.flatMap(make);
  return {
    kind: 'plan',
    limit: { corners, closed: true },
    shapes: each((context) => shapesOf('outline', context)),
    pieces: each((context) => pointing('element', 'context', context.id).map(pieceOf).filter((piece) => piece.ring.length > 1)),
    spots: [...cornerSpots(corners), ...each((context) => (['level', 'find', 'sample'] as const).flatMap((sign) => spotsOf(sign, context.id))), ...stationSpots(corners)],
    lines: [],
  };
}

/** Return what lies on the face of a wall: distances from its left end, levels. */
export function wallThings(wall: Held): Things {
  const ground = placesOf<'wall'>(wall.values['surface_line']);
  const base = placesOf<'wall'>(wall.values['base_line']);
  const string = wall.values['string_level'];
  const length = wallLength(wall);
  const lines: Drawn[] = [];
  if (ground.length > 1) lines.push({ id: wall.id, line: ground, look: 'ground' });
  if (typeof string === 'number' && length > 0) lines.push({ id: wall.id, line: [place(0, string), place(length, string)], look: 'string' });
  for (const contact of pointing('contact', 'wall', wall.id)) {
    const line = placesOf<'wall'>(contact.values['line']);
    if (line.length > 1) lines.push({ id: contact.id, line, look: 'contact' });
  }
  return {
    kind: 'wall',
    limit: wallLimit(length, ground, base, typeof string === 'number' ? string : undefined),
    shapes: wallShapes(wall.id),
    pieces: [],
    spots: [],
    lines,
  };
}

/** Return the length of a wall from its ends, in the site's own quantity; 0 when they are not on record. */
export function wallLength(wall: Held): number {
  const [left, right] = placesOf<'plan'>(wall.values['ends']);
  return left && right ? Math.hypot(right[0] - left[0], right[1] - left[1]) : 0;
}

/** Return a wall's limit from the top of its left end down, along its base, and up its right end. */
function wallLimit(length: number, ground: readonly Place[], base: readonly Place[], string: number | undefined): Limit {
  if (length === 0) return { corners: [], closed: false };
  const tops = [ground[0]?.[1], ground[ground.length - 1]?.[1]];
  const middle = string ?? tops[0] ?? base[0]?.[1] ?? 0;
  const [left, right] = [tops[0] ?? middle + length / 2, tops[1] ?? middle + length / 2];
  const below = base.length > 1 ? base : [place(0, middle - length / 2), place(length, middle - length / 2)];
  return { corners: [place(0, left), ...below, place(length, right)], closed: false };
}

function shapesOf(kind: string, context: Drawable): Shape[] {
  return pointing(kind, 'context', context.id).filter((one) => !isVoid(one)).map((one) => shapeOf(one, context)).filter((one) => one.corners.length > 2);
}

function shapeOf(one: Held, context: Drawable | undefined): Shape {
  const edges = Array.isArray(one.values['edges']) ? one.values['edges'] : [];
  const corners = placesOf(one.values['ring']);
  return { id: one.id, context, corners, edges: corners.map((_, index) => EDGES.find((edge) => edge === edges[index]) ?? 'uncertain') };
}

/** Return the outlines on a wall, those of no known context beneath all others. */
function wallShapes(wall: string): Shape[] {
  const drawn = pointing('wall_outline', 'wall', wall).filter((one) => !isVoid(one));
  const named = drawn.map((one) => get(String(one.values['context'] ?? ''))).filter((one) => one !== undefined);
  const order = new Map(earliestFirst(named).map((one, index) => [one.id, { index, context: drawable(one) }]));
  const at = (one: Held): { index: number; context: Drawable } | undefined => order.get(String(one.values['context'] ?? ''));
  return drawn
    .map((one) => ({ shape: shapeOf(one, at(one)?.context), index: at(one)?.index ?? -1 }))
    .filter(({ shape }) => shape.corners.length > 2)
    .sort((one, other) => one.index - other.index)
    .map(({ shape }) => shape);
}

function pieceOf(one: Held): Piece {
  const ring = placesOf(one.values['ring']);
  return { id: one.id, number: text(one.values['number']), ring: ring.length > 2 ? ring : placesOf(one.values['axis']) };
}

function spotsOf(sign: 'level' | 'find' | 'sample', context: string): Spot[] {
  return pointing(sign, 'context', context).flatMap((one) => {
    const { easting, northing, level, number } = one.values;
    if (typeof easting !== 'number' || typeof northing !== 'number') return [];
    const label = sign === 'level' ? (typeof level === 'number' ? level.toFixed(2) : '') : text(number);
    return [{ id: one.id, at: place(easting, northing), sign, label }];
  });
}

function cornerSpots(corners: readonly Place[]): Spot[] {
  return corners.length > 8 ? [] : corners.map((at, index) => ({ id: '', at, sign: 'corner' as const, label: String.fromCharCode(65 + index) }));
}

/** Return the stations that lie no farther from the unit than it is long. */
function stationSpots(corners: readonly Place[]): Spot[] {
  const [first, across] = [corners[0], corners[2]];
  if (!first || !across) return [];
  const far = 2 * Math.hypot(across[0] - first[0], across[1] - first[1]);
  return all('station').flatMap((one) => {
    const { easting, northing, number } = one.values;
    if (typeof easting !== 'number' || typeof northing !== 'number' || Math.hypot(easting - first[0], northing - first[1]) > far) return [];
    return [{ id: one.id, at: place(easting, northing), sign: 'station' as const, label: text(number) }];
  });
}
