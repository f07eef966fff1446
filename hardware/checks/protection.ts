/** Rules about faults in the power path: fuses, cut-out, polarity, ratings. */
import { findNet, netsOf, type PartOf, partsOf, partsOn, splitPin } from '../circuit/circuit';
import {
  type Circuit,
  ELECTRONICS_PLACES,
  type Net,
  type Part,
  WIRE_SIZES,
  type Wire,
} from '../circuit/kinds';
import { MARGIN, RAIL, RAIL_CHOICES_V } from '../circuit/limits';
import { LIMITS_OUTSIDE } from './fixed';
import { groundPath } from './grounding';
import { railCurrentA } from './outputs';
import { isGround, reachable } from './paths';
import type { Finding, Rule } from './rule';

type Fuse = PartOf<'fuse'>;

/** So much in series lets a few hundredths of an ampere through: no fuse has to see that. */
const LIMITS_FAULT_OHM = 1000;
const isLarge = ({ ratings }: Part): boolean =>
  ratings.kind === 'resistor' && ratings.ohm >= LIMITS_FAULT_OHM;
const limitsFault = (part: Part): boolean => part.ratings.kind === 'fuse' || isLarge(part);

/** Of a fuse's two nets the one away from the supply: the one from which no fault current reaches the inlet without it. */
export function protectedNet(circuit: Circuit, fuse: Fuse): Net | undefined {
  return [...netsOf(circuit, fuse).values()].find(
    (net) =>
      !reachable(
        circuit,
        net.name,
        (part, to) => part.ref !== fuse.ref && !isLarge(part) && !isGround(circuit, to),
      ).has('INLET'),
  );
}

/** Nets in which a fault current is limited by `fuse` first: up to the next fuse or large resistor, and to ground. */
export function netsBehind(circuit: Circuit, fuse: Fuse): Set<string> {
  const start = protectedNet(circuit, fuse);
  if (start === undefined) return new Set();
  return reachable(circuit, start.name, (part, to) => !limitsFault(part) && !isGround(circuit, to));
}

const mayCarryA = (wire: Wire): number => WIRE_SIZES[wire.mm2].mayCarryA;

export const fuseBelowWire: Rule = {
  id: 'fuse-below-wire',
  statement:
    'Every wire carries at least the rating of the fuse before it, the ground return of that fuse too; the lead from the inlet carries all that the supply can give.',
  source: 'IEC 60364-4-43 principle; wire currents of IEC 60335-1 table 11 (from memory)',
  check(circuit) {
    const findings: Finding[] = [];
    const judge = (wire: Wire, amps: number, by: string): void => {
      if (mayCarryA(wire) >= amps) return;
      findings.push({
        part: wire.id,
        net: wire.net,
        why: `${wire.mm2} mm² carries ${mayCarryA(wire)} A, but ${by} lets ${amps} A through.`,
      });
    };
    for (const fuse of partsOf(circuit, 'fuse')) {
      const behind = netsBehind(circuit, fuse);
      for (const wire of circuit.wires) {
        if (behind.has(wire.net)) judge(wire, fuse.ratings.ratedA, fuse.ref);
      }
      for (const wire of returnWires(circuit, behind)) judge(wire, fuse.ratings.ratedA, fuse.ref);
    }
    for (const wire of circuit.wires.filter(({ net }) => net === 'INLET')) {
      judge(wire, RAIL.supplyFaultA, 'the supply');
    }
    return findings;
  },
};

/** Ground wires between the parts that `nets` end in and the inlet. */
function returnWires(circuit: Circuit, nets: ReadonlySet<string>): Wire[] {
  const places = new Set(
    circuit.nets
      .filter((net) => nets.has(net.name))
      .flatMap((net) => partsOn(circuit, net))
      .filter((part) => [...netsOf(circuit, part).values()].some((net) => net.use === 'ground'))
      .map((part) => part.place),
  );
  return [...new Set([...places].flatMap((place) => groundPath(circuit, place, 'panel') ?? []))];
}

export const fuseFits: Rule = {
  id: 'fuse-fits',
  statement: `A fuse is rated for the highest rail in DC, and carries at most ${MARGIN.fuseLoad * 100} % of its rating for ever.`,
  source: 'ISO 8820-3 (blade fuses): continuous load 70 to 80 % of the rating',
  check(circuit) {
    return partsOf(circuit, 'fuse').flatMap((fuse) => {
      const behind = netsBehind(circuit, fuse);
      const net = protectedNet(circuit, fuse)?.name ?? '(none)';
      const amps = steadyLoadA(circuit, behind);
      const findings: Finding[] = [];
      if (fuse.ratings.ratedV < RAIL.maxV) {
        findings.push({
          part: fuse.ref,
          net,
          why: `rated ${fuse.ratings.ratedV} V DC on a rail of up to ${RAIL.maxV} V.`,
        });
      }
      if (amps > fuse.ratings.ratedA * MARGIN.fuseLoad) {
        findings.push({
          part: fuse.ref,
          net,
          why: `it carries ${amps.toFixed(2)} A for hours; a ${fuse.ratings.ratedA} A fuse may carry ${(fuse.ratings.ratedA * MARGIN.fuseLoad).toFixed(2)} A.`,
        });
      }
      return findings;
    });
  },
};

