/**
 * The temperature probes, a row each in the order of their ADC channels. Firmware, C runtime, journal,
 * link, bench, screens and circuit go by this list; a further probe is a further row at its end, and the
 * compiler then asks for the few things that only its own place can say.
 */
import { I16, type NumberPlace } from '../bytes';
import { LIMITER } from './map';
import { OUTPUT } from './words';

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
  /** Where the curve's number stands among the later numbers of the checkpoint (`tray/checkpoint.ts`): its next free place. */
  readonly curveNumberPlace: number;
  /** Where a reading of the journal has its temperature, degrees Celsius: bytes that were 0 before there was such a probe. */
  readonly reading: NumberPlace;
  /** What the journal calls its calibration, and its number there: the next free one (`calibration-targets.ts`). */
  readonly target: string;
  readonly targetNumber: number;
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
    curveNumberPlace: 17,
    reading: { at: 12, type: I16, scale: 100 },
    target: 'probe',
    targetNumber: 2,
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
    curveNumberPlace: 18,
    reading: { at: 14, type: I16, scale: 100 },
    target: 'mat-probe',
    targetNumber: 3,
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
  return withProbeFields({}, sort, valueFor);
}

/** The same beside what `fields` has: those are written into it, for a spread of them costs several times as much. */
export function withProbeFields<Fields extends object, Sort extends FieldName, Value>(
  fields: Fields,
  sort: Sort,
  valueFor: (name: ProbeName) => Value,
): Fields & ProbeFields<Sort, Value> {
  const written: Record<string, unknown> = fields as Record<string, unknown>;
  for (const name of PROBE_NAMES) written[PROBES[name][sort]] = valueFor(name);
  // Sound: every probe's field of the sort is there now.
  return written as Fields & ProbeFields<Sort, Value>;
}
