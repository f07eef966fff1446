/** Readings as the columns of a plot. Pure. */
import { dryBackShare } from '../../../shared/physics/dry-back';
import { temperatureIn, type UnitSystem } from '../../../shared/units';
import { G_PER_LB } from '../../../shared/units/kinds';
import { MINUTE_MS } from '../../../shared/units/time';
import { between, firstAt, notesOf, type Reading } from '../../explain/record';
import type { Stand } from '../../explain/stand';
import type { ROW_NAMES, Rows } from './model';

/** A line breaks where readings lie further apart than this, minutes: three are missing. */
const BREAK_MIN = 16;
/** A tray lighter than this share of itself with dry wool is not all there: its dry-back means nothing. */
const PRESENT_SHARE = 0.9;

export const massIn = (g: number, units: UnitSystem): number => (units === 'us' ? g / G_PER_LB : g);

/** The known weights at a time: `dryG`, `capacityG`; NaN before any is told. */
interface Known {
  readonly capacityG: number;
  readonly dryG: number;
}

function knownOver({ record }: Stand): (atMs: number) => Known {
  const told = notesOf(record, 'capacity');
  return (atMs) =>
    told[firstAt(told, atMs + 1) - 1]?.entry ?? { capacityG: Number.NaN, dryG: Number.NaN };
}

const rounded = (value: number, digits: number): number | null =>
  Number.isFinite(value) ? Number(value.toFixed(digits)) : null;

type Row = { readonly [Name in (typeof ROW_NAMES)[number]]: number | null };
const NOTHING: Row = { rootZone: null, duty: null, weight: null, dryBack: null, rawDryBack: null };

function rowOf(reading: Reading, known: Known, isAway: boolean, units: UnitSystem): Row {
  const { rootZoneC, matDutyShare, trayG } = reading;
  const isThere = !isAway && !(trayG < PRESENT_SHARE * known.dryG);
  return {
    rootZone: rounded(temperatureIn(rootZoneC, units), 2),
    duty: rounded(matDutyShare * 100, 0),
    weight: rounded(massIn(trayG, units), units === 'us' ? 3 : 1),
    dryBack: isThere ? rounded(reading.dryBackShare * 100, 2) : null,
    // Between two times at capacity with other pieces the weights known are those of the old ones.
    rawDryBack:
      isThere && Number.isFinite(reading.dryBackShare)
        ? rounded(dryBackShare(trayG, known) * 100, 2)
        : null,
  };
}

/** Readings from `fromMs` to `toMs`; a row without values stands wherever a line breaks. */
export function rowsOf(stand: Stand, fromMs: number, toMs: number, units: UnitSystem): Rows {
  const knownAt = knownOver(stand);
  const minutes: number[] = [];
  const rows: Row[] = [];
  let beforeMs = Number.NaN;
  for (const reading of between(stand.record.readings, fromMs, toMs)) {
    const { atMs } = reading;
    if (atMs - beforeMs > BREAK_MIN * MINUTE_MS) {
      minutes.push(minuteOf(beforeMs + MINUTE_MS, fromMs));
      rows.push(NOTHING);
    }
    beforeMs = atMs;
    const isAway = stand.aways.some((away) => atMs >= away.fromMs && atMs <= away.toMs);
    minutes.push(minuteOf(atMs, fromMs));
    rows.push(rowOf(reading, knownAt(atMs), isAway, units));
  }
  const column = (name: keyof Row) => rows.map((row) => row[name]);
  return {
    minutes,
    rootZone: column('rootZone'),
    duty: column('duty'),
    weight: column('weight'),
    dryBack: column('dryBack'),
    rawDryBack: column('rawDryBack'),
  };
}

/** Minutes since the beginning, to six seconds. */
export const minuteOf = (atMs: number, fromMs: number): number =>
  Number(((atMs - fromMs) / MINUTE_MS).toFixed(1));
