/** The list of probes is one that flash, link and runtime can go by. */
import { expect, it } from 'vitest';
import { SETTING } from '../../firmware/tray/setting-keys';
import { LOADS_SENSE, PINS } from '../../shared/board/map';
import { PROBE_NAMES, PROBES } from '../../shared/board/probes';
import { LAYOUT } from '../../shared/journal/layout';

const rows = PROBE_NAMES.map((name) => PROBES[name]);

it('a probe stands in the list at the place of its ADC channel', () => {
  expect(rows.map(({ channel }) => channel)).toEqual(rows.map((_, place) => place));
});

it('no probe shares a pin, a key of the settings log or a name with anything else', () => {
  const all = [
    [...Object.values(PINS), LOADS_SENSE.gpio, ...rows.map(({ gpio }) => gpio)],
    [LOADS_SENSE.channel, ...rows.map(({ channel }) => channel)],
    [
      ...Object.values(SETTING),
      ...rows.flatMap(({ settingKey, curveKey }) => [settingKey, curveKey]),
    ],
    rows.map(({ target }) => target),
    rows.flatMap(({ celsius, code, state, calibration, curve }) => [
      celsius,
      code,
      state,
      calibration,
      curve,
    ]),
    rows.flatMap(({ limiter }) => (limiter === null ? [] : [limiter.output])),
  ];
  for (const some of all) expect(new Set<number | string>(some).size).toBe(some.length);
});

it('what older boards wrote of the two first probes is read for ever', () => {
  expect(PROBES.rootZone).toMatchObject({ settingKey: 5, target: 'probe', celsius: 'rootZoneC' });
  expect(PROBES.mat).toMatchObject({ settingKey: 6, target: 'mat-probe', celsius: 'matC' });
  expect(rows.map(({ curveKey }) => curveKey).slice(0, 2)).toEqual([8, 9]);
  expect(LAYOUT.reading).toMatchObject({ rootZoneC: { at: 12 }, matC: { at: 14 } });
  expect(LAYOUT.curve).toMatchObject({
    at0Ohm: { at: 12 },
    at25Ohm: { at: 16 },
    at50Ohm: { at: 20 },
  });
});
