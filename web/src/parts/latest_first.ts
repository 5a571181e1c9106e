/** Contexts in the order in which they lie, as the relations of this device tell it, latest first. */

import { ORDERING, SAME, type Ordered } from './loop.ts';

/**
 * Return ids latest first: none stands before one that lies over it, as far as no loop forbids it; those between which nothing
 * tells stand in the order given. Contexts that are one in time stand together.
 */
export function latestFirst(ids: readonly string[], relations: readonly Ordered[]): string[] {
  const one = new Map<string, string>();
  const root = (id: string): string => {
    let at = id;
    for (let next = one.get(at); next !== undefined; next = one.get(at)) at = next;
    return at;
  };
  for (const { later, earlier, how } of relations) if (SAME.includes(how) && root(later) !== root(earlier)) one.set(root(later), root(earlier));
  const below = new Map<string, Set<string>>();
  const above = new Map<string, number>();
  for (const { later, earlier, how } of relations) {
    const [from, to] = [root(later), root(earlier)];
    if (!ORDERING.includes(how) || from === to) continue;
    const known = below.get(from) ?? new Set();
    if (!known.has(to)) above.set(to, (above.get(to) ?? 0) + 1);
    below.set(from, known.add(to));
  }
  const depth = new Map<string, number>();
  const all = [...new Set([...ids.map(root), ...below.keys(), ...above.keys()])];
  let front = all.filter((id) => !above.get(id));
  for (let at = 0; front.length > 0; at += 1) {
    const next: string[] = [];
    for (const id of front) {
      depth.set(id, at);
      for (const lower of below.get(id) ?? []) {
        const left = (above.get(lower) ?? 1) - 1;
        above.set(lower, left);
        if (left === 0) next.push(lower);
      }
    }
    front = next;
  }
  const at = (id: string): number => depth.get(root(id)) ?? Number.MAX_SAFE_INTEGER;
  return [...ids].sort((first, second) => at(first) - at(second));
}
