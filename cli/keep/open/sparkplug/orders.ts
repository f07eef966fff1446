/** What a host may order at a tray: that an alarm is seen or mended, and marks. Nothing else, and no output. Pure. */
import { ALARM_NAMES, type AlarmName } from '../../../../shared/alarms/catalogue';
import { MARKS, type Mark } from '../../../../shared/profile/profile';
import { capitalised } from '../../../words/capitalised';
import type { Value } from '../measures';
import type { Described } from './metrics';
import type { Metric, Payload } from './payload';

export type Order =
  | { readonly kind: 'seen' | 'mended'; readonly alarm: AlarmName }
  | { readonly kind: 'mark'; readonly mark: Mark };

const PLAIN = { unit: null, range: null } as const;
const SEEN = 'Alarm/Seen';
const MENDED = 'Alarm/Mended';
const markMetric = (mark: Mark): string => `Mark/${capitalised(mark)}`;

/** What became of the last order, in words. */
export const ANSWER: Described = { ...PLAIN, name: 'Order/Answer', kind: 'text' };

/** What stands in a birth where orders are taken; nothing is ordered by it. */
export const ORDER_METRICS: readonly (Described & { readonly idle: Value })[] = [
  { ...PLAIN, name: SEEN, kind: 'text', idle: '' },
  { ...PLAIN, name: MENDED, kind: 'text', idle: '' },
  ...MARKS.map((mark) => ({
    ...({ ...PLAIN, name: markMetric(mark), kind: 'boolean' } as const),
    idle: false,
  })),
];

type OrderRead =
  | { readonly ok: true; readonly order: Order }
  | { readonly ok: false; readonly why: string };

const no = (why: string): OrderRead => ({ ok: false, why });

/** What a metric of a DCMD orders. */
function orderOf({ name = '', stringValue, booleanValue }: Metric): OrderRead {
  if (name === SEEN || name === MENDED) {
    const alarm = ALARM_NAMES.find((one) => one === stringValue);
    if (alarm === undefined) return no(`${name} wants the name of an alarm.`);
    return { ok: true, order: { kind: name === SEEN ? 'seen' : 'mended', alarm } };
  }
  const mark = MARKS.find((one) => markMetric(one) === name);
  if (mark === undefined) {
    return no('Only alarms are seen or mended, and marks are set, from afar: nothing else is.');
  }
  return booleanValue === true
    ? { ok: true, order: { kind: 'mark', mark } }
    : no(`${name} wants the value true.`);
}

/** What a DCMD orders, and what of it is refused. */
export function ordersOf({ metrics }: Payload): {
  readonly orders: readonly Order[];
  readonly refused: readonly string[];
} {
  const read = metrics.map(orderOf);
  return {
    orders: read.flatMap((one) => (one.ok ? [one.order] : [])),
    refused: read.flatMap((one) => (one.ok ? [] : [one.why])),
  };
}
