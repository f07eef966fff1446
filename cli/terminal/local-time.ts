import { DAY_S, MINUTE_MS } from '../../shared/units/time';

const two = (count: number): string => String(count).padStart(2, '0');

/** The same for programs (ISO 8601), with how far this place is from UTC then: `2026-03-01T14:30:05+01:00`. */
export function localIso(unixMs: number): string {
  const aheadMin = -new Date(unixMs).getTimezoneOffset();
  const size = Math.abs(aheadMin);
  const offset = `${aheadMin < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`;
  return localTime(unixMs).replace(' ', 'T') + offset;
}

/** Date and time of this place, as every screen writes it: `2026-03-01 14:30:05`. */
export function localTime(unixMs: number): string {
  const local = new Date(unixMs - new Date(unixMs).getTimezoneOffset() * MINUTE_MS);
  return local.toISOString().slice(0, 19).replace('T', ' ');
}

/** The time `agoS` seconds before `nowMs`, Unix ms, to the minute: `05:59`, with its date when that is a day or more. */
export function timeAgo(agoS: number, nowMs: number): string {
  const text = localTime(nowMs - agoS * 1000).slice(0, 16);
  return agoS < DAY_S ? text.slice(11) : text;
}
