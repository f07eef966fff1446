/** Alarms in a grower's words: their state, and what was measured. */
import { ADVICE, type AlarmQuantity } from '../../shared/alarms/advice';
import type { AlarmName, AlarmState } from '../../shared/alarms/catalogue';
import { formatQuantity, type UnitSystem } from '../../shared/units';

/** States of IEC 62682 as what there is to do. */
export const STATE_WORDS: Readonly<Record<AlarmState, string>> = {
  normal: 'over',
  unaccepted: 'new',
  accepted: 'accepted',
  returned: 'gone by itself, not accepted yet',
  'latched-unaccepted': 'cause gone; waits to be accepted and cleared',
  'latched-accepted': 'cause gone; waits to be cleared',
};

type Show = (value: number, units: UnitSystem) => string;

const MEASURED: Readonly<Record<AlarmQuantity, Show | null>> = {
  temperature: (value, units) => formatQuantity('temperature', value, units),
  'temperature-change': (value, units) => formatQuantity('temperature-difference', value, units),
  mass: (value, units) => formatQuantity('mass', value, units),
  'mass-rate': (value, units) => `${formatQuantity('mass', value, units)} an hour`,
  ec: (value, units) => formatQuantity('ec', value, units),
  volume: (value, units) => formatQuantity('volume', value, units),
  share: (value, units) => formatQuantity('share', value, units),
  code: (value) => `code ${Math.round(value)}`,
  days: (value) => `${Number(value.toFixed(1))} d`,
  count: (value) => `${Math.round(value)}`,
  none: null,
};

/** What was measured when an alarm came, and what it was held against, in the alarm's own quantity. */
export interface Measured {
  readonly alarm: AlarmName;
  readonly value: number | null;
  /** A limit, or what was expected; 0 where there is none. */
  readonly limit: number | null;
}

/** `38.5 °C against 38.0 °C`, or what there is of it; empty when nothing was measured. */
export function measuredText({ alarm, value, limit }: Measured, units: UnitSystem): string {
  const show = MEASURED[ADVICE[alarm].quantity];
  if (show === null || value === null || !Number.isFinite(value)) return '';
  const hasLimit = limit !== null && Number.isFinite(limit) && limit !== 0;
  return show(value, units) + (hasLimit ? ` against ${show(limit, units)}` : '');
}
