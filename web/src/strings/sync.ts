/** Every word of recording offline: joining, the queue, differences, notices. */

const many = (count: number, one: string, more: string): string => `${count.toLocaleString()} ${count === 1 ? one : more}`;

export const sync = {
  nobodyNamed: 'Nobody is named as the recorder on this device, so nothing was written. Open “Join”, give your initials and a name for the device.',
  diskFull: 'This device’s storage is full, so the last entry was not kept. Send what waits, or free some room, then enter it again.',
  notKept: (reason: string) => `This device did not keep the last entry (${reason}). Enter it again; what was kept before is still there.`,
  newerPage: 'A newer version of the workbench is open on this device. Reload this page to go on; what waits to be sent is kept.',
  outOfNumbers: (title: string) =>
    `No ${title} number is left in your block, and the site server is out of reach to give another. Write it on paper without a number, or go to where the network reaches.`,
  smallPicture: 'Small, as this device holds it: the whole picture shows when the site server is in reach.',
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

  joinTitle: 'Join',
  joinHelp: 'To record on this device, join the site with the code that the site server shows on its screen.',
  joinKept: (count: number) => `${many(count, 'thing', 'things')} entered here wait on this device. They are sent as soon as you have joined.`,
  code: 'Joining code',
  codeHelp: 'Ten letters and figures. Each start of the server makes a new one.',
  codeMissing: 'The code is blank: read it off the server’s screen.',
  person: 'Your initials',
  personHelp: 'They stand beside everything that you enter.',
  personMissing: 'The initials are blank: without them nobody could tell who wrote an entry.',
  deviceName: 'Name of this device',
  deviceNameHelp: 'As the crew calls it, such as the colour of its case.',
  nameMissing: 'The device has no name: give it one that the crew knows it by.',
  deviceGuess: (agent: string) => (/iPad|Tablet/.test(agent) ? 'tablet' : /Android|iPhone|Mobile/.test(agent) ? 'phone' : 'laptop'),
  joinButton: 'Join the site',
  joining: 'Joining…',
  joined: (person: string) => `Joined as ${person}. What you enter is kept on this device and sent when the network allows.`,

  deviceTitle: 'Device',
  who: (person: string, device: string) => `${person} · ${device}`,
  recorder: 'Recorder',
  nobody: 'nobody has joined on this device',
  joinOther: 'Join as another',
  network: 'Site server',
  inReach: 'in reach',
  notInReach: 'out of reach: go on recording, it is sent later',
  heardAt: (when: string) => `last heard at ${when}`,
  waitingTitle: 'Waits to be sent',
  nothingWaits: 'Nothing: all is with the site server.',
  waitingCount: (entries: number, files: number) =>
    [entries > 0 && many(entries, 'entry', 'entries'), files > 0 && many(files, 'photo or file', 'photos and files')].filter(Boolean).join(' and '),
  sendNow: 'Send now',
  roomTitle: 'Room on this device',
  roomWords: (used: string, whole: string) => `${used} of ${whole} used.`,
  lasts: 'The browser keeps it until you clear it.',
  lastsNot: 'The browser may clear it when the device runs short.',
  askToLast: 'Ask it to keep it',
  waitingList: 'Entries that wait',
  blanked: 'blank',
  refusedWhy: (why: string) => `Refused by the server: ${why}`,
  showAll: (count: number) => `Show all ${count.toLocaleString()}`,
  tryAgain: 'Try the refused ones again',
  lastResort: 'When no network comes',
  lastResortHelp:
    'Save all that waits to a file, carry it to any device that has joined the site, and take it in there. Nothing counts twice, however often it is taken in.',
  saveWaiting: 'Save what waits to a file',
  takeInFile: 'Take in such a file',
  savedAs: (name: string) => `Saved as ${name}. What waits stays on this device too.`,
  takenIn: (count: number) => (count === 0 ? 'Nothing new was in that file.' : `${many(count, 'entry', 'entries')} taken in; they wait to be sent from here.`),
  notWaiting: 'This is no file of waiting entries, or it is damaged, so nothing was taken in. Choose one that “Save what waits to a file” made.',
  waitingOfOther: 'This file is of another site, so nothing was taken in. Take it in on a device that joined that site.',

  settleTitle: 'Differences',
  settleHelp: 'Two people wrote these without sight of each other. Both values are kept. Say which is right, or write a third, with the reason.',
  noDifferences: 'Nothing differs: every field has one value in view.',
  wroteWhen: (person: string, device: string, when: string) => `${person} on ${device}, ${when}`,
  inView: 'in view now',
  chooseThis: 'This one is right',
  third: 'Another value',
  reason: 'Reason',
  reasonHelp: 'How it was decided: looked at together, measured again, …',
  reasonMissing: 'Give the reason first: whoever reads the record later wants to know how it was decided.',
  writeThird: 'Write this value',
  settled: (field: string, label: string) => `Settled: ${field} of ${label}. Both earlier values stay in its history.`,
  notANumber: (text: string) => `“${text}” is no number. Write the figures alone, in the site’s own quantity.`,
  blankValue: 'blank',

  storageNearlyFull: (left: string) =>
    `Storage on this device is nearly full: about ${left} left. Send what waits and free some room before taking more photos. Nothing is lost so far.`,
  mayBeCleared: 'This browser may clear the page’s storage when the device runs short. Install the page on the device, and send what waits each day.',
  clockOff: (by: string, fast: boolean) =>
    `This device’s clock is ${by} ${fast ? 'fast' : 'slow'}. Entries are put in their right order all the same; set the clock when you can.`,
  refusedChanges: (count: number) => `The server refused ${many(count, 'entry', 'entries')}. They are kept on this device: see why under “Device”.`,
  noted: (words: string) => `Kept, with a note: ${words}`,
  serverSays: (words: string) => `Sending and fetching stopped and will be tried again: ${words} What is entered here is kept on this device.`,
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
