/**
 * What this device keeps on its disk: the base (records as the site server folds them), the queue (own changes that the base does not
 * hold yet), the acts that undo goes back by, files, small pictures of photos, and a few single values.
 *
 * Pitfalls: every writing transaction asks for strict durability, so that what has resolved outlives a flat battery; a transaction
 * ends by itself as soon as anything but its own requests is waited for.
 */

import { openDB, type DBSchema, type IDBPDatabase, type IDBPTransaction } from 'idb';

import type { Change } from './change.ts';
import type { Folded } from './fold.ts';

/** A change that waits for the server. */
export interface Queued {
  /** Where it stands in the queue. */
  readonly place?: number;
  readonly change: Change;
  readonly record: string;
  /** Why the server refused it; absent while it waits. */
  readonly refused?: string;
}

/** One act of a person: what one press of undo takes back. */
export interface Act {
  readonly place?: number;
  readonly changes: readonly Change[];
  /** The changes that took it back; empty while it stands. */
  readonly undoing: readonly Change[];
}

/** A photo or other file, kept until the server holds the whole of it and after that as room allows. */
export interface KeptFile {
  readonly sha256: string;
  readonly blob: Blob;
  readonly bytes: number;
  readonly sent: boolean;
}

/** A photo of the record as a small JPEG, for when the server is out of reach. */
export interface Thumb {
  /** The SHA-256 of the whole file. */
  readonly sha256: string;
  readonly blob: Blob;
  readonly bytes: number;
}

/** A number that one tab of this device offers, so that no other does. */
export interface Reserved {
  readonly kind: string;
  readonly number: number;
  readonly tab: string;
  /** When, in milliseconds of this device. */
  readonly at: number;
}

/** The single values. */
export interface Single {
  time: string;
  person: string;
  device: string;
  token: string;
  site: string;
  /** What who joined may see: with another, the base is fetched anew. */
  view: string;
  revision: number;
  /** The server's clock less this device's, in milliseconds. */
  ahead: number;
  app: string;
  /** Ids of the blocks of numbers that were handed to this device. */
  blocks: string[];
  reserved: Reserved[];
}

interface Layout extends DBSchema {
  records: { key: string; value: Folded };
  queue: { key: number; value: Queued; indexes: { record: string; change: string } };
  acts: { key: number; value: Act };
  files: { key: string; value: KeptFile };
  thumbs: { key: string; value: Thumb };
  single: { key: string; value: Single[keyof Single] };
}

export type Disk = IDBPDatabase<Layout>;
type StoreName = 'records' | 'queue' | 'acts' | 'files' | 'thumbs' | 'single';
export type Writing = IDBPTransaction<Layout, StoreName[], 'readwrite'>;
type Upgrading = IDBPTransaction<Layout, StoreName[], 'versionchange'>;

export const DISK_NAME = 'baulk device';
export const DISK_VERSION = 3;

/** Open the device's disk, bringing an older layout up to this one; `onNewer` is told when a newer page wants to change it. */
export function openDisk(onNewer: () => void): Promise<Disk> {
  return openDB<Layout>(DISK_NAME, DISK_VERSION, {
    async upgrade(disk, from, _to, upgrading) {
      if (from < 1) layOut(disk);
      if (from < 2) await giveActs(disk, upgrading as Upgrading);
      if (from < 3) disk.createObjectStore('thumbs', { keyPath: 'sha256' });
    },
    blocking: (_from, _to, event) => {
      onNewer();
      (event.target as IDBDatabase).close();
    },
  });
}

/** Begin a transaction that writes; wait for its `done` before telling anybody that something is kept. */
export function writing(disk: Disk, names: StoreName[] = ['records', 'queue', 'acts', 'files', 'thumbs', 'single']): Writing {
  return disk.transaction(names, 'readwrite', { durability: 'strict' });
}

/** Return one single value. */
export async function single<K extends keyof Single>(from: Disk, name: K): Promise<Single[K] | undefined> {
  return (await from.get('single', name)) as Single[K] | undefined;
}

/** Write single values. */
export async function keepSingle(disk: Disk, values: Partial<Single>): Promise<void> {
  const keeping = writing(disk, ['single']);
  for (const [name, value] of Object.entries(values)) void keeping.objectStore('single').put(value, name);
  await keeping.done;
}

/** Layout 1: the queue, keyed by its order. */
function layOut(disk: Disk): void {
  disk.createObjectStore('records', { keyPath: 'id' });
  const queue = disk.createObjectStore('queue', { keyPath: 'place', autoIncrement: true });
  queue.createIndex('record', 'record');
  disk.createObjectStore('files', { keyPath: 'sha256' });
  disk.createObjectStore('single');
}

/** Layout 2: acts that can be undone, and changes found by id. What waits in the queue stays and is still sent. */
async function giveActs(disk: Disk, upgrading: Upgrading): Promise<void> {
  disk.createObjectStore('acts', { keyPath: 'place', autoIncrement: true });
  const queue = upgrading.objectStore('queue');
  queue.createIndex('change', 'change.id', { unique: true });
}
