/** What recording refuses, in words for the person who records. */

import { wordsOf } from '../api/refusal_words.ts';
import { sync } from '../strings/sync.ts';

/** Nobody is named as the writer on this device. */
export class NobodyNamed extends Error {
  override name = 'NobodyNamed';
  constructor() {
    super(sync.nobodyNamed);
  }
}

/** The device's disk did not take it; nothing was written. */
export class NotKept extends Error {
  override name = 'NotKept';
  constructor(cause: unknown) {
    const full = cause instanceof DOMException && cause.name === 'QuotaExceededError';
    super(full ? sync.diskFull : sync.notKept(wordsOf(cause)), { cause });
  }
}

/** A newer page of the workbench took over this device's disk. */
export class NewerPage extends Error {
  override name = 'NewerPage';
  constructor() {
    super(sync.newerPage);
  }
}

/** This recorder has no free number left. */
export class OutOfNumbers extends Error {
  override name = 'OutOfNumbers';
  constructor(title: string) {
    super(sync.outOfNumbers(title));
  }
}

/** The record is not on this device. */
export class NotHere extends Error {
  override name = 'NotHere';
  constructor(id: string) {
    super(sync.notHere(id));
  }
}

/** What is in view was written later than what is to be taken back. */
export class CannotUndo extends Error {
  override name = 'CannotUndo';
}
