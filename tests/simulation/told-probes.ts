/** Trays with other NTCs than the reference probe, and what the board is told of them. */
import type { BenchOptions } from '../../firmware/bench/bench';
import { PROBES, type ProbeName } from '../../shared/board/probes';
import { curveFromB, type SteinhartHart } from '../../shared/physics/ntc';
import { probeCurveOf } from '../../shared/physics/probe-curve';
import { MINUTE_MS } from '../../shared/units/time';
import { Grower } from './grower';

export const ntc = (ohm: number, b: number): SteinhartHart =>
  curveFromB({ b, t1C: 25, t2C: 85 }, ohm);
export const B3435 = ntc(10_000, 3435);
export const FIVE_K = ntc(5_000, 3977);
export const FIFTY_K = ntc(50_000, 3950);
/** Each part of a make is off by up to 0.3 K, and its own current warms it. */
export const PART_K = 0.4;
export const RESTARTS_MS = 5_000;

/** A grower with a tray whose probes are such NTCs, in a room of 24 C. */
export const withProbes = (curve: SteinhartHart, options: Partial<BenchOptions> = {}): Grower =>
  new Grower({ ntcs: { rootZone: curve, mat: curve }, ...options });

/** Says which NTC a probe is; null: the reference one. The board starts again. */
export function tell(grower: Grower, name: ProbeName, curve: SteinhartHart | null) {
  const { channel } = PROBES[name];
  const told = curve === null ? {} : probeCurveOf(curve);
  const result = grower.call('probe.curve', { channel, ...told });
  grower.bench.run(RESTARTS_MS);
  return result;
}

export const read = (grower: Grower) => grower.call('probe.read', {}, false);
export const boot = (grower: Grower) => grower.call('controller.hello', {}, false).boot;

export function powerCycle({ bench }: Grower): void {
  bench.cutPower();
  bench.run(MINUTE_MS);
  bench.restorePower();
  bench.run(MINUTE_MS);
}
