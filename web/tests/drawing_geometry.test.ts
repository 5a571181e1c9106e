/** The geometry of drawing by hand; run by tests/browser/test_drawing_geometry.py. */

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { closedOutline, cornersOf } from '../src/geometry/outline.ts';
import { pieceAlong, pieceRound, runsRound } from '../src/geometry/piece.ts';
import { apart, bearingOf, nearestOn, place, rounded, type Place } from '../src/geometry/places.ts';
import {
  anticlockwise, crossingOf, holds, mended, signedArea, withEdge, withInserted, withoutCorner, type Edge, type Ring,
} from '../src/geometry/ring.ts';
import { fitted, panned, toScreen, toSheet, zoomed } from '../src/geometry/sheet_view.ts';
import { simplified, simplifiedRing } from '../src/geometry/simplify.ts';
import { alongLimit, snapped, type Limit } from '../src/geometry/snap.ts';
import { decimalsOf, roundStep, ticksIn } from '../src/geometry/ticks.ts';

type OnPlan = Place<'plan'>;
const at = (easting: number, northing: number): OnPlan => place(easting, northing);
const UNIT: Limit<'plan'> = { corners: [at(112, 204), at(114, 204), at(114, 206), at(112, 206)], closed: true };
const near = (one: number, other: number, within = 1e-9): void => assert.ok(Math.abs(one - other) <= within, `${one} is not ${other}`);
const sound = (ring: Ring<'plan'>): void => assert.equal(ring.corners.length, ring.edges.length);

/** Numbers that look random and are the same in every run (a linear congruence; the constants are those of Numerical Recipes, from memory). */
function dice(seed: number): () => number {
  let held = seed;
  return () => (held = (1664525 * held + 1013904223) % 4294967296) / 4294967296;
}

test('a place goes to the screen and back', () => {
  const view = fitted({ left: 112, low: 204, right: 114, high: 206 }, 800, 600);
  const back = toSheet(view, toScreen(view, at(112.35, 205.81)));
  near(back[0], 112.35);
  near(back[1], 205.81);
  assert.ok(toScreen(view, at(113, 206))[1] < toScreen(view, at(113, 204))[1], 'north is not up');
});

test('a zoom keeps what is under the fingers, and a pan moves by the pixels asked', () => {
  const whole = { left: 112, low: 204, right: 114, high: 206 };
  const view = fitted(whole, 800, 600);
  const finger: Place<'screen'> = place(300, 250);
  const [before, after] = [toSheet(view, finger), toSheet(zoomed(view, whole, 3, finger), finger)];
  near(apart(before, after), 0, 1e-9);
  const moved = panned(view, whole, 30, -12);
  near(toScreen(moved, at(113, 205))[0] - toScreen(view, at(113, 205))[0], 30, 1e-9);
  near(toScreen(moved, at(113, 205))[1] - toScreen(view, at(113, 205))[1], -12, 1e-9);
});

test('no place left out of a thinned stroke lies farther off than the tolerance', () => {
  const roll = dice(7);
  for (let turn = 0; turn < 40; turn += 1) {
    const stroke: OnPlan[] = [];
    for (let step = 0; step < 120; step += 1) stroke.push(at(step / 60 + roll() * 0.03, Math.sin(step / 13) * 0.4 + roll() * 0.03));
    const thin = simplified(stroke, 0.02);
    assert.ok(thin.length < stroke.length);
    const kept = thin.map((one) => stroke.indexOf(one));
    kept.slice(1).forEach((last, index) => {
      for (let here = kept[index] as number; here <= last; here += 1) {
        const foot = nearestOn(stroke[here] as OnPlan, thin[index] as OnPlan, thin[index + 1] as OnPlan);
        assert.ok(apart(foot.at, stroke[here] as OnPlan) <= 0.02 + 1e-12);
      }
    });
  }
});

test('a coarser tolerance keeps fewer corners, and a corner is never thinned away', () => {
  const corner = [at(0, 0), at(1, 0.001), at(2, 0), at(2, 1), at(2, 2)];
  assert.deepEqual(simplified(corner, 0.01), [at(0, 0), at(2, 0), at(2, 2)]);
  assert.deepEqual(simplified(corner, 0.0001).length, 4);
  const circle = Array.from({ length: 200 }, (_, step) => at(Math.cos(step / 31.83), Math.sin(step / 31.83)));
  assert.ok(simplifiedRing(circle, 0.05).length < simplifiedRing(circle, 0.005).length);
  assert.ok(simplifiedRing(circle, 0.05).length >= 6);
});

