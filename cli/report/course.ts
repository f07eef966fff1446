/** The course of a crop in numbers, counted from its sowing: what two of them are compared by. Pure. */

import { DAY_MS } from '../../shared/units/time';
import { arrivedOf, type Given } from '../explain/given';
import { between, notesOf, type Record } from '../explain/record';
import type { Stand } from '../explain/stand';
import { heldOf } from './heat';

/** Days are since sowing; null where it has not come to that, or nobody has marked it. */
export interface Course {
  /** On the line of time of the journal: Unix time where a clock was set. */
  readonly sownMs: number;
  readonly days: number;
  readonly emergedDay: number | null;
  readonly firstFeedDay: number | null;
  readonly transplantedDay: number | null;
  /** Those that reached the tray. */
  readonly doses: number;
  /** Water of all doses, and of each plant with its salts; NaN where nobody knows how many there are. */
  readonly ml: number;
  readonly eachMl: number;
  readonly eachSaltsMg: number;
  readonly outOfBandH: number;
  readonly matH: number;
  /** What each plant had been given up to then, dose by dose. */
  readonly fed: readonly { readonly day: number; readonly eachMl: number }[];
  /** How often an alarm was raised. */
  readonly alarms: number;
}

/** So much of the seed is up when a crop has emerged, as thermal time reckons it. */
const UP_SHARE = 0.5;

/** The last time that anything was sown up to `toMs`; null where nothing was. */
export const sownBy = (record: Record, toMs: number): number | null =>
  notesOf(record, 'mark')
    .filter(({ atMs, entry }) => entry.mark === 'sown' && atMs <= toMs)
    .at(-1)?.atMs ?? null;

/** From the last sowing up to `toMs`; null where nothing was sown. */
export function courseOf(stand: Stand, toMs: number): Course | null {
  const { record, spans } = stand;
  const sownMs = sownBy(record, toMs);
  if (sownMs === null) return null;
  const dayOf = (atMs: number): number => (atMs - sownMs) / DAY_MS;
  const marked = (mark: string): number | null => {
    const found = between(notesOf(record, 'mark'), sownMs, toMs).find(
      ({ entry }) => entry.mark === mark,
    );
    return found === undefined ? null : dayOf(found.atMs);
  };
  const counted = between(notesOf(record, 'count'), sownMs, toMs).find(
    ({ entry: { standing, of } }) => standing >= UP_SHARE * of,
  );
  const given = between(arrivedOf(record), sownMs, toMs);
  const [first] = given;
  const sum = (of: (one: Given) => number): number =>
    given.reduce((total, one) => total + of(one), 0);
  const { outH, matH } = heldOf(stand, sownMs, toMs);
  return {
    sownMs,
    days: dayOf(toMs),
    emergedDay: marked('emerged') ?? (counted === undefined ? null : dayOf(counted.atMs)),
    firstFeedDay: first === undefined ? null : dayOf(first.atMs),
    transplantedDay: marked('transplanted'),
    doses: given.length,
    ml: sum(({ ml }) => ml),
    eachMl: sum(({ eachMl }) => eachMl),
    eachSaltsMg: sum(({ eachSaltsMg }) => eachSaltsMg),
    fed: fedOver(given, dayOf),
    outOfBandH: outH,
    matH,
    alarms: spans.filter(({ fromMs }) => fromMs >= sownMs && fromMs <= toMs).length,
  };
}

function fedOver(given: readonly Given[], dayOf: (atMs: number) => number): Course['fed'] {
  let eachMl = 0;
  return given.map((one) => {
    eachMl += one.eachMl;
    return { day: dayOf(one.atMs), eachMl };
  });
}
