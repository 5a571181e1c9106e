/** Findings in the order in which a person at the trench wants them. */

import type { FindingLine } from '../../api/schema.ts';

const OPEN = ['fail', 'cannot tell'];
/** What is open goes by what happens to it at backfill, the rest by its outcome. */
const GROUPS = ['lost for good', 'recoverable', 'good practice', 'waived', 'pass', 'not applicable'];

export interface FindingGroup {
  readonly name: string;
  readonly open: boolean;
  readonly findings: readonly FindingLine[];
}

export const isOpen = (finding: FindingLine): boolean => OPEN.includes(finding.outcome);

/** Return the findings in groups: what would be lost for good first; in each, the stop-list and then what fails before the rest. */
export function inGroups(findings: readonly FindingLine[]): FindingGroup[] {
  const held = new Map<string, FindingLine[]>();
  for (const finding of findings) {
    const name = isOpen(finding) ? finding.severity : finding.outcome;
    held.set(name, [...(held.get(name) ?? []), finding]);
  }
  const rank = (name: string): number => (GROUPS.includes(name) ? GROUPS.indexOf(name) : GROUPS.length);
  const lines = (group: FindingLine[]): FindingLine[] =>
    group.sort((one, other) => Number(other.blocks) - Number(one.blocks) || OPEN.indexOf(one.outcome) - OPEN.indexOf(other.outcome));
  return [...held.keys()]
    .sort((one, other) => rank(one) - rank(other))
    .map((name) => ({ name, open: held.get(name)?.some(isOpen) ?? false, findings: lines(held.get(name) ?? []) }));
}
