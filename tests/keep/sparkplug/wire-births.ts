/** Statements about what births of a node and of its trays have in them. */
import { describe, expect, it } from 'vitest';
import { field, inner, type Message, metric, metricsOf } from './decoder';
import type { Told } from './life';
import { type LifeAtBroker, names } from './life-at-broker';
import { holds } from './statement';

export function birthStatements(life: LifeAtBroker): void {
  describe('births', () => {
    holds(
      [
        'tck-id-principles-birth-certificates-order',
        'tck-id-message-flow-device-birth-publish-nbirth-wait',
      ],
      'that of the node is the first message of each session, before those of its trays',
      () => {
        const [first] = life.told;
        expect(first?.verb).toBe('NBIRTH');
        const after = life.told[life.told.findIndex(({ verb }) => verb === 'NDEATH') + 1];
        expect(after?.verb).toBe('NBIRTH');
      },
    );
    holds(
      [
        'tck-id-payloads-dbirth-order',
        'tck-id-payloads-ndata-order',
        'tck-id-payloads-ddata-order',
      ],
      'those of all trays follow at once, and no data comes before',
      () => {
        const starts = life.told.flatMap(({ verb }, i) => (verb === 'NBIRTH' ? [i] : []));
        expect(starts.length).toBe(3);
        for (const from of starts) {
          const next = life.told.slice(from + 1, from + 3);
          expect(next.map(({ verb, device }) => [verb, device])).toEqual([
            ['DBIRTH', 'Pepper'],
            ['DBIRTH', 'Basil'],
          ]);
        }
      },
    );
    holds(
      [
        'tck-id-message-flow-edge-node-birth-publish-nbirth-payload',
        'tck-id-message-flow-device-birth-publish-dbirth-payload',
      ],
      'protoc reads them by the schema of the specification, with no field it does not know',
      () => {
        for (const { payload } of life.of('NBIRTH', 'DBIRTH')) {
          expect(Object.keys(payload).sort()).toEqual(['metrics', 'seq', 'timestamp']);
        }
      },
    );
    const everyName = (births: readonly Told[], data: readonly Told[]): void => {
      const born = new Set(births.flatMap(({ payload }) => names(payload)));
      expect(data.length).toBeGreaterThan(0);
      for (const { payload } of data)
        for (const name of names(payload)) expect(born).toContain(name);
      for (const { payload } of births) expect(new Set(names(payload))).toEqual(born);
    };
    holds(
      ['tck-id-topics-nbirth-metric-reqs', 'tck-id-operational-behavior-data-publish-nbirth'],
      'that of the node has every metric that its data ever have',
      () => everyName(life.of('NBIRTH'), life.of('NDATA')),
    );
    holds(
      ['tck-id-topics-dbirth-metric-reqs', 'tck-id-operational-behavior-data-publish-dbirth'],
      'that of a tray has every metric that its data ever have',
      () => everyName(life.of('DBIRTH'), life.of('DDATA')),
    );
    const whole = (births: readonly Told[]): void => {
      for (const { payload } of births) {
        for (const one of metricsOf(payload)) {
          expect(field(one, 'datatype')).not.toBeNull();
          const values = Object.keys(one).filter((name) => name.endsWith('_value'));
          expect(values.length).toBe(field(one, 'is_null') === 'true' ? 0 : 1);
        }
      }
    };
    holds(
      ['tck-id-topics-nbirth-metrics', 'tck-id-operational-behavior-data-publish-nbirth-values'],
      'that of the node has name, type and value of each, or says that there is none',
      () => whole(life.of('NBIRTH')),
    );
    holds(
      ['tck-id-topics-dbirth-metrics', 'tck-id-operational-behavior-data-publish-dbirth-values'],
      'that of a tray has name, type and value of each, or says that there is none',
      () => {
        whole(life.of('DBIRTH'));
        const [birth] = life.of('DBIRTH');
        expect(field(metric(birth?.payload, 'Root Zone/Temperature'), 'double_value')).toBe('20');
        expect(field(metric(birth?.payload, 'Water/Next Dose'), 'is_null')).toBe('true');
      },
    );
    holds(
      [
        'tck-id-payloads-metric-datatype-value-type',
        'tck-id-payloads-metric-datatype-value',
        'tck-id-payloads-metric-datatype-req',
      ],
      'each type is a number of the specification, and fits the value',
      () => {
        const fields: Readonly<Record<string, string>> = {
          '3': 'int_value',
          '4': 'long_value',
          '10': 'double_value',
          '11': 'boolean_value',
          '12': 'string_value',
          '13': 'long_value',
        };
        for (const { payload } of life.of('NBIRTH', 'DBIRTH')) {
          for (const one of metricsOf(payload)) {
            const name = fields[field(one, 'datatype') ?? ''];
            expect(name).toBeDefined();
            if (field(one, 'is_null') !== 'true') expect(field(one, name ?? '')).not.toBeNull();
          }
        }
      },
    );
    holds(
      [
        'tck-id-topics-nbirth-rebirth-metric',
        'tck-id-payloads-nbirth-rebirth-req',
        'tck-id-operational-behavior-data-commands-rebirth-name',
        'tck-id-operational-behavior-data-commands-rebirth-datatype',
        'tck-id-operational-behavior-data-commands-rebirth-value',
      ],
      'that of the node has "Node Control/Rebirth", a Boolean that is false',
      () => {
        for (const { payload } of life.of('NBIRTH')) {
          const rebirth = metric(payload, 'Node Control/Rebirth');
          expect(field(rebirth, 'datatype')).toBe('11');
          expect(field(rebirth, 'boolean_value')).toBe('false');
        }
      },
    );
    const properties = (): readonly Message[] =>
      life
        .of('NBIRTH', 'DBIRTH')
        .flatMap(({ payload }) => metricsOf(payload).flatMap((one) => inner(one, 'properties')));
    holds(
      [
        'tck-id-payloads-propertyset-keys-array-size',
        'tck-id-payloads-propertyset-values-array-size',
      ],
      'properties have as many keys as values',
      () => {
        expect(properties().length).toBeGreaterThan(10);
        for (const one of properties()) expect(one.keys?.length).toBe(one.values?.length);
      },
    );
    holds(
      [
        'tck-id-payloads-metric-propertyvalue-type-type',
        'tck-id-payloads-metric-propertyvalue-type-value',
        'tck-id-payloads-metric-propertyvalue-type-req',
      ],
      'each property has its type: a String or a Double',
      () => {
        for (const value of properties().flatMap((one) => inner(one, 'values'))) {
          expect(['10', '12']).toContain(field(value, 'type'));
        }
      },
    );
    it('have units and ranges: the root zone in °C from 0 to 85', () => {
      const [birth] = life.of('DBIRTH');
      const [set] = inner(metric(birth?.payload, 'Root Zone/Temperature'), 'properties');
      expect(set?.keys).toEqual(['engUnit', 'engLow', 'engHigh']);
      const [unit, low, high] = inner(set, 'values');
      expect([
        field(unit, 'string_value'),
        field(low, 'double_value'),
        field(high, 'double_value'),
      ]).toEqual(['°C', '0', '85']);
    });
    holds(
      ['tck-id-case-sensitivity-metric-names'],
      'no two metrics differ by large and small letters alone',
      () => {
        for (const { payload } of life.of('NBIRTH', 'DBIRTH')) {
          const lower = names(payload).map((name) => name?.toLowerCase());
          expect(new Set(lower).size).toBe(lower.length);
        }
      },
    );
  });
}
