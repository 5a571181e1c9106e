/** Every word of recording offline: joining, the queue, differences, notices. */

const many = (count: number, one: string, more: string): string => `${count.toLocaleString()} ${count === 1 ? one : more}`;

export const sync = {
  nobodyNamed: 'Nobody is named as the recorder on this device, so nothing was written. Open “Join”, give your initials and a name for the device.',
  diskFull: 'This device’s storage is full, so the last entry was not kept. Send what waits, or free some room, then enter it again.',
  notKept: (reason: string) => `This device did not keep the last entry (${reason}). Enter it again; what was kept before is still there.`,
  newerPage: 'A newer version of the workbench is open on this device. Reload this page to go on; what waits to be sent is kept.',
  outOfNumbers: (title: string) =>
    `No ${title} number is left in your block, and the site server is out of reach to give another. Write it on paper without a number, or go to where the network reaches.`,
  notHere: (id: string) => `The record ${id.slice(-6)} is not on this device. Go to where the network reaches, so that it is fetched.`,
  nothingToUndo: 'There is nothing of this device to undo.',
  nothingToRedo: 'There is nothing to do again.',
  changedSince: (field: string, label: string) =>
    `“${field}” of ${label} has been changed again since, so this cannot be undone. Write the value that is right instead.`,
  undone: (what: string) => `Undone: ${what}.`,
  redone: (what: string) => `Done again: ${what}.`,
  fieldOf: (field: string, label: string) => `${field} of ${label}`,
  newRecord: (title: string, label: string) => `new ${title} ${label}`,
  andMore: (what: string, count: number) => `${what} and ${many(count, 'entry', 'entries')} with it`,

  storageNearlyFull: (left: string) =>
    `Storage on this device is nearly full: about ${left} left. Send what waits and free some room before taking more photos. Nothing is lost so far.`,
  mayBeCleared: 'This browser may clear the page’s storage when the device runs short. Install the page on the device, and send what waits each day.',
  clockOff: (by: string, fast: boolean) =>
    `This device’s clock is ${by} ${fast ? 'fast' : 'slow'}. Entries are put in their right order all the same; set the clock when you can.`,
  joinAgain: (words: string) => `${words} Everything entered here is kept on this device and is sent as soon as you have joined again.`,
  refusedChanges: (count: number) => `The server refused ${many(count, 'entry', 'entries')}. They are kept on this device: see why under “Device”.`,
  noted: (words: string) => `Kept, with a note: ${words}`,
  newVersion: 'A new version of the workbench is ready. Take it when it suits; what waits to be sent is kept.',
  otherSite: 'This server holds another site than the one on this device, so nothing was sent or fetched. Save what waits to a file, or go back to the right server.',
  otherSiteWaits: (count: number) =>
    `This server holds another site, and ${many(count, 'thing', 'things')} of the site on this device still wait to be sent. Send them there first, or save them to a file and clear this device.`,
  noDisk: (reason: string) => `This browser keeps nothing for pages (${reason}), so nothing can be recorded here. Open the page in an ordinary window.`,
  span: (milliseconds: number) => {
    const minutes = Math.round(milliseconds / 60_000);
    return minutes < 120 ? many(minutes, 'minute', 'minutes') : minutes < 2880 ? many(Math.round(minutes / 60), 'hour', 'hours') : many(Math.round(minutes / 1440), 'day', 'days');
  },
  size: (bytes: number) =>
    bytes < 1e6
      ? `${Math.max(0, Math.round(bytes / 1e3)).toLocaleString()}\u00a0kB`
      : bytes < 1e9
        ? `${Math.round(bytes / 1e6).toLocaleString()}\u00a0MB`
        : `${(bytes / 1e9).toLocaleString(undefined, { maximumFractionDigits: 1 })}\u00a0GB`,
  lostFile: 'The server did not get a photo whole, so it is being sent again. It is kept on this device.',
} as const;
