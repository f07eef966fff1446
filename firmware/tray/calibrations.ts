/** Calibrations and the boot count, as kept in the settings. Each value is one atomic record. */

import { PROBE_CHANNEL } from '../../shared/board/map';
import { readF64, readU32, writeF64, writeU32 } from '../../shared/bytes';
import type {
  ProbeCalibration,
  PumpCalibration,
  ScaleCalibration,
} from '../../shared/link/methods';
import { RECORD_LIMITS } from '../limits';
import type { Settings } from '../storage/settings';
import { SETTING } from './setting-keys';

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
const PROBE_FIELDS = ['offsetK', 'unixMs'] as const satisfies readonly (keyof ProbeCalibration)[];

/** Every calibration in force, read once at the start; each change goes to flash first. */
export class CalibrationStore {
  /** Newest first; the first is in use. */
  scale: readonly ScaleCalibration[] = [];
  pump: PumpCalibration | null = null;
  readonly #probes: (ProbeCalibration | null)[] = [null, null];

  constructor(readonly settings: Settings) {
    const scale = settings.get(SETTING.scale);
    if (scale !== null) {
      const count = Math.floor(scale.length / (SCALE_FIELDS.length * 8));
      this.scale = Array.from({ length: count }, (_, i) => unpack(SCALE_FIELDS, scale, i));
    }
    const pump = settings.get(SETTING.pump);
    if (pump !== null) this.pump = unpack(PUMP_FIELDS, pump, 0);
    for (const channel of [PROBE_CHANNEL.rootZone, PROBE_CHANNEL.mat]) {
      const probe = settings.get(probeKey(channel));
      if (probe !== null) this.#probes[channel] = unpack(PROBE_FIELDS, probe, 0);
    }
  }

  /** Counts this boot and returns its number, from 1. */
  nextBoot(): number {
    const bytes = this.settings.get(SETTING.boot) ?? new Uint8Array(4);
    const boot = readU32(bytes, 0) + 1;
    const next = new Uint8Array(4);
    writeU32(next, 0, boot);
    this.settings.set(SETTING.boot, next);
    return boot;
  }

  /** Puts a calibration in use; the ones before stay as history. False when the flash failed. */
  useScale(calibration: ScaleCalibration): boolean {
    const history = [calibration, ...this.scale].slice(0, RECORD_LIMITS.scaleHistory);
    return this.#keepScale(history);
  }

  /** Changes the zero of the calibration in use, without a new place in the history. */
  useZero(zeroCode: number): boolean {
    const [first, ...rest] = this.scale;
    return first !== undefined && this.#keepScale([{ ...first, zeroCode }, ...rest]);
  }

  /** Puts an older calibration (index into `scale`) in use again; nothing is lost. */
  restoreScale(index: number): boolean {
    const wanted = this.scale[index];
    if (wanted === undefined) return false;
    return this.#keepScale([wanted, ...this.scale.filter((_, i) => i !== index)]);
  }

  /** Puts a calibration in use. False when the flash failed: the old one stays. */
  usePump(calibration: PumpCalibration): boolean {
    if (!this.settings.set(SETTING.pump, pack(PUMP_FIELDS, [calibration]))) return false;
    this.pump = calibration;
    return true;
  }

  /** Calibration of the probe on `channel` (`PROBE_CHANNEL`), or null. */
  probe(channel: number): ProbeCalibration | null {
    return this.#probes[channel] ?? null;
  }

  /** Puts a calibration in use. False when the flash failed: the old one stays. */
  useProbe(channel: number, calibration: ProbeCalibration): boolean {
    if (!this.settings.set(probeKey(channel), pack(PROBE_FIELDS, [calibration]))) return false;
    this.#probes[channel] = calibration;
    return true;
  }

  #keepScale(history: readonly ScaleCalibration[]): boolean {
    if (!this.settings.set(SETTING.scale, pack(SCALE_FIELDS, history))) return false;
    this.scale = history;
    return true;
  }
}

function probeKey(channel: number): number {
  return channel === PROBE_CHANNEL.rootZone ? SETTING.probe : SETTING.matProbe;
}

function pack<K extends string>(
  fields: readonly K[],
  records: readonly Readonly<Record<K, number>>[],
): Uint8Array {
  const bytes = new Uint8Array(records.length * fields.length * 8);
  records.forEach((record, i) => {
    fields.forEach((field, j) => {
      writeF64(bytes, (i * fields.length + j) * 8, record[field]);
    });
  });
  return bytes;
}

function unpack<K extends string>(
  fields: readonly K[],
  bytes: Uint8Array,
  index: number,
): Record<K, number> {
  const entries = fields.map((field, j) => [
    field,
    readF64(bytes, (index * fields.length + j) * 8),
  ]);
  return Object.fromEntries(entries);
}
