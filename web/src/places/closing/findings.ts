/** Findings in the order in which a person at the trench wants them. */

import type { FindingLine } from '../../api/schema.ts';

const OUTCOMES = ['fail', 'cannot tell', 'waived', 'pass', 'not applicable'];
const SEVERITIES = ['lost for good', 'recoverable', 'good practice'];

export interface OutcomeGroup {
  readonly outcome: string;
  readonly findings: readonly FindingLine[];
}

/** Return the findings by outcome, open ones first, and in each what is lost for good before all. */
export function inOutcomes(findings: readonly FindingLine[]): OutcomeGroup[] {
  const rank = (list: readonly string[], word: string): number => (list.includes(word) ? list.indexOf(word) : list.length);
  const outcomes = [...new Set(findings.map((finding) => finding.outcome))].sort((one, other) => rank(OUTCOMES, one) - rank(OUTCOMES, other));
  return outcomes.map((outcome) => ({
    outcome,
    findings: findings
      .filter((finding) => finding.outcome === outcome)
      .sort((one, other) => rank(SEVERITIES, one.severity) - rank(SEVERITIES, other.severity)),
  }));
}
