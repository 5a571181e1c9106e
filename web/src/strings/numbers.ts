/** Words about where a number comes from. */

export const numbers = {
  fromBlock: (number: string, person: string, first: number, last: number) =>
    `${number} is from ${person}’s block ${first} to ${last} on this device. Each device has a block of its own, so that two never use the same number.`,
  promise: 'Use a number promised on paper',
  promised: 'Number promised on paper',
  taken: (number: string) => `${number} is taken already: see its sheet. Give another, or leave the box empty for the next number of the block.`,
  elsewhere: (number: string, person: string, first: number, last: number) =>
    `${number} is free as far as this device knows. It lies in ${person}’s block ${first} to ${last}, which another device has: tell ${person}, or it may be used twice.`,
  free: (number: string) => `${number} is free as far as this device knows.`,
};
