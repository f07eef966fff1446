/**
 * Calibrations, the probes' curves and the boot count, as kept in the settings. Each value is one atomic record: a byte for
 * the layout's version and one for the number of fields, then the fields of each record, f64
 * little-endian. Fields are only appended, so a value tells what an older or newer firmware kept of
 * each; one of another version is of a layout that this firmware does not know, and is none. The first layout had no
 * head: its length, a multiple of eight, tells it.
 */

import { type OfProbes, ofProbes, PROBES, type ProbeName } from '../../shared/board/probes';
import { readF64, readU32, writeF64, writeU32 } from '../../shared/bytes';
import type {
  ProbeCalibration,
  PumpCalibration,
  ScaleCalibration,
} from '../../shared/link/methods';
import type { ProbeCurve } from '../../shared/physics/probe-curve';
import { RECORD_LIMITS } from '../limits';
import type { Settings } from '../storage/settings';
import { SETTING } from './setting-keys';

const VERSION = 2;
const HEAD_BYTES = 2;
const FIELD_BYTES = 8;

/** Fields in the order they came. Append only; what an older value lacks reads as NaN. */
const SCALE_FIELDS = [
  'zeroCode',
  'countsPerG',
  'massG',
  'cellG',
  'uncertaintyG',
  'zeroCodePerK',
  'atC',
  'unixMs',
] as const satisfies readonly (keyof ScaleCalibration)[];
const PUMP_FIELDS = [
  'mlPerS',
  'cvPercent',
  'unixMs',
] as const satisfies readonly (keyof PumpCalibration)[];
const PROBE_FIELDS = [
  'offsetK',
  'unixMs',
  'curveNumber',
] as const satisfies readonly (keyof KeptProbeCalibration)[];
const CURVE_FIELDS = [
  'number',
  'at0Ohm',
  'at25Ohm',
  'at50Ohm',
  'unixMs',
] as const satisfies readonly (keyof KeptCurve)[];

/** Of a probe, with the number of the curve that it was found on: it goes with no other. */
interface KeptProbeCalibration extends ProbeCalibration {
  readonly curveNumber: number;
}

/** What was told of a probe's curve. Without resistances, NaN: that it is the reference one. */
export interface KeptCurve extends ProbeCurve {
  /** Counts up from 1 with every change. */
  readonly number: number;
  readonly unixMs: number;
}

/** Fields of a record in the layout without a head. */
const FIRST_LAYOUT = { scale: 8, pump: 3, probe: 2 } as const;

/** Every calibration in force, read once at the start; each change goes to flash first. */
export class CalibrationStore {
  #scale: readonly ScaleCalibration[] = [];
  #pump: PumpCalibration | null = null;
  #probes: OfProbes<KeptProbeCalibration | null>;
  #curves: OfProbes<KeptCurve | null>;

