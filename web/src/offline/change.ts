/** The unit of truth, one change, as `baulk.record.change` has it. */

/** A change of one record. A creation has no `field` and a mapping of first values; every other change writes one field. */
export interface Change {
  readonly id: string;
  readonly time: string;
  readonly device: string;
  readonly person: string;
  readonly kind: string;
  readonly record: string;
  readonly field?: string;
  readonly value?: unknown;
  readonly replaced?: unknown;
  /** The changes of the same field that the writer had in view. */
  readonly after?: readonly string[];
  readonly entered?: string;
  readonly why?: string;
}

/** Who writes, where and when. */
export interface Stamp {
  readonly id: string;
  readonly time: string;
  readonly device: string;
  readonly person: string;
}

/** Words beside a change: as typed before it was reduced, and why it was made. */
export interface Beside {
  readonly entered?: string;
  readonly why?: string;
}

export function creation(stamp: Stamp, kind: string, record: string, values: Readonly<Record<string, unknown>>, beside: Beside = {}): Change {
  const held = Object.entries(values).filter(([name, value]) => value !== null && value !== undefined && name !== 'id');
  return { ...stamp, kind, record, value: Object.fromEntries(held), ...said(beside) };
}

export interface Rewritten {
  readonly kind: string;
  readonly record: string;
  readonly field: string;
  readonly value: unknown;
  readonly replaced: unknown;
  readonly after: readonly string[];
}

export function rewrite(stamp: Stamp, what: Rewritten, beside: Beside = {}): Change {
  const { kind, record, field, value, replaced, after } = what;
  return { ...stamp, kind, record, field, value, replaced, after: [...after], ...said(beside) };
}

function said({ entered, why }: Beside): Beside {
  return { ...(entered ? { entered } : {}), ...(why ? { why } : {}) };
}
