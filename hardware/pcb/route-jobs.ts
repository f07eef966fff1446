/** What is to be routed on a board: nets in their order, and how wide between which pins. */
import type { PinRef } from '../circuit/kinds';
import type { Layout } from './layout';
import type { PlacedPad, PlacedPart } from './placed';
import { COPPER, trackMm } from './widths';

/** Grounds need no tracks: their pours join all their pads, which the checks make sure of. */
const isGround = (net: string): boolean => net.endsWith('GROUND');

export interface Leg {
  readonly pin: PinRef;
  readonly pads: readonly PlacedPad[];
}

export interface Job {
  readonly net: string;
  /** Legs of the load current first, with the width of their tracks; then taps. */
  readonly stages: readonly {
    readonly width: number;
    readonly vias: boolean;
    readonly legs: readonly Leg[];
  }[];
  readonly weight: number;
}

/** Above this a via's barrel would be the thinnest place, A. */
const VIA_MAY_CARRY_A = 1;

export function jobs(layout: Layout, parts: readonly PlacedPart[]): Job[] {
  const pads = parts.flatMap((part) => part.pads);
  const legsOf = (net: string): Leg[] => {
    const mine = pads.filter((pad) => pad.net === net);
    const pins = [...new Set(mine.flatMap(({ pin }) => (pin === null ? [] : [pin])))];
    return pins.map((pin) => ({ pin, pads: mine.filter((pad) => pad.pin === pin) }));
  };
  const poured = new Set<string>(layout.pours.map(({ net }) => net).filter(isGround));
  const found = layout.project.circuit.nets
    .filter(({ name }) => !poured.has(name))
    .map(({ name }): Job => {
      const legs = legsOf(name);
      const load = layout.loads.find(({ net }) => net === name);
      const heavy = legs.filter(({ pin }) => load?.pins.includes(pin) === true);
      const light = legs.filter(({ pin }) => load?.pins.includes(pin) !== true);
      const currentA = load?.currentA ?? 0;
      const least = load === undefined ? COPPER.signalMm : COPPER.supplyMm;
      const width = Math.max(least, Math.ceil(trackMm(currentA) * 10) / 10);
      return {
        net: name,
        stages: [
          { width, vias: currentA <= VIA_MAY_CARRY_A, legs: heavy },
          { width: COPPER.signalMm, vias: true, legs: light },
        ],
        weight: currentA,
      };
    });
  const size = ({ stages }: Job): number => spread(stages.flatMap(({ legs }) => legs));
  return found
    .filter(({ stages }) => stages.reduce((sum, { legs }) => sum + legs.length, 0) > 1)
    .sort((a, b) => b.weight - a.weight || size(a) - size(b) || a.net.localeCompare(b.net));
}

function spread(legs: readonly Leg[]): number {
  const points = legs.flatMap(({ pads }) => pads.map(({ at }) => at));
  const range = (values: readonly number[]): number => Math.max(...values) - Math.min(...values);
  return range(points.map(({ x }) => x)) + range(points.map(({ y }) => y));
}