  constructor(readonly settings: Settings) {
    const scale = settings.get(SETTING.scale);
    if (scale !== null) this.#scale = unpack(SCALE_FIELDS, FIRST_LAYOUT.scale, scale);
    const pump = settings.get(SETTING.pump);
    if (pump !== null) this.#pump = unpack(PUMP_FIELDS, FIRST_LAYOUT.pump, pump)[0] ?? null;
    this.#probes = ofProbes((name) => {
      const probe = settings.get(PROBES[name].settingKey);
      return probe && (unpack(PROBE_FIELDS, FIRST_LAYOUT.probe, probe)[0] ?? null);
    });
    this.#curves = ofProbes((name) => {
      const curve = settings.get(PROBES[name].curveKey);
      return curve && (unpack(CURVE_FIELDS, CURVE_FIELDS.length, curve)[0] ?? null);
    });
  }

  /** Newest first; the first is in use. */
  get scale(): readonly ScaleCalibration[] {
    return this.#scale;
  }

  get pump(): PumpCalibration | null {
    return this.#pump;
  }

  /** Number of the last boot that was counted, 0 when there was none. */
  get lastBoot(): number {
    const bytes = this.settings.get(SETTING.boot);
    return bytes === null ? 0 : readU32(bytes, 0);
  }

  /** Counts this boot, the one after `last`, and returns its number. */
  nextBoot(last = this.lastBoot): number {
    const boot = last + 1;
    const next = new Uint8Array(4);
    writeU32(next, 0, boot);
    this.settings.set(SETTING.boot, next);
    return boot;
  }

  /** Puts a calibration in use; the ones before stay as history. False when the flash failed. */
  useScale(calibration: ScaleCalibration): boolean {
    const history = [calibration, ...this.#scale].slice(0, RECORD_LIMITS.scaleHistory);
    return this.#keepScale(history);
  }

  /** Changes the zero of the calibration in use, without a new place in the history. */
  useZero(zeroCode: number): boolean {
    const [first, ...rest] = this.#scale;
    return first !== undefined && this.#keepScale([{ ...first, zeroCode }, ...rest]);
  }

  /** Puts an older calibration (index into `scale`) in use again; nothing is lost. */
  restoreScale(index: number): boolean {
    const wanted = this.#scale[index];
    if (wanted === undefined) return false;
    return this.#keepScale([wanted, ...this.#scale.filter((_, i) => i !== index)]);
  }

  /** Puts a calibration in use. False when the flash failed: the old one stays. */
  usePump(calibration: PumpCalibration): boolean {
    if (!this.settings.set(SETTING.pump, pack(PUMP_FIELDS, [calibration]))) return false;
    this.#pump = calibration;
    return true;
  }

  /** Calibration of a probe, or null; one that was found on another curve than the newest is none. */
  probe(name: ProbeName): ProbeCalibration | null {
    const kept = this.#probes[name];
    if (kept === null) return null;
    const { offsetK, unixMs, curveNumber } = kept;
    // Before there were curves, there was one.
    const foundOn = Number.isNaN(curveNumber) ? 0 : curveNumber;
    return foundOn === this.curveNumber(name) ? { offsetK, unixMs } : null;
  }

  /** Puts a calibration in use. False when the flash failed: the old one stays. */
  useProbe(name: ProbeName, calibration: ProbeCalibration): boolean {
    const kept = { ...calibration, curveNumber: this.curveNumber(name) };
    if (!this.settings.set(PROBES[name].settingKey, pack(PROBE_FIELDS, [kept]))) return false;
    this.#probes = { ...this.#probes, [name]: kept };
    return true;
  }

  /** What was last told of a probe's curve; null: nothing, as far as can be read. */
  curve(name: ProbeName): KeptCurve | null {
    return this.#curves[name];
  }

  /** The number of that; 0 for none. */
  curveNumber(name: ProbeName): number {
    return this.#curves[name]?.number ?? 0;
  }

  /** Keeps what was told. False when the flash failed: the old curve stays. */
  useCurve(name: ProbeName, curve: KeptCurve): boolean {
    if (!this.settings.set(PROBES[name].curveKey, pack(CURVE_FIELDS, [curve]))) return false;
    this.#curves = { ...this.#curves, [name]: curve };
    return true;
  }

  #keepScale(history: readonly ScaleCalibration[]): boolean {
    if (!this.settings.set(SETTING.scale, pack(SCALE_FIELDS, history))) return false;
    this.#scale = history;
    return true;
  }
}

function pack<K extends string>(
  fields: readonly K[],
  records: readonly Readonly<Record<K, number>>[],
): Uint8Array {
  const bytes = new Uint8Array(HEAD_BYTES + records.length * fields.length * FIELD_BYTES);
  bytes[0] = VERSION;
  bytes[1] = fields.length;
  records.forEach((record, i) => {
    fields.forEach((field, j) => {
      writeF64(bytes, HEAD_BYTES + (i * fields.length + j) * FIELD_BYTES, record[field]);
    });
  });
  return bytes;
}

/** Records of the layouts known; `firstFields` is how many fields a record had in the first. */
function unpack<K extends string>(
  fields: readonly K[],
  firstFields: number,
  bytes: Uint8Array,
): readonly Record<K, number>[] {
  const isFirst = bytes.length % FIELD_BYTES === 0;
  if (!isFirst && bytes[0] !== VERSION) return [];
  const head = isFirst ? 0 : HEAD_BYTES;
  const stored = isFirst ? firstFields : (bytes[1] ?? 0);
  if (stored === 0) return [];
  const count = Math.floor((bytes.length - head) / (stored * FIELD_BYTES));
  return Array.from({ length: count }, (_, i) => {
    const entries = fields.map((field, j) => [
      field,
      j < stored ? readF64(bytes, head + (i * stored + j) * FIELD_BYTES) : Number.NaN,
    ]);
    return Object.fromEntries(entries);
  });
}
