/** Alarms in a grower's words: their state, and what was measured. */
import { ADVICE, type AlarmQuantity } from '../shared/alarms/advice';
import type { AlarmName, AlarmState } from '../shared/alarms/catalogue';
import { formatQuantity, type UnitSystem } from '../shared/units';

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
  volume: (value, units) => formatQuantity('volume', value, units),
  share: (value, units) => formatQuantity('share', value, units),
  code: (value) => `code ${Math.round(value)}`,
  days: (value) => `${Number(value.toFixed(1))} d`,
  count: (value) => `${Math.round(value)}`,
  none: null,
};

/** A value or limit of an alarm with its unit; empty when there is none. */
export function measuredText(alarm: AlarmName, value: number | null, units: UnitSystem): string {
  const show = MEASURED[ADVICE[alarm].quantity];
  return show === null || value === null || !Number.isFinite(value) ? '' : show(value, units);
}
