/** An SVG text from the server as an element of the page. */

import { readViewBox, type ViewBox } from '../geometry/view_box.ts';

export interface Drawn {
  readonly svg: SVGSVGElement;
  /** The whole sheet. */
  readonly whole: ViewBox;
  /** The sheet down to where its key begins. */
  readonly body: ViewBox;
}

const FORBIDDEN = 'script, foreignObject, iframe, object, embed, style, image, use, a, animate, set';

const TAG = '.baulk-number[data-name]';

/** Millimetres that the key's heading rises above its foot line. */
const KEY_HEAD = 4;

/** Return the drawing, or undefined when the text is none; whatever could act or fetch is left out. */
export function drawnFrom(text: string): Drawn | undefined {
  const parsed = new DOMParser().parseFromString(text, 'image/svg+xml').documentElement;
  if (parsed.localName !== 'svg') return undefined;
  for (const element of parsed.querySelectorAll(FORBIDDEN)) element.remove();
  for (const element of [parsed, ...parsed.querySelectorAll('*')]) {
    for (const attribute of [...element.attributes]) {
      if (attribute.name.startsWith('on') || attribute.localName === 'href' || attribute.name === 'style') element.removeAttributeNode(attribute);
    }
  }
  const svg = document.importNode(parsed, true) as unknown as SVGSVGElement;
  const whole = readViewBox(svg.getAttribute('viewBox'));
  if (!whole) return undefined;
  svg.removeAttribute('width');
  svg.removeAttribute('height');
  svg.setAttribute('preserveAspectRatio', 'xMidYMin meet');
  return { svg, whole, body: aboveKey(svg, whole) };
}

function aboveKey(svg: SVGSVGElement, whole: ViewBox): ViewBox {
  const top = Number(svg.querySelector('.baulk-key text')?.getAttribute('y'));
  const height = top - KEY_HEAD - whole.top;
  return height > whole.height / 4 ? { ...whole, height } : whole;
}

/** Return the ids of the records drawn, each once, in the order drawn. */
export function recordsIn(svg: SVGSVGElement): string[] {
  const ids = [...svg.querySelectorAll<SVGElement>('[data-record]')].map((group) => group.dataset['record'] ?? '');
  return [...new Set(ids)].filter((id) => id !== '');
}

/** Return the id of the record drawn at an element of the drawing; a number's tag stands for the record of that number. */
export function recordAt(target: Element): string {
  const group = target.closest<SVGElement>('[data-record]') ?? ofTag(target.closest<SVGElement>(TAG));
  return group?.dataset['record'] ?? '';
}

function ofTag(tag: SVGElement | null): SVGElement | null {
  const number = tag?.dataset['name'];
  return number ? (tag.ownerSVGElement?.querySelector<SVGElement>(`[data-record][data-name="${CSS.escape(number)}"]`) ?? null) : null;
}

/** Mark the groups of the chosen record, and return the area of the first in the drawing's own millimetres. */
export function markChosen(svg: SVGSVGElement, chosen: string): ViewBox | undefined {
  let area: ViewBox | undefined;
  for (const group of svg.querySelectorAll<SVGGraphicsElement>('[data-record]')) {
    const is = chosen !== '' && group.dataset['record'] === chosen;
    group.classList.toggle('chosen', is);
    if (is && !area) area = areaOf(svg, group);
  }
  for (const tag of svg.querySelectorAll<SVGElement>(TAG)) tag.classList.toggle('chosen', chosen !== '' && recordAt(tag) === chosen);
  return area;
}

/** Return the area of the record drawn highest; of several as high, the one nearest to the middle of the sheet. */
export function topmost({ svg, body }: Drawn): ViewBox {
  const middle = body.left + body.width / 2;
  let best: ViewBox = body;
  for (const group of svg.querySelectorAll<SVGGraphicsElement>('[data-record]')) {
    const { x: left, y: top, width, height } = group.getBBox();
    const nearer = Math.abs(left + width / 2 - middle) < Math.abs(best.left + best.width / 2 - middle);
    if (best === body || top < best.top - height / 2 || (top < best.top + height / 2 && nearer)) best = { left, top, width, height };
  }
  return best;
}

function areaOf(svg: SVGSVGElement, group: SVGGraphicsElement): ViewBox | undefined {
  const to = svg.getScreenCTM()?.inverse();
  const rect = group.getBoundingClientRect();
  if (!to || rect.width === 0) return undefined;
  const from = new DOMPoint(rect.left, rect.top).matrixTransform(to);
  const end = new DOMPoint(rect.right, rect.bottom).matrixTransform(to);
  return { left: from.x, top: from.y, width: end.x - from.x, height: end.y - from.y };
}
