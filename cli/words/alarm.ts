/** Alarms in a grower's words: their state, and what was measured. */
import { ADVICE, type AlarmQuantity } from '../../shared/alarms/advice';
import { ALARMS, type AlarmName, type AlarmSpec } from '../../shared/alarms/catalogue';
import { MAT_OPEN } from '../../shared/board/words';
import type { AlarmReport } from '../../shared/link/status';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { timeAgo } from '../terminal/local-time';
import { reasonText } from './held';

/** What an alarm keeps off while its cause holds, and until it is mended if it latches. Empty: nothing. */
export function keptOffText(alarm: AlarmName): string {
  const { dropsMat, dropsPump }: AlarmSpec = ALARMS[alarm];
  return [...(dropsMat ? ['heat'] : []), ...(dropsPump ? ['water'] : [])].join(' and ');
}

/** The end of one whose cause has gone, or the happening that was all there was of it. */
function endText({ ageS, endedS, atLeast }: AlarmReport, gone: string, nowMs: number): string {
  if (endedS === null) return 'not found again since the restart';
  const atOrBefore = `${timeAgo(endedS, nowMs)}${atLeast ? ' or before' : ''}`;
  return endedS === ageS ? `happened at ${atOrBefore}` : `${gone} since ${atOrBefore}`;
}

/** How an alarm stands at `nowMs`, Unix ms. */
export function standsText(report: AlarmReport, nowMs: number): string {
  const { alarm, state, ageS, atLeast } = report;
  const keptOff = keptOffText(alarm);
  const since = `since ${timeAgo(ageS, nowMs)}${atLeast ? ' or before' : ''}`;
  const off = keptOff === '' ? '' : `; ${keptOff} held off`;
  switch (state) {
    case 'normal':
      return 'over';
    case 'unaccepted':
      return `new, ${since}${off}`;
    case 'accepted':
      return `seen, ${since}${off}`;
    case 'returned':
      return endText(report, 'over', nowMs);
    case 'latched-unaccepted':
    case 'latched-accepted':
      return `${endText(report, 'cause gone', nowMs)}${off}`;
  }
}

/** The same with what to type where it waits for a word. */
export function stateText(report: AlarmReport, nowMs: number): string {
  const { alarm, state } = report;
  const stands = standsText(report, nowMs);
  if (state === 'returned') return `${stands} (say \`trayward alarm seen\`)`;
  return state === 'latched-unaccepted' || state === 'latched-accepted'
    ? `${stands} until \`trayward alarm mended ${alarm}\``
    : stands;
}

type Show = (value: number, units: UnitSystem) => string;

const MAT_OPEN_WORDS: ReadonlyMap<number, string> = new Map([
  [MAT_OPEN.fuse, 'at its fuse'],
  [MAT_OPEN.lead, 'in its lead'],
  [MAT_OPEN.switch, 'by its own switch'],
  [MAT_OPEN.cutOut, 'by its cut-out, for it was hot'],
]);

const MEASURED: Readonly<Record<AlarmQuantity, Show | null>> = {
  temperature: (value, units) => formatQuantity('temperature', value, units),
  'temperature-change': (value, units) => formatQuantity('temperature-difference', value, units),
  mass: (value, units) => formatQuantity('mass', value, units),
  'mass-rate': (value, units) => `${formatQuantity('mass', value, units)} an hour`,
  ec: (value, units) => formatQuantity('ec', value, units),
  volume: (value, units) => formatQuantity('volume', value, units),
  share: (value, units) => formatQuantity('share', value, units),
  // Raw codes are for `--json`: the title says what they mean.
  code: null,
  days: (value) => `${Number(value.toFixed(1))} d`,
  count: (value) => `${Math.round(value)}`,
  supply: (value) => (value === 0 ? 'dead, though asked for' : 'live, though not asked for'),
  'mat-open': (value) => MAT_OPEN_WORDS.get(value) ?? '',
  held: reasonText,
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
