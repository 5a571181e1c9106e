/** What a device says to the person who holds it. */

export interface Notice {
  /** One notice stands under each mark: a later one takes its place. */
  readonly id: string;
  /** `alarm` where work could be lost or is not sent, `caution` where something wants doing. */
  readonly level: 'alarm' | 'caution' | 'word';
  readonly words: string;
  /** Place of the workbench where it is mended. */
  readonly place?: string;
  /** Whether the person may put it away. */
  readonly passing?: boolean;
}
