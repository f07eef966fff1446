/** What all rules look at: the record, and what follows from it once. Pure. */
import { type AlarmSpan, alarmSpans } from './alarm-spans';
import type { Record } from './record';
import { type RootPoint, rootZoneOf } from './root-zone';
import { type Away, awaysOf, type Rate, ratesOf } from './weights';

export interface Stand {
  readonly record: Record;
  readonly spans: readonly AlarmSpan[];
  readonly points: readonly RootPoint[];
  readonly aways: readonly Away[];
  readonly rates: readonly Rate[];
}

export function standOf(record: Record): Stand {
  const spans = alarmSpans(record);
  const aways = awaysOf(record);
  return { record, spans, points: rootZoneOf(record, spans), aways, rates: ratesOf(record, aways) };
}
