/** Readings of a tray in order, for tests of control and guard without a bench. */
import type { Readings } from '../../firmware/sensing/readings';

/** A warm tray at rest on a calibrated scale, with the temperatures told and then `change`. */
export function readingsWith(
  told: { rootZoneC?: number; matC?: number; uptimeMs?: number } = {},
  change: Partial<Readings> = {},
): Readings {
  const { rootZoneC = 25, matC = rootZoneC + 0.1, uptimeMs = 0 } = told;
  const probe = { state: 'ok', code: 2_000, doubtful: false, addedK: 0 } as const;
  return {
    uptimeMs,
    rootZone: { ...probe, celsius: rootZoneC },
    mat: { ...probe, celsius: matC },
    scale: { state: 'ok', code: 900_000, grams: 4_500, noiseG: 0.2, calibrated: true },
    outputs: 0,
    handled: false,
    away: false,
    trayG: 4_500,
    dryBackShare: 0.02,
    ...change,
  };
}
