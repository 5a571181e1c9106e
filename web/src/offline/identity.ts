/** Ids and hybrid time, as `baulk.record.identity` makes them: the clock's reading and random bits are handed in. */

const RANDOM_BITS = 74n;
const LOW = (1n << 62n) - 1n;

/** Return the UUID version 7 (RFC 9562, section 5.7) of a moment, from 74 random bits. */
export function idAt(milliseconds: number, bits: bigint): string {
  const number = (BigInt(milliseconds) << 80n) | (0x7n << 76n) | ((bits >> 62n) << 64n) | (0b10n << 62n) | (bits & LOW);
  const digits = number.toString(16).padStart(32, '0');
  return [digits.slice(0, 8), digits.slice(8, 12), digits.slice(12, 16), digits.slice(16, 20), digits.slice(20)].join('-');
}

/** Return 74 random bits. */
export function randomBits(): bigint {
  let bits = 0n;
  for (const part of crypto.getRandomValues(new Uint32Array(3))) bits = (bits << 32n) | BigInt(part);
  return bits & ((1n << RANDOM_BITS) - 1n);
}

/** Return the text of a hybrid time: 13 digits, a point, 6 digits. Its text sorts as the times do. */
export function timeText(milliseconds: number, count = 0): string {
  return `${String(milliseconds).padStart(13, '0')}.${String(count).padStart(6, '0')}`;
}

/** Return the clock's part of a hybrid time, in milliseconds. */
export function clockOf(time: string): number {
  return Number(time.slice(0, time.indexOf('.')));
}

/** Return the time of a new change after `last`, given this device's clock: it never runs backwards. */
export function nextTime(last: string, clock: number): string {
  const known = clockOf(last);
  return clock > known ? timeText(clock) : timeText(known, Number(last.slice(last.indexOf('.') + 1)) + 1);
}

/** Return the later of two times. */
export function laterTime(one: string, other: string): string {
  return one > other ? one : other;
}

/** The time before every change. */
export const NO_TIME = timeText(0);