test('a long stroke is thinned without running out of calls', () => {
  const zigzag = Array.from({ length: 3000 }, (_, step) => at(step * 0.2, step % 2));
  assert.equal(simplified(zigzag, 0.1).length, 3000);
});

test('a corner of the unit wins over its side, a side over a neighbour, and what is far stays', () => {
  const beside = [[at(113.02, 205), at(113.5, 205), at(113.5, 205.5)]];
  assert.deepEqual(snapped(at(112.02, 204.01), 0.05, UNIT, beside), { at: at(112, 204), to: 'corner', along: 0 });
  const side = snapped(at(113.98, 205.3), 0.05, UNIT, beside);
  assert.equal(side.to, 'side');
  near(side.at[0], 114);
  near(side.at[1], 205.3);
  near(side.along ?? -1, 1.65);
  assert.deepEqual(snapped(at(113, 205.01), 0.05, UNIT, beside).at, at(113.02, 205));
  assert.equal(snapped(at(113.25, 205.02), 0.05, UNIT, beside).to, 'neighbour');
  assert.deepEqual(snapped(at(112.6, 204.6), 0.05, UNIT, beside), { at: at(112.6, 204.6), to: 'nothing' });
});

test('a stroke from side to side closes along the unit, and those edges are limits of excavation', () => {
  const stroke = [at(113.99, 205.3), at(113.6, 205.45), at(113.4, 205.8), at(113.45, 205.98)];
  const corners = cornersOf(stroke, 'seen', { snap: 0.05, tolerance: 0.01 }, { limit: UNIT, neighbours: [] });
  const ring = closedOutline(corners, UNIT) as Ring<'plan'>;
  sound(ring);
  assert.ok(ring.corners.some((one) => one[0] === 114 && one[1] === 206), 'the corner passed is missing');
  assert.equal(ring.edges.filter((edge) => edge === 'limit of excavation').length, 2);
  near(signedArea(ring.corners), 0.308, 0.02);
  const other = closedOutline(corners, UNIT, true) as Ring<'plan'>;
  near(signedArea(other.corners), 4 - signedArea(ring.corners), 1e-6);
});

test('an outline in the open closes by an edge of its own kind and has no limit of excavation', () => {
  const stroke = [at(112.5, 204.5), at(113, 204.5), at(113, 205), at(112.5, 205)];
  const ring = closedOutline(cornersOf(stroke, 'uncertain', { snap: 0.05, tolerance: 0.01 }, { limit: UNIT, neighbours: [] }), UNIT);
  assert.deepEqual(ring?.edges, ['uncertain', 'uncertain', 'uncertain', 'uncertain']);
  near(signedArea(ring?.corners ?? []), 0.25);
});

test('rings are kept anticlockwise and every edge keeps its kind', () => {
  const edges: Edge[] = ['seen', 'uncertain', 'cut away', 'limit of excavation'];
  const clockwise: Ring<'plan'> = { corners: [at(0, 0), at(0, 1), at(1, 1), at(1, 0)], edges };
  const turned = anticlockwise(clockwise);
  assert.ok(signedArea(turned.corners) > 0);
  const kindOf = (ring: Ring<'plan'>, one: OnPlan, other: OnPlan): Edge | undefined => {
    const index = ring.corners.findIndex((here, place) => {
      const next = ring.corners[(place + 1) % ring.corners.length] as OnPlan;
      return apart(here, one) + apart(next, other) === 0 || apart(here, other) + apart(next, one) === 0;
    });
    return ring.edges[index];
  };
  clockwise.corners.forEach((here, index) => {
    const next = clockwise.corners[(index + 1) % 4] as OnPlan;
    assert.equal(kindOf(turned, here, next), edges[index]);
  });
});

test('the shorter way along an open limit is the only one', () => {
  const wall: Limit<'wall'> = { corners: [place(0, 29.6), place(0, 28.6), place(2, 28.6), place(2, 29.4)], closed: false };
  const [left, right] = [snapped(place(0.01, 29), 0.05, wall, []), snapped(place(1.99, 29.1), 0.05, wall, [])];
  assert.deepEqual(alongLimit(left, right, wall), [place(0, 28.6), place(2, 28.6)]);
  assert.deepEqual(alongLimit(right, left, wall), [place(2, 28.6), place(0, 28.6)]);
});

