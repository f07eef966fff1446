/** What a birth and a data message say of a tray or the node: values as metrics. Pure. */
import type { Kind, Measure, Value } from '../measures';
import { DATA_TYPE, type Metric, type PropertySet, type ValueFields } from './payload';

const TYPE_OF: Readonly<Record<Kind, number>> = {
  number: DATA_TYPE.double,
  count: DATA_TYPE.int32,
  boolean: DATA_TYPE.boolean,
  text: DATA_TYPE.string,
  time: DATA_TYPE.dateTime,
};

/** What makes a metric, whatever its value. */
export type Described = Pick<Measure, 'name' | 'kind' | 'unit' | 'range'>;

/** Digits behind the point that no sensor exceeds; without, a mean is told with sixteen. */
const DIGITS = 1e4;

function fieldsOf(kind: Kind, value: Exclude<Value, null>): ValueFields {
  if (typeof value === 'boolean') return { booleanValue: value };
  if (typeof value === 'string') return { stringValue: value };
  if (kind === 'number') return { doubleValue: Math.round(value * DIGITS) / DIGITS };
  return kind === 'count' ? { intValue: value } : { longValue: Math.round(value) };
}

function propertiesOf({ unit, range }: Described): PropertySet | null {
  const properties: [string, PropertySet['values'][number]][] = [];
  if (unit !== null)
    properties.push(['engUnit', { type: DATA_TYPE.string, stringValue: unit.engUnit }]);
  if (range !== null) {
    const [low, high] = range;
    properties.push(['engLow', { type: DATA_TYPE.double, doubleValue: low }]);
    properties.push(['engHigh', { type: DATA_TYPE.double, doubleValue: high }]);
  }
  if (properties.length === 0) return null;
  return {
    keys: properties.map(([key]) => key),
    values: properties.map(([, value]) => value),
  };
}

const fieldsFor = (kind: Kind, value: Value): ValueFields & { readonly isNull?: true } =>
  value === null ? { isNull: true } : fieldsOf(kind, value);

/** As a birth has it: type, unit and range besides the value. */
export function bornMetric(of: Described, value: Value, atMs: number): Metric {
  const properties = propertiesOf(of);
  return {
    ...{ name: of.name, timestamp: atMs, datatype: TYPE_OF[of.kind] },
    ...(properties === null ? {} : { properties }),
    ...fieldsFor(of.kind, value),
  };
}

/** As a data message has it, which knows the type by the birth. */
export const dataMetric = (
  { name, kind }: Described,
  value: Value,
  atMs: number,
  isHistorical: boolean,
): Metric => ({
  ...{ name, timestamp: atMs },
  ...(isHistorical ? { isHistorical } : {}),
  ...fieldsFor(kind, value),
});
