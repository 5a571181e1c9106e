/** The part of a sheet that a viewer shows, in the sheet's own millimetres. */

export interface ViewBox {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** How much closer than the whole sheet a viewer goes. */
const CLOSEST = 40;

export function readViewBox(text: string | null): ViewBox | undefined {
  const [left, top, width, height] = (text ?? '').trim().split(/[\s,]+/).map(Number);
  if (left === undefined || top === undefined || !width || !height) return undefined;
  return { left, top, width, height };
}

export function writeViewBox(box: ViewBox): string {
  return [box.left, box.top, box.width, box.height].join(' ');
}

/** Return the box `factor` times closer, keeping the place at (`across`, `down`), given as shares of the box, where it is. */
export function closer(box: ViewBox, whole: ViewBox, factor: number, across = 0.5, down = 0.5): ViewBox {
  const width = Math.min(whole.width, Math.max(whole.width / CLOSEST, box.width / factor));
  const height = (width * box.height) / box.width;
  return within({ left: box.left + (box.width - width) * across, top: box.top + (box.height - height) * down, width, height }, whole);
}

/** Return the box moved by shares of its own size. */
export function moved(box: ViewBox, whole: ViewBox, across: number, down: number): ViewBox {
  return within({ ...box, left: box.left + box.width * across, top: box.top + box.height * down }, whole);
}

/** Return the box moved as little as may be so that it lies on the sheet. */
function within(box: ViewBox, whole: ViewBox): ViewBox {
  const left = Math.min(Math.max(box.left, whole.left), whole.left + whole.width - box.width);
  const top = Math.min(Math.max(box.top, whole.top), whole.top + whole.height - box.height);
  return { ...box, left, top };
}

/** Return the box moved so that a smaller area is in sight; unchanged when it is already, or as far as it can be. */
export function bringIn(box: ViewBox, whole: ViewBox, area: ViewBox): ViewBox {
  const seen =
    area.left >= box.left &&
    area.top >= box.top &&
    area.left + area.width <= box.left + box.width &&
    area.top + area.height <= box.top + box.height;
  if (seen) return box;
  const to = within({ ...box, left: area.left + area.width / 2 - box.width / 2, top: area.top + area.height / 2 - box.height / 2 }, whole);
  const there = Math.hypot(to.left - box.left, to.top - box.top) < box.width / 1e6; // an area larger than the box never lies in it
  return there ? box : to;
}
