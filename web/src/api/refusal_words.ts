/** What was thrown, as the person is told it. */
export function wordsOf(refusal: unknown): string {
  return refusal instanceof Error ? refusal.message : String(refusal);
}
