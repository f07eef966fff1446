/** What happens to any tray in any week and is no fault: an alarm about it, without its cause, is a nuisance. */
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../../shared/units/time';
import type { Bench, BenchOptions } from '../bench';
import { LOAD_CELL } from '../plant/load-cell';
import { Random } from '../random';
import type { Pass } from './visits';

/** Of one conversion, nV: from a platform that stands well to one in a draught, 0.15 to 1 g. */
const NOISE_NV = [LOAD_CELL.noiseNv, 330] as const;
/** Creep of the cells that hobby scales are made of, against 0.0003 of class C3. */
const CREEP_SHARE = [LOAD_CELL.creepShare, 0.001] as const;
/** Standard deviation of the weather in a room that is aired, K. */
const WEATHER_K = [0.4, 1.2] as const;

/** Scale and room of a tray whose season has annoyances. */
export function annoyingParts(seed: number): Pick<BenchOptions, 'cell' | 'room'> {
  const draw = new Random(seed ^ 0xa220);
  return {
    cell: { noiseNv: draw.between(...NOISE_NV), creepShare: draw.between(...CREEP_SHARE) },
    room: { weatherK: draw.between(...WEATHER_K) },
  };
}

/** How often a day on average, and what happens. */
interface Annoyance {
  readonly aDay: number;
  happens(bench: Bench, draw: Random): void;
}

const ANNOYANCES: readonly Annoyance[] = [
  { aDay: 0.3, happens: ({ hand }, draw) => hand.letSunIn(draw.between(0.5, 2) * HOUR_MS) },
  { aDay: 0.3, happens: ({ hand }, draw) => hand.mist(draw.between(3, 20)) },
  { aDay: 0.2, happens: ({ hand }, draw) => hand.liftTray(draw.between(10, 60) * 1000) },
  {
    aDay: 0.1,
    happens({ hand }, draw) {
      hand.liftTray(draw.between(10, 60) * 1000);
      hand.moveProbe(draw.between(0.2, 5) * MINUTE_MS);
    },
  },
  { aDay: 0.1, happens: ({ hand }) => hand.hangLamp(1.3) },
  { aDay: 0.1, happens: ({ hand }) => hand.hangLamp(1) },
];

/** Lets time pass by `pass`, with what annoys on the way, by the seed. */
export function annoyed(bench: Bench, seed: number, pass: Pass): Pass {
  const draw = new Random(seed ^ 0xa221);
  const nextIn = ({ aDay }: Annoyance): number => -Math.log(1 - draw.share()) * (DAY_MS / aDay);
  const ahead = ANNOYANCES.map((annoyance) => ({
    annoyance,
    atMs: bench.nowMs + nextIn(annoyance),
  }));
  return (ms) => {
    const endMs = bench.nowMs + ms;
    while (bench.nowMs < endMs) {
      const [first] = ahead.sort((a, b) => a.atMs - b.atMs);
      const untilMs = Math.min(endMs, Math.ceil(first?.atMs ?? endMs));
      if (untilMs > bench.nowMs) pass(untilMs - bench.nowMs);
      if (first === undefined || bench.nowMs < first.atMs) continue;
      first.annoyance.happens(bench, draw);
      first.atMs = bench.nowMs + nextIn(first.annoyance);
    }
  };
}
