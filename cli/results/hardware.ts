/** Shape of the report on a circuit. */
import * as z from 'zod';
import type { HardwareReport } from '../../hardware/verdicts/report';

const number = z.number();
const text = z.string();

const total = z
  .object({ worst: number, likely: number.describe('expanded uncertainty, k = 2') })
  .meta({ id: 'BudgetTotal' });
const items = z.array(z.object({ name: text, limit: number, source: text }));
const budget = z.object({ items, total }).meta({ id: 'Budget' });

export const hardwareReport = z.object({
  fits: z.boolean(),
  verdicts: z.array(
    z.object({ about: text, level: z.enum(['fits', 'caution', 'refused']), sentence: text }),
  ),
  soakedTrayG: number,
  heaviestG: number,
  probes: z.array(z.object({ atC: number, items, asBuilt: total, calibrated: total })),
  scale: z.object({
    excitationV: number,
    countsPerG: number,
    noiseG: number,
    dose: budget,
    day: budget,
    absolute: budget,
  }),
  mat: z.object({
    fluxWM2: number,
    powerW: number,
    roomC: number,
    roomMaxC: number,
    bandHighC: number,
    reachesC: number,
    dutyShare: number,
    wantedWM2: number,
    stuckRootZoneC: number,
    stuckMatC: number,
  }),
  supply: z.object({
    railV: number,
    logicSupplyA: number,
    fiveVoltA: number,
    converterA: number,
    matA: number,
    pumpA: number,
    peakA: number,
    unitW: number,
  }),
  pins: z.array(z.object({ pin: text, net: text, amps: number })),
  switches: z.array(
    z.object({ part: text, amps: number, heatW: number, junctionC: number, gateV: number }),
  ),
  fuses: z.array(z.object({ fuse: text, ratedA: number, wireMm2: number, wireMayCarryA: number })),
  circuit: z.array(z.object({ part: text, net: text, why: text, rule: text, sentence: text })),
}) satisfies z.ZodType<HardwareReport>;