/** Current, A, a fuse carries with everything on that is behind it. */
function steadyLoadA(circuit: Circuit, behind: ReadonlySet<string>): number {
  if (behind.has('RAIL')) return railCurrentA(circuit);
  const loads = partsOf(circuit, 'load').filter((load) =>
    [...netsOf(circuit, load).values()].some((net) => behind.has(net.name)),
  );
  return loads.reduce((sum, load) => sum + load.ratings.ratedA, 0);
}

export const everyLoadFused: Rule = {
  id: 'every-load-fused',
  statement:
    'Mat and pump each have a fuse of their own, and the main fuse sits next to the inlet.',
  source: 'common practice; a fault in one load must not need the current of the other to clear',
  check(circuit) {
    const findings: Finding[] = [];
    const fuses = partsOf(circuit, 'fuse');
    const loads = partsOf(circuit, 'load').filter((load) =>
      [...netsOf(circuit, load).values()].some((net) => net.use === 'feed'),
    );
    for (const load of loads) {
      const feed = [...netsOf(circuit, load).values()].find((net) => net.use === 'feed');
      const own = fuses.some(
        (fuse) =>
          feed !== undefined &&
          netsBehind(circuit, fuse).has(feed.name) &&
          !netsBehind(circuit, fuse).has('RAIL') &&
          loads.every(
            (other) =>
              other === load ||
              ![...netsOf(circuit, other).values()].some((net) =>
                netsBehind(circuit, fuse).has(net.name),
              ),
          ),
      );
      if (!own) {
        findings.push({
          part: load.ref,
          net: feed?.name ?? '(none)',
          why: 'it has no fuse of its own.',
        });
      }
    }
    const inlet = findNet(circuit, 'INLET');
    const stray = inlet?.pins
      .map((pin) => splitPin(pin).ref)
      .find((ref) => ref !== 'J1' && !fuses.some((fuse) => fuse.ref === ref));
    if (stray !== undefined) {
      findings.push({
        part: stray,
        net: 'INLET',
        why: 'it hangs on the inlet, before the main fuse.',
      });
    }
    return findings;
  },
};

export const matCutOut: Rule = {
  id: 'mat-cut-out',
  statement:
    'The mat has a thermal cut-out in series, outside all electronics, rated for direct current, that does not reset by itself, holds at the limiter, opens above it and below what a propagator bears.',
  source:
    'IEC 60335-1 clauses 19 and 24: a limiter independent of the control; IEC 60691 (Tf, holding temperature); shared/board/map.ts (55 °C limiter)',
  check(circuit) {
    const mat = partsOf(circuit, 'load').find((part) => part.block === 'mat');
    if (mat === undefined) return [];
    const nets = [...netsOf(circuit, mat).values()];
    const cutOut = partsOf(circuit, 'cut-out').find((part) =>
      [...netsOf(circuit, part).values()].some((net) => nets.includes(net)),
    );
    const net = nets[0]?.name ?? '(none)';
    if (cutOut === undefined) {
      return [{ part: mat.ref, net, why: 'no thermal cut-out is in series with it.' }];
    }
    const { opensC, toleranceK, holdsC, resets, ratedA, ratedV } = cutOut.ratings;
    const faults = [
      ELECTRONICS_PLACES.includes(cutOut.place) || cutOut.place === 'panel'
        ? `it is on the ${cutOut.place}, where a fault of the electronics can take it along.`
        : null,
      resets === 'by-itself' ? 'it switches on again by itself, for ever.' : null,
      opensC - toleranceK < LIMITS_OUTSIDE.matLimiterC
        ? `it may open at ${opensC - toleranceK} °C, before the limiter at ${LIMITS_OUTSIDE.matLimiterC} °C.`
        : null,
      holdsC < LIMITS_OUTSIDE.matLimiterC
        ? `it may be kept at ${holdsC} °C only; the mat may be at ${LIMITS_OUTSIDE.matLimiterC} °C for hours.`
        : null,
      opensC + toleranceK > LIMITS_OUTSIDE.propagatorMaxC
        ? `it may wait until ${opensC + toleranceK} °C; trays soften above ${LIMITS_OUTSIDE.propagatorMaxC} °C.`
        : null,
      // Its sheet names the system's voltage; the rail's upper tolerance is in that.
      ratedA < mat.ratings.ratedA || ratedV < Math.max(...RAIL_CHOICES_V)
        ? `it is rated ${ratedA} A and ${ratedV} V DC.`
        : null,
    ];
    return faults.filter((why) => why !== null).map((why) => ({ part: cutOut.ref, net, why }));
  },
};
