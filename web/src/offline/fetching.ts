/** Fetches the records that others changed, page by page, into the base. */

import { keepSingle, writing } from './disk.ts';
import { disk, readAgain } from './memory.ts';
import { sawTime } from './pen.ts';
import { recordsAfter, type RecordsPage } from './server.ts';
import { state } from './state.svelte.ts';
import { tell } from './tabs.ts';

/** Fetch every record touched since the base was last whole. */
export async function fetchRecords(): Promise<void> {
  const opened = await disk();
  const after = state.revision;
  let page = await recordsAfter(after, null);
  const { revision } = page; // of the first page: what is written while the others come is fetched the next time
  for (;;) {
    await putInBase(page);
    if (page.next === null) break;
    page = await recordsAfter(after, page.next);
  }
  await keepSingle(opened, { revision });
  state.revision = revision;
  tell({ standing: true });
}

async function putInBase({ records }: RecordsPage): Promise<void> {
  if (records.length === 0) return;
  const within = writing(await disk(), ['records', 'single']);
  const times: string[] = [];
  for (const { gone, ...folded } of records) {
    if (gone) void within.objectStore('records').delete(folded.id);
    else void within.objectStore('records').put(folded);
    for (const heads of Object.values(folded.fields)) if (heads[0]) times.push(heads[0].time);
  }
  await sawTime(within, times);
  await within.done;
  const ids = records.map((one) => one.id);
  await readAgain(ids);
  tell({ changed: ids });
}
