/** Numbers come from this recorder's own blocks, so that two devices out of reach of each other never give the same. */

import { applied } from './fold.ts';
import { NO_TIME } from './identity.ts';
import { single, writing } from './disk.ts';
import { disk, readAgain } from './memory.ts';
import { OutOfNumbers } from './refusals.ts';
import { all, numbersOf } from './records.svelte.ts';
import { reserve } from './reserved.ts';
import { askBlock } from './server.ts';
import { state } from './state.svelte.ts';
import { tell } from './tabs.ts';
import { kindTitle } from './telling.ts';

/** How many numbers a block of each series holds, and how few may be left before another is asked for. */
const BLOCKS: Readonly<Record<string, number>> = { context: 20, find: 50, sample: 20, photo: 50, drawing: 10 };
const OTHERS = 10;
const LEAST_SHARE = 0.3;

/** Return the next free number of a kind, kept for this tab until a record has it or `giveBack` is called. */
export async function nextNumber(kind: string): Promise<string> {
  let number = await reserve(kind, await freeNumbers(kind));
  if (number === undefined && state.joined) {
    await takeBlock(kind).catch(() => undefined); // the words below say what is missing
    number = await reserve(kind, await freeNumbers(kind));
  }
  if (number === undefined) throw new OutOfNumbers(kindTitle(kind));
  return String(number);
}

/** A block of numbers, and whether it was handed to this device. */
export interface Block {
  readonly first: number;
  readonly last: number;
  readonly person: string;
  readonly own: boolean;
}

/** Return the block that a number lies in; undefined when it lies in none that this device knows of. */
export async function blockOf(kind: string, number: string): Promise<Block | undefined> {
  const [own, wanted] = [new Set((await single(await disk(), 'blocks')) ?? []), Number(number)];
  return all('number_block')
    .filter((block) => block.values['series'] === kind)
    .map(({ id, values }) => ({ first: Number(values['first']), last: Number(values['last']), person: String(values['person'] ?? ''), own: own.has(id) }))
    .find(({ first, last }) => first <= wanted && wanted <= last);
}

/** Return the numbers of a kind that are still free in the blocks of this device. */
export async function freeNumbers(kind: string): Promise<number[]> {
  const own = new Set((await single(await disk(), 'blocks')) ?? []);
  const used = numbersOf(kind);
  return all('number_block')
    .filter((block) => own.has(block.id) && block.values['series'] === kind)
    .map((block) => ({ first: Number(block.values['first']), last: Number(block.values['last']) }))
    .sort((one, other) => one.first - other.first)
    .flatMap(({ first, last }) => Array.from({ length: Math.max(0, last - first + 1) }, (_, at) => first + at))
    .filter((number) => !used.has(String(number)));
}

/** Ask for another block of each series that runs short on this device. */
export async function refillBlocks(): Promise<void> {
  for (const [series, size] of Object.entries(BLOCKS)) {
    if ((await freeNumbers(series)).length < size * LEAST_SHARE) await takeBlock(series);
  }
}

/** Ask the server for the next block of a series and keep it as this device's own. */
export async function takeBlock(series: string): Promise<void> {
  const block = await askBlock(series, BLOCKS[series] ?? OTHERS);
  const { id, first, last, person } = block;
  const opened = await disk();
  const within = writing(opened, ['records', 'single']);
  const own = ((await within.objectStore('single').get('blocks')) as string[] | undefined) ?? [];
  void within.objectStore('single').put([...own, id], 'blocks');
  const known = await within.objectStore('records').get(id);
  // until it is fetched as the server folds it, the block stands as its answer told it
  const told = { id: `block ${id}`, time: NO_TIME, device: state.device, person: state.person, kind: 'number_block', record: id };
  if (!known) void within.objectStore('records').put(applied(undefined, { ...told, value: { series, first, last, person } }));
  await within.done;
  await readAgain([id]);
  tell({ changed: [id] }); // another tab of this device takes its numbers from the same block
}
