/** The list of probes is one that flash, link and runtime can go by. */
import { expect, it } from 'vitest';
import { CHECKPOINT_BYTES, CheckpointPacker } from '../../firmware/tray/checkpoint';
import { emptyRunState } from '../../firmware/tray/run-state';
import { SETTING } from '../../firmware/tray/setting-keys';
import { CALIBRATION_TARGETS } from '../../shared/board/calibration-targets';
import { LOADS_SENSE, PINS } from '../../shared/board/map';
import { PROBE_NAMES, PROBES } from '../../shared/board/probes';
import { readF64 } from '../../shared/bytes';
import { LAYOUT } from '../../shared/journal/layout';

/** Byte of the checkpoint from which on there are the numbers that came later. */
const LATER_AT = 296;

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
    rows.map(({ curveNumberPlace }) => curveNumberPlace),
    rows.flatMap(({ limiter }) => (limiter === null ? [] : [limiter.output])),
  ];
  for (const some of all) expect(new Set<number | string>(some).size).toBe(some.length);
});

it('every number of a calibration in the journal is given once, and the one of a probe is in its row', () => {
  for (const { target, targetNumber } of rows)
    expect(CALIBRATION_TARGETS[targetNumber]).toBe(target);
  const first = ['scale', 'scale-zero', 'probe', 'mat-probe', 'pump'];
  expect(CALIBRATION_TARGETS.slice(0, first.length)).toEqual(first);
});

it('the number of its curve stands in the checkpoint where its row says, behind what came before it', () => {
  const state = emptyRunState();
  rows.forEach(({ curve }, i) => {
    state.service[curve] = 1000 + i;
  });
  const bytes = new Uint8Array(CHECKPOINT_BYTES);
  new CheckpointPacker().pack(state, bytes);
  rows.forEach(({ curveNumberPlace }, i) => {
    expect(readF64(bytes, LATER_AT + curveNumberPlace * 8)).toBe(1000 + i);
  });
});

it('what older boards wrote of the two first probes is read for ever', () => {
  expect(PROBES.rootZone).toMatchObject({ settingKey: 5, target: 'probe', celsius: 'rootZoneC' });
  expect(PROBES.mat).toMatchObject({ settingKey: 6, target: 'mat-probe', celsius: 'matC' });
  expect(rows.map(({ curveKey }) => curveKey).slice(0, 2)).toEqual([8, 9]);
  expect(rows.map(({ curveNumberPlace }) => curveNumberPlace).slice(0, 2)).toEqual([17, 18]);
  expect(LAYOUT.reading).toMatchObject({ rootZoneC: { at: 12 }, matC: { at: 14 } });
  expect(LAYOUT.curve).toMatchObject({
    at0Ohm: { at: 12 },
    at25Ohm: { at: 16 },
    at50Ohm: { at: 20 },
  });
});
