/** Charts of a share of inclusions by area: dots of three sizes on a patch, laid out the same way every time. */

/** The words with the share in the middle of what each stands for: at most 1, 5, 20, 50, and more than 50 per cent. House values, from memory. */
export const SHARES: readonly { word: string; percent: number }[] = [
  { word: 'rare', percent: 1 },
  { word: 'occasional', percent: 3 },
  { word: 'moderate', percent: 12 },
  { word: 'frequent', percent: 35 },
  { word: 'abundant', percent: 55 },
];

export interface Dot {
  readonly across: number;
  readonly down: number;
  readonly radius: number;
}

const SIDE = 100;
const SIZES = [3.4, 2.4, 1.7, 1.2];

/** Return dots on a patch of 100 by 100 that do not touch and cover the given share of it, to a tenth of a per cent. */
export function dotsOf(percent: number): Dot[] {
  const wanted = (percent / 100) * SIDE * SIDE;
  const dots: Dot[] = [];
  const next = stream(20_26);
  let covered = 0;
  for (const size of SIZES) {
    for (let tries = 0; tries < 9_000 && wanted - covered >= area(size); tries += 1) {
      const dot = { across: size + next() * (SIDE - 2 * size), down: size + next() * (SIDE - 2 * size), radius: size };
      if (dots.some((other) => Math.hypot(other.across - dot.across, other.down - dot.down) < other.radius + size + 0.15)) continue;
      dots.push(dot);
      covered += area(size);
      if (covered >= wanted * 0.75 && size !== SIZES.at(-1) && tries % 2 === 0) break;
    }
  }
  return scaled(dots, Math.sqrt(wanted / covered));
}

function scaled(dots: Dot[], by: number): Dot[] {
  return dots.map((dot) => ({ ...dot, radius: dot.radius * by }));
}

function area(radius: number): number {
  return Math.PI * radius * radius;
}

/** A small generator with a fixed start, so that a chart never changes: the minimal standard of Park and Miller 1988 (from memory). */
function stream(start: number): () => number {
  let state = start;
  return () => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}
