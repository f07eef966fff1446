/**
 * The temperature probes, a row each in the order of their ADC channels. Firmware, C runtime, journal,
 * link, bench, screens and circuit go by this list; a further probe is a further row at its end, and the
 * compiler then asks for the few things that only its own place can say.
 */
import { LIMITER } from './map';
import { type CalibrationTarget, OUTPUT } from './words';

interface Probe {
  /** ADC channel, the same as the place in the list; also the argument of `Board.readProbe`. */
  readonly channel: number;
  /** GPIO of that channel. */
  readonly gpio: number;
  /**
   * What the runtime's limiter does with it: the temperature above which it is too hot, the code of the reference probe
   * there, and the bit of `OUTPUT` that tells. The mat stays off then, and while the probe is open or short. Null: the
   * limiter does not look at it.
   */
  readonly limiter: {
    readonly hotC: number;
    readonly hotCode: number;
    readonly output: number;
  } | null;
  /** Keys of its calibration and of its curve in the settings log: never those of something else (`setting-keys.ts`). */
  readonly settingKey: number;
  readonly curveKey: number;
  /** What the journal calls its calibration. */
  readonly target: CalibrationTarget;
  /** Its fields in link and journal: temperature, raw code, state, calibration, curve. */
  readonly celsius: `${string}C`;
  readonly code: `${string}Code`;
  readonly state: string;
  readonly calibration: string;
  readonly curve: `${string}Curve`;
}

export const PROBES = {
  /** In the wool, among the roots. */
  rootZone: {
    channel: 0,
    gpio: 26,
    limiter: { hotC: 40, hotCode: LIMITER.rootZoneHotCode, output: OUTPUT.limiterRootZone },
    settingKey: 5,
    curveKey: 8,
    target: 'probe',
    celsius: 'rootZoneC',
    code: 'rootZoneCode',
    state: 'probe',
    calibration: 'calibration',
    curve: 'rootZoneCurve',
  },
  /** On the mat, under the tray. */
  mat: {
    channel: 1,
    gpio: 27,
    limiter: { hotC: 55, hotCode: LIMITER.matHotCode, output: OUTPUT.limiterMat },
    settingKey: 6,
    curveKey: 9,
    target: 'mat-probe',
    celsius: 'matC',
    code: 'matCode',
    state: 'matProbe',
    calibration: 'matCalibration',
    curve: 'matCurve',
  },
} as const satisfies Readonly<Record<string, Probe>>;

export type ProbeName = keyof typeof PROBES;
// Sound: these are the keys, in the order of their rows.
export const PROBE_NAMES = Object.keys(PROBES) as readonly ProbeName[];

/** One value for each probe, under its name. */
export type OfProbes<Value> = Readonly<Record<ProbeName, Value>>;

type FieldName = 'target' | 'celsius' | 'code' | 'state' | 'calibration' | 'curve';
/** One value for each probe, under what its field of that sort is called: `rootZoneC`, `matC`. */
export type ProbeFields<Sort extends FieldName, Value> = {
  readonly [Name in ProbeName as (typeof PROBES)[Name][Sort]]: Value;
};

/** `valueFor` each probe, under its name. */
export function ofProbes<Value>(valueFor: (name: ProbeName) => Value): OfProbes<Value> {
  const entries = PROBE_NAMES.map((name) => [name, valueFor(name)]);
  // Sound: every name is there, and no other.
  return Object.fromEntries(entries);
}

/** `valueFor` each probe, under its field of that sort. */
export function probeFields<Sort extends FieldName, Value>(
  sort: Sort,
  valueFor: (name: ProbeName) => Value,
): ProbeFields<Sort, Value> {
  const fields: Record<string, Value> = {};
  for (const name of PROBE_NAMES) fields[PROBES[name][sort]] = valueFor(name);
  // Sound: every probe's field of the sort is there, and no other.
  return fields as ProbeFields<Sort, Value>;
}
