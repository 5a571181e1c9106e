/** From the server's whole millimetres to coloured triangles: tops in their own soil colour, sides shaded as in the drawings. */

import { BufferAttribute, BufferGeometry, Color } from 'three';

import type { ShapeView, SolidView } from '../../api/schema.ts';

/** Stands for what has no soil colour: masonry, or a colour that is not recorded. */
const PLAIN = '#e9e2d2';
const DARK = 0.62;
const LIGHT = 0.88;
const UNDER = 0.5;

/** Width, depth (southward) and height of all solids together, and their middle, in metres; up is the second axis. */
export interface Extent {
  readonly size: readonly [number, number, number];
  readonly middle: readonly [number, number, number];
}

/** Return where a corner lies for drawing: easting, level, and northing turned to the south. */
function placed(solid: SolidView, corner: number): [number, number, number] {
  const [east, north, up] = [0, 1, 2].map((axis) => (solid.vertices[3 * corner + axis] ?? 0) / 1000);
  return [east ?? 0, up ?? 0, -(north ?? 0)];
}

export function extentOf(shape: ShapeView): Extent {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (const solid of shape.solids) {
    for (let corner = 0; 3 * corner < solid.vertices.length; corner += 1) {
      placed(solid, corner).forEach((part, axis) => {
        low[axis] = Math.min(low[axis] ?? part, part);
        high[axis] = Math.max(high[axis] ?? part, part);
      });
    }
  }
  const along = (axis: number): [number, number] => [low[axis] ?? 0, high[axis] ?? 0];
  const [across, up, deep] = [along(0), along(1), along(2)];
  const span = ([from, to]: [number, number]): number => to - from;
  const mid = ([from, to]: [number, number]): number => (from + to) / 2;
  return { size: [span(across), span(up), span(deep)], middle: [mid(across), mid(up), mid(deep)] };
}

export function soilOf(solid: SolidView): Color {
  return new Color(solid.link.colour || PLAIN);
}

/** Return the triangles of a solid, its middle of all at the origin, each triangle in the tone of the way it faces. */
export function geometryOf(solid: SolidView, extent: Extent): BufferGeometry {
  const soil = soilOf(solid);
  const positions = new Float32Array(solid.triangles.length * 3);
  const colours = new Float32Array(solid.triangles.length * 3);
  for (let at = 0; at < solid.triangles.length; at += 3) {
    const corner = (side: number): Spot => placed(solid, solid.triangles[at + side] ?? 0);
    const corners: [Spot, Spot, Spot] = [corner(0), corner(1), corner(2)];
    const tone = toneOf(corners);
    corners.forEach((spot, side) => {
      spot.forEach((part, axis) => (positions[3 * (at + side) + axis] = part - (extent.middle[axis] ?? 0)));
      [soil.r, soil.g, soil.b].forEach((part, axis) => (colours[3 * (at + side) + axis] = part * tone));
    });
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(positions, 3));
  geometry.setAttribute('color', new BufferAttribute(colours, 3));
  return geometry;
}

type Spot = readonly [number, number, number];

function toneOf([a, b, c]: readonly [Spot, Spot, Spot]): number {
  const u = [b[0] - a[0], b[1] - a[1], b[2] - a[2]] as const;
  const v = [c[0] - a[0], c[1] - a[1], c[2] - a[2]] as const;
  const east = u[1] * v[2] - u[2] * v[1];
  const up = u[2] * v[0] - u[0] * v[2];
  const south = u[0] * v[1] - u[1] * v[0];
  const size = Math.hypot(east, up, south) || 1;
  if (up / size > 0.4) return 0.55 + 0.45 * (up / size) - 0.12 * (east / size);
  if (up / size < -0.4) return UNDER;
  return DARK + ((LIGHT - DARK) * (1 - east / size)) / 2;
}
