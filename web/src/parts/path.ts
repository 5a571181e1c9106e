/** A chain of contexts marked in a drawing of the order. */

/** Mark the boxes of a chain and the lines between them; each link of the chain is the ids of the contexts that are one there. */
export function markPath(svg: SVGSVGElement, path: readonly (readonly string[])[]): void {
  for (const marked of svg.querySelectorAll('.on-path')) marked.classList.remove('on-path');
  const boxes = path.map((ids) => boxOf(svg, ids));
  boxes.forEach((box, at) => {
    box?.classList.add('on-path');
    const before = boxes[at - 1];
    if (box && before) lineOf(svg, `${before.dataset['name']}>${box.dataset['name']}`)?.classList.add('on-path');
  });
}

function boxOf(svg: SVGSVGElement, ids: readonly string[]): SVGElement | undefined {
  for (const id of ids) {
    const box = svg.querySelector<SVGElement>(`[data-record="${CSS.escape(id)}"]`);
    if (box) return box;
  }
  return undefined;
}

function lineOf(svg: SVGSVGElement, name: string): SVGElement | null {
  return svg.querySelector<SVGElement>(`.baulk-relation[data-name="${CSS.escape(name)}"]`);
}
