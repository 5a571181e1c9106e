/** Every notice of the device, in words. */

import { sync } from '../strings/sync.ts';
import type { Notice } from './notices.ts';

export const newerPage = (): Notice => ({ id: 'newer page', level: 'alarm', words: sync.newerPage });
export const storageNearlyFull = (left: string): Notice => ({ id: 'storage', level: 'alarm', words: sync.storageNearlyFull(left), place: 'device' });
export const mayBeCleared = (): Notice => ({ id: 'may be cleared', level: 'caution', words: sync.mayBeCleared, place: 'device', passing: true });
export const clockOff = (by: string, fast: boolean): Notice => ({ id: 'clock', level: 'caution', words: sync.clockOff(by, fast) });
export const joinAgain = (words: string): Notice => ({ id: 'join again', level: 'alarm', words, place: 'join' });
export const refused = (count: number): Notice => ({ id: 'refused', level: 'alarm', words: sync.refusedChanges(count), place: 'device' });
export const noted = (words: string): Notice => ({ id: `note ${words}`, level: 'caution', words: sync.noted(words), passing: true });
export const otherSite = (): Notice => ({ id: 'other site', level: 'alarm', words: sync.otherSite, place: 'device' });
export const lostFile = (sha: string): Notice => ({ id: `file ${sha}`, level: 'alarm', words: sync.lostFile, place: 'device' });
export const noDisk = (reason: string): Notice => ({ id: 'no disk', level: 'alarm', words: sync.noDisk(reason) });
export const serverSays = (words: string): Notice => ({ id: 'server', level: 'caution', words: sync.serverSays(words) });
