/** The map of a site with many units; fetched when it is asked for, since the map library is no part of the first load. */

import Feature from 'ol/Feature.js';
import MapOfUnits from 'ol/Map.js';
import View from 'ol/View.js';
import ScaleLine from 'ol/control/ScaleLine.js';
import { type Extent, getCenter } from 'ol/extent.js';
import MultiLineString from 'ol/geom/MultiLineString.js';
import Point from 'ol/geom/Point.js';
import Polygon from 'ol/geom/Polygon.js';
import VectorLayer from 'ol/layer/Vector.js';
import Projection from 'ol/proj/Projection.js';
import VectorSource from 'ol/source/Vector.js';
import Fill from 'ol/style/Fill.js';
import RegularShape from 'ol/style/RegularShape.js';
import Stroke from 'ol/style/Stroke.js';
import Style from 'ol/style/Style.js';
import Text from 'ol/style/Text.js';

import type { SiteMap } from '../../api/schema.ts';

export interface UnitsMap {
  mark(id: string): void;
  zoom(steps: number): void;
  whole(): void;
  lookAt(id: string): void;
  away(): void;
}

interface Asked {
  readonly target: HTMLElement;
  readonly site: SiteMap;
  readonly metres: number;
  readonly imperial: boolean;
  readonly onchoose: (id: string) => void;
}

/** Pixels of a unit's side from which its number is written. */
const NUMBERED_FROM = 26;
const GRID_LINES = 40;

export function unitsMap({ target, site, metres, imperial, onchoose }: Asked): UnitsMap {
  const colours = coloursOf(target);
  const units = new VectorSource({ features: unitFeatures(site, metres), wrapX: false });
  const whole = widened(units.getExtent() ?? [0, 0, 1, 1]);
  const projection = new Projection({ code: 'site grid', units: 'm', extent: whole });
  let chosen = '';

  const styles = stylesOf(colours);
  const layer = new VectorLayer({ source: units, style: (unit, resolution) => styles(unit as Feature, resolution, unit.getId() === chosen), renderBuffer: 300 });
  const marks = new VectorLayer({ source: new VectorSource({ features: stationFeatures(site, metres), wrapX: false }), style: (mark) => stationStyle(colours, String(mark.get('number'))) });
  const grid = new VectorLayer({ source: new VectorSource({ features: [gridOver(whole)], wrapX: false }), style: new Style({ stroke: new Stroke({ color: colours.line, width: 1 }) }) });
  const map = new MapOfUnits({
    target,
    layers: [grid, layer, marks],
    controls: [new ScaleLine({ units: imperial ? 'us' : 'metric' })],
    view: new View({ projection, center: getCenter(whole), showFullExtent: true, extent: widened(whole), maxZoom: 24, enableRotation: false }),
  });
  map.getView().fit(whole);
  map.on('click', (event) => {
    const hit = map.forEachFeatureAtPixel(event.pixel, (found) => found.getId(), { layerFilter: (one) => one === layer, hitTolerance: 12 });
    onchoose(String(hit ?? ''));
  });
  return {
    mark(id) {
      chosen = id;
      layer.changed();
    },
    zoom(steps) {
      map.getView().adjustZoom(steps);
    },
    whole() {
      map.getView().fit(whole);
    },
    lookAt(id) {
      const found = units.getFeatureById(id)?.getGeometry();
      if (found) map.getView().fit(widened(widened(found.getExtent(), 2)));
    },
    away() {
      map.setTarget(undefined);
      map.dispose();
    },
  };
}

type Colours = Record<'ink' | 'line' | 'sheet' | 'accent' | 'paper' | 'soft', string>;

function coloursOf(target: HTMLElement): Colours {
  const probe = target.ownerDocument.createElement('span');
  target.append(probe);
  const read = (name: string): string => {
    probe.style.color = `var(${name})`;
    return getComputedStyle(probe).color;
  };
  const found = { ink: read('--ink'), line: read('--line'), sheet: read('--sheet'), accent: read('--accent'), paper: read('--paper'), soft: read('--soft-ink') };
  probe.remove();
  return found;
}

function unitFeatures(site: SiteMap, metres: number): Feature[] {
  return site.corners.map((corners, at) => {
    const ring = corners.map(([east, north]) => [east * metres, north * metres]);
    const unit = new Feature({ geometry: new Polygon([[...ring, ring[0] ?? [0, 0]]]), number: site.numbers[at], open: site.open[at] });
    unit.setId(site.ids[at]);
    return unit;
  });
}

function stationFeatures(site: SiteMap, metres: number): Feature[] {
  return site.stations.map((one) => new Feature({ geometry: new Point([one.easting * metres, one.northing * metres]), number: one.number }));
}

/** An open unit has a firm line, a closed one a broken line: the same words of line as on every drawing. */
function stylesOf(colours: Colours): (unit: Feature, resolution: number, chosen: boolean) => Style {
  const fill = new Fill({ color: colours.sheet });
  const strokes = {
    open: new Stroke({ color: colours.ink, width: 1.6 }),
    closed: new Stroke({ color: colours.soft, width: 1, lineDash: [4, 3] }),
    chosen: new Stroke({ color: colours.accent, width: 4 }),
  };
  const plain = { open: new Style({ fill, stroke: strokes.open }), closed: new Style({ fill, stroke: strokes.closed }) };
  return (unit, resolution, chosen) => {
    const state = unit.get('open') ? 'open' : 'closed';
    const [west, south, east, north] = unit.getGeometry()!.getExtent() as [number, number, number, number];
    const numbered = Math.min(east - west, north - south) / resolution >= NUMBERED_FROM;
    if (!numbered && !chosen) return plain[state];
    const text = new Text({ text: String(unit.get('number')), font: '600 15px "Atkinson Hyperlegible Next Variable", sans-serif', overflow: true, fill: new Fill({ color: colours.ink }), stroke: new Stroke({ color: colours.paper, width: 3 }) });
    return new Style({ fill, stroke: chosen ? strokes.chosen : strokes[state], text, zIndex: chosen ? 1 : 0 });
  };
}

function stationStyle(colours: Colours, number: string): Style {
  return new Style({
    image: new RegularShape({ points: 3, radius: 8, fill: new Fill({ color: colours.accent }) }),
    text: new Text({ text: number, offsetY: -16, font: '15px "Atkinson Hyperlegible Next Variable", sans-serif', fill: new Fill({ color: colours.ink }), stroke: new Stroke({ color: colours.paper, width: 3 }) }),
  });
}

function gridOver([west = 0, south = 0, east = 1, north = 1]: Extent): Feature {
  const step = gridStep(Math.max(east - west, north - south));
  const lines = [];
  for (let at = Math.ceil(west / step) * step; at <= east; at += step) lines.push([[at, south], [at, north]]);
  for (let at = Math.ceil(south / step) * step; at <= north; at += step) lines.push([[west, at], [east, at]]);
  return new Feature({ geometry: new MultiLineString(lines) });
}

/** The smallest of 1, 2, 5, 10, … metres that keeps the grid to so many lines. */
export function gridStep(side: number): number {
  const least = side / GRID_LINES;
  const power = 10 ** Math.floor(Math.log10(least));
  return ([1, 2, 5, 10].find((one) => one * power >= least) ?? 10) * power;
}

function widened([west = 0, south = 0, east = 1, north = 1]: Extent, share = 0.1): Extent {
  const by = Math.max(east - west, north - south, 1) * share;
  return [west - by, south - by, east + by, north + by];
}
