/** What alarms were raised by, a pair of columns for each quantity: what was measured, and against what. Pure. */
import { ADVICE, type AlarmQuantity } from '../../shared/alarms/advice';
import type { Cell } from './columns';
import type { DatedEntry } from './dating';
import { headingText, inPercent } from './headings';

interface Kind {
  readonly unit: string;
  readonly of?: (value: number) => number;
}

/** Null where there is nothing to measure. What has no unit is counted, or is a code whose meaning the sentence says. */
const KINDS: Readonly<Record<AlarmQuantity, Kind | null>> = {
  temperature: { unit: '°C' },
  'temperature-change': { unit: 'K' },
  mass: { unit: 'g' },
  'mass-rate': { unit: 'g/h' },
  ec: { unit: 'mS/cm' },
  volume: { unit: 'ml' },
  share: { unit: '%', of: inPercent },
  days: { unit: 'd' },
  count: { unit: 'times' },
  code: { unit: 'code' },
  supply: { unit: 'code' },
  'mat-open': { unit: 'code' },
  held: { unit: 'code' },
  none: null,
};

export interface SheetColumn {
  readonly heading: string;
  readonly cellOf: (dated: DatedEntry) => Cell;
}

const UNITS = [...new Set(Object.values(KINDS).flatMap((kind) => kind?.unit ?? []))];

/** Of an alarm that was raised, in its own unit; null for all else. Without a limit the journal has 0. */
function cellOf(which: 'value' | 'limit', unit: string): SheetColumn['cellOf'] {
  return ({ entry }) => {
    if (entry.kind !== 'alarm' || entry.change !== 'raised') return null;
    const kind = KINDS[ADVICE[entry.alarm].quantity];
    const value = entry[which];
    if (kind?.unit !== unit || !Number.isFinite(value)) return null;
    if (which === 'limit' && value === 0) return null;
    return kind.of === undefined ? value : kind.of(value);
  };
}

export const ALARM_COLUMNS: readonly SheetColumn[] = UNITS.flatMap((unit) => [
  { heading: headingText({ words: 'alarm at', unit }), cellOf: cellOf('value', unit) },
  { heading: headingText({ words: 'limit of the alarm', unit }), cellOf: cellOf('limit', unit) },
]);
