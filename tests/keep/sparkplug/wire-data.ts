/** Statements about data between births, a tray that is not heard, and a rebirth. */
import { describe, expect, it } from 'vitest';
import { field, metricsOf } from './decoder';
import type { Told } from './life';
import { isPast, type LifeAtBroker, names, number } from './life-at-broker';
import { holds } from './statement';

export function dataStatements(life: LifeAtBroker): void {
  describe('data', () => {
    holds(
      [
        'tck-id-principles-rbe-recommended',
        'tck-id-topics-ddata-payload',
        'tck-id-operational-behavior-data-publish-dbirth-change',
      ],
      'of a tray are what has changed, and nothing is told where nothing has',
      () => {
        const [first] = life.of('DDATA');
        expect(names(first?.payload ?? {})).toEqual(['Root Zone/Temperature']);
        const live = life.of('DDATA').filter(({ payload }) => !metricsOf(payload).some(isPast));
        expect(live.length).toBe(1);
      },
    );
    holds(
      ['tck-id-topics-ndata-payload', 'tck-id-operational-behavior-data-publish-nbirth-change'],
      'of the node are what has changed: a tray that is not heard, and then is',
      () => {
        expect(life.of('NDATA').map(({ payload }) => names(payload))).toEqual([
          ['Trays/Heard'],
          ['Trays/Heard'],
        ]);
      },
    );
    holds(
      [
        'tck-id-operational-behavior-data-publish-nbirth-order',
        'tck-id-operational-behavior-data-publish-dbirth-order',
      ],
      'and births have their values in the order of time',
      () => {
        for (const { payload } of life.told) {
          const times = metricsOf(payload)
            .filter((one) => !isPast(one))
            .map((one) => number(one, 'timestamp'));
          expect(times).toEqual([...times].sort((a, b) => a - b));
        }
      },
    );
    holds(['tck-id-payloads-metric-datatype-not-req'], 'leave the type to the birth', () => {
      for (const { payload } of life.of('NDATA', 'DDATA')) {
        for (const one of metricsOf(payload)) expect(field(one, 'datatype')).toBeNull();
      }
    });
    it('that no broker took, or lately took, are told again as history, with the times they are of', () => {
      const past = life
        .of('DDATA')
        .filter(({ device }) => device === 'Pepper')
        .flatMap(({ payload }) => metricsOf(payload).filter(isPast));
      const values = past
        .filter((one) => field(one, 'name') === 'Root Zone/Temperature')
        .map((one) => [field(one, 'double_value'), number(one, 'timestamp')] as const);
      expect(values.map(([value]) => value)).toEqual(['20', '21', '22', '23', '24']);
      const times = values.map(([, at]) => at);
      expect(times).toEqual([...new Set(times)].sort((a, b) => a - b));
    });
  });

  describe('a tray that is not heard', () => {
    holds(
      ['tck-id-operational-behavior-device-ddeath'],
      'is told as dead once, and born again when it is heard',
      () => {
        const basil = life.told.filter(({ device }) => device === 'Basil').slice(0, 3);
        expect(basil.map(({ verb }) => verb)).toEqual(['DBIRTH', 'DDEATH', 'DBIRTH']);
      },
    );
  });

  describe('a rebirth that a host asks for', () => {
    holds(
      [
        'tck-id-operational-behavior-data-commands-rebirth-action-1',
        'tck-id-operational-behavior-data-commands-rebirth-action-2',
      ],
      'is the whole sequence, and no data come between',
      () => {
        const second = life.told.indexOf(life.of('NBIRTH')[1] as Told);
        const verbs = life.told.slice(second, second + 3).map(({ verb }) => verb);
        expect(verbs).toEqual(['NBIRTH', 'DBIRTH', 'DBIRTH']);
      },
    );
  });
}
