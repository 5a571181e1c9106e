/** What is said of every field, as the server told it last. */

import type { FieldView, KindView } from '../api/schema.ts';

export const facts: { kinds: readonly KindView[] } = $state({ kinds: [] });

/** Take what the server tells of the fields. */
export function knowFields(kinds: readonly KindView[]): void {
  facts.kinds = kinds;
}

export function factsOf(kind: string): readonly FieldView[] {
  return facts.kinds.find((one) => one.kind === kind)?.fields ?? [];
}
