import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SimulatedFlash } from '../../firmware/bench/flash';
import { RECORD_LIMITS } from '../../firmware/limits';
import { openSettings, type Settings } from '../../firmware/storage/settings';
import { CalibrationStore } from '../../firmware/tray/calibrations';
import { SETTING } from '../../firmware/tray/setting-keys';
import { PROBES } from '../../shared/board/probes';
import { writeF64 } from '../../shared/bytes';
import type { ScaleCalibration } from '../../shared/link/methods';
import { holds } from '../properties';

/** As the firmware has them, in their order; each layout is these, fewer or more. */
const SCALE_FIELDS = 8;
const PUMP_FIELDS = 3;
const PROBE_FIELDS = 2;
/** Version of the layout with a head. */
const HEADED = 2;

const scale = (zeroCode: number): ScaleCalibration => ({
  zeroCode,
  countsPerG: 217,
  massG: 5_000,
  cellG: 10_000,
  uncertaintyG: 0.2,
  zeroCodePerK: 3,
  atC: 21,
  unixMs: 1_772_426_960_000,
});
const PUMP = { mlPerS: 1.05, cvPercent: 0.8, unixMs: 1_772_426_960_000 };
const PROBE = { offsetK: -0.2, unixMs: 1_772_426_960_000 };

const CURVE = { number: 1, at0Ohm: 28_705, at25Ohm: 10_000, at50Ohm: 4_101, unixMs: 0 };

const blank = (): Settings => openSettings(new SimulatedFlash());
const zeros = (store: CalibrationStore): number[] => store.scale.map(({ zeroCode }) => zeroCode);

/** `records` as a layout keeps them: a head, if it has one, and each record's fields. */
function stored(records: readonly (readonly number[])[], version: number | null): Uint8Array {
  const fields = records[0]?.length ?? 0;
  const head = version === null ? 0 : 2;
  const bytes = new Uint8Array(head + records.length * fields * 8);
  if (version !== null) bytes.set([version, fields]);
  records.flat().forEach((value, i) => {
    writeF64(bytes, head + i * 8, value);
  });
  return bytes;
}

describe('calibrations', () => {
  it('are there again after a power cut, each as it was', () => {
    const settings = blank();
    const before = new CalibrationStore(settings);
    before.useScale(scale(1));
    before.useScale(scale(2));
    before.usePump(PUMP);
    before.useProbe('rootZone', PROBE);
    before.useProbe('mat', { ...PROBE, offsetK: 0.5 });
    const after = new CalibrationStore(settings);
    expect(after.scale).toEqual([scale(2), scale(1)]);
    expect(after.pump).toEqual(PUMP);
    expect(after.probe('rootZone')).toEqual(PROBE);
    expect(after.probe('mat')?.offsetK).toBe(0.5);
  });

  it('are none on a new board', () => {
    const store = new CalibrationStore(blank());
    expect([...store.scale, store.pump, store.probe('rootZone'), store.probe('mat')]).toEqual([
      null,
      null,
      null,
    ]);
  });

  it('of a probe go with the curve that it had: with another one it has none, until it is found anew', () => {
    const settings = blank();
    const store = new CalibrationStore(settings);
    store.useProbe('rootZone', PROBE);
    store.useCurve('rootZone', CURVE);
    expect([store.probe('rootZone'), store.curve('rootZone')]).toEqual([null, CURVE]);
    store.useProbe('rootZone', { ...PROBE, offsetK: 0.1 });
    const after = new CalibrationStore(settings);
    expect(after.probe('rootZone')).toEqual({ ...PROBE, offsetK: 0.1 });
    expect([after.curveNumber('rootZone'), after.curveNumber('mat')]).toEqual([1, 0]);
  });

  it('of the scale are a history: the newest in use, only so many kept', () => {
    const store = new CalibrationStore(blank());
    for (let i = 1; i <= RECORD_LIMITS.scaleHistory + 2; i++) store.useScale(scale(i));
    expect(zeros(store)).toEqual([6, 5, 4, 3]);
  });

  it('of before come into use again with none lost, and one that is not there does not', () => {
    const settings = blank();
    const store = new CalibrationStore(settings);
    for (let i = 1; i <= 3; i++) store.useScale(scale(i));
    expect(store.restoreScale(2)).toBe(true);
    expect(zeros(store)).toEqual([1, 3, 2]);
    expect(store.restoreScale(3)).toBe(false);
    expect(zeros(new CalibrationStore(settings))).toEqual([1, 3, 2]);
  });

  it('take a new zero without a new place in the history', () => {
    const store = new CalibrationStore(blank());
    expect(store.useZero(5)).toBe(false);
    store.useScale(scale(1));
    store.useScale(scale(2));
    expect(store.useZero(9)).toBe(true);
    expect(store.scale).toEqual([scale(9), scale(1)]);
  });

  it('stay the old ones when the flash does not take the new', () => {
    const store = new CalibrationStore({ ...blank(), set: () => false });
    expect(store.useScale(scale(1))).toBe(false);
    expect(store.usePump(PUMP)).toBe(false);
    expect(store.useProbe('rootZone', PROBE)).toBe(false);
    expect([...store.scale, store.pump, store.probe('rootZone')]).toEqual([null, null]);
  });
});