test('a crossing is found and mended to the larger part; a sound outline is left alone', () => {
  const bow: Ring<'plan'> = { corners: [at(0, 0), at(4, 0), at(4, 4), at(1, -1)], edges: ['seen', 'seen', 'seen', 'uncertain'] };
  assert.ok(crossingOf(bow.corners));
  const sounder = mended(bow) as Ring<'plan'>;
  sound(sounder);
  assert.equal(crossingOf(sounder.corners), undefined);
  assert.ok(Math.abs(signedArea(sounder.corners)) > 3);
  const square: Ring<'plan'> = { corners: UNIT.corners, edges: ['seen', 'seen', 'seen', 'seen'] };
  assert.equal(crossingOf(square.corners), undefined);
  assert.deepEqual(mended(square), square);
});

test('random scribbles are mended into sound outlines with as many edges as corners', () => {
  const roll = dice(11);
  for (let turn = 0; turn < 200; turn += 1) {
    const corners = Array.from({ length: 7 }, () => at(roll(), roll()));
    const done = mended({ corners, edges: corners.map((): Edge => 'seen') });
    if (!done) continue;
    sound(done);
    assert.equal(crossingOf(done.corners), undefined);
  }
});

test('a corner is put in, taken out, and an edge is given another kind', () => {
  const ring: Ring<'plan'> = { corners: UNIT.corners, edges: ['seen', 'uncertain', 'cut away', 'seen'] };
  const more = withInserted(ring, 1, at(114, 205));
  assert.deepEqual(more.edges, ['seen', 'uncertain', 'uncertain', 'cut away', 'seen']);
  assert.deepEqual(withoutCorner(more, 2), ring);
  assert.deepEqual(withEdge(ring, 3, 'cut away').edges[3], 'cut away');
  assert.ok(holds(ring.corners, at(113, 205)) && !holds(ring.corners, at(115, 205)));
});

test('a sett from one stroke has its axis, breadth and bearing', () => {
  const sett = pieceAlong(at(112.642, 205.913), at(112.647, 205.709), 0.085);
  assert.ok(sett);
  near(sett.bearing ?? -1, 178.6, 0.05); // as measured on the demo's sett S01
  near(sett.longer, 0.20406, 1e-4);
  near(signedArea(sett.ring), 0.20406 * 0.085, 2e-4);
  assert.equal(pieceAlong(at(0, 0), at(0, 1), 0.97)?.bearing, undefined);
  assert.equal(pieceAlong(at(1, 1), at(1, 1), 0.1), undefined);
  near(pieceAlong(at(0, 0), at(0, -1), 0.1)?.bearing ?? -1, 0);
});

test('a stone drawn round has the axis of the smallest box that holds it', () => {
  const stroke = Array.from({ length: 60 }, (_, step) => {
    const round = (share: number): number => Math.sign(share) * Math.abs(share) ** 0.3; // corners rounded, sides nearly straight
    const [a, b] = [0.2 * round(Math.cos((2 * Math.PI * step) / 60)), 0.1 * round(Math.sin((2 * Math.PI * step) / 60))];
    const turn = Math.PI / 6;
    return at(5 + a * Math.cos(turn) - b * Math.sin(turn), 5 + a * Math.sin(turn) + b * Math.cos(turn));
  });
  assert.ok(runsRound([...stroke, stroke[0] as OnPlan]));
  assert.ok(!runsRound(Array.from({ length: 20 }, (_, step) => at(step, 0))));
  const stone = pieceRound(stroke, 0.004);
  assert.ok(stone);
  near(stone.bearing ?? -1, 60, 2);
  near(stone.longer, 0.4, 0.02);
  near(stone.shorter, 0.2, 0.02);
});

test('bearings run clockwise from grid north, and a place is rounded to the millimetre', () => {
  assert.deepEqual([at(0, 1), at(1, 0), at(0, -1), at(-1, 0)].map((to) => bearingOf(at(0, 0), to)), [0, 90, 180, 270]);
  assert.deepEqual(rounded(at(112.34567, 205.1)), at(112.346, 205.1));
});

test('ticks stand at round numbers', () => {
  assert.equal(roundStep(320, 60), 0.2);
  assert.equal(roundStep(100, 100), 1);
  assert.deepEqual(ticksIn(111.95, 112.65, 0.2), [112, 112.2, 112.4, 112.6]);
  assert.deepEqual([decimalsOf(0.2), decimalsOf(0.05), decimalsOf(10)], [1, 2, 0]);
});