describe('calibrations of another firmware', () => {
  const values = (fields: number) =>
    fc.array(fc.double({ noNaN: true }), { minLength: fields, maxLength: fields });

  /** What today's firmware reads of values stored in some layout. */
  const read = (key: number, bytes: Uint8Array): CalibrationStore => {
    const settings = blank();
    settings.set(key, bytes);
    return new CalibrationStore(settings);
  };

  it('of the first layout, without a head, are read whole', () => {
    const history = fc.array(values(SCALE_FIELDS), {
      minLength: 1,
      maxLength: RECORD_LIMITS.scaleHistory,
    });
    holds(
      fc.property(history, values(PUMP_FIELDS), values(PROBE_FIELDS), (all, pump, probe) => {
        const { scale: found } = read(SETTING.scale, stored(all, null));
        expect(found.map((one) => Object.values(one))).toEqual(all);
        expect(Object.values(read(SETTING.pump, stored([pump], null)).pump ?? {})).toEqual(pump);
        const { offsetK, unixMs } =
          read(PROBES.mat.settingKey, stored([probe], null)).probe('mat') ?? PROBE;
        expect([offsetK, unixMs]).toEqual(probe);
      }),
    );
  });

  it('with one field more, or many, are read, and what is not known is left', () => {
    const newer = fc
      .integer({ min: 1, max: 5 })
      .chain((added) =>
        fc.tuple(
          fc.array(values(SCALE_FIELDS + added), { minLength: 1, maxLength: 3 }),
          values(PUMP_FIELDS + added),
        ),
      );
    holds(
      fc.property(newer, ([all, pump]) => {
        const { scale: found } = read(SETTING.scale, stored(all, HEADED));
        expect(found.map((one) => Object.values(one))).toEqual(
          all.map((one) => one.slice(0, SCALE_FIELDS)),
        );
        const foundPump = read(SETTING.pump, stored([pump], HEADED)).pump ?? {};
        expect(Object.values(foundPump)).toEqual(pump.slice(0, PUMP_FIELDS));
      }),
    );
  });

  it('with a field less leave that one unknown', () => {
    const older = stored([[1, 217, 5_000, 10_000, 0.2, 3, 21]], HEADED);
    expect(read(SETTING.scale, older).scale).toEqual([{ ...scale(1), unixMs: Number.NaN }]);
  });

  it('of a version that is not known are none', () => {
    const other = fc.integer({ min: 0, max: 255 }).filter((version) => version !== HEADED);
    holds(
      fc.property(other, values(SCALE_FIELDS), values(PROBE_FIELDS), (version, one, probe) => {
        expect(read(SETTING.scale, stored([one], version)).scale).toEqual([]);
        const kept = read(PROBES.mat.settingKey, stored([probe], version));
        expect(kept.probe('mat')).toBe(null);
      }),
    );
  });

  it('of no fields at all are none', () => {
    expect(read(SETTING.pump, new Uint8Array([HEADED, 0, 1, 2, 3])).pump).toBe(null);
    expect(read(SETTING.pump, new Uint8Array(0)).pump).toBe(null);
  });
});

describe('the number of a start', () => {
  it('is one more each time, from one', () => {
    const settings = blank();
    const boots = [1, 2, 3].map(() => new CalibrationStore(settings).nextBoot());
    expect(boots).toEqual([1, 2, 3]);
  });
});
