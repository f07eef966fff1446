/** Rules about the rail itself and what parts bear: polarity, surge, voltage and power. */
import { netOf, netsOf, type PartOf, partsOf } from '../circuit/circuit';
import type { Circuit } from '../circuit/kinds';
import { MARGIN, RAIL } from '../circuit/limits';
import { LIMITS_OUTSIDE } from './fixed';
import { isGround, neighbours } from './paths';
import { FIVE_VOLT_MAX_V, highestV } from './polarised';
import type { Finding, Rule } from './rule';

export const polarity: Rule = {
  id: 'reverse-polarity',
  statement:
    'A P-channel MOSFET after the main fuse keeps a reversed supply out: drain to the supply, gate to ground through a resistor, gate clamped by a zener.',
  source: 'common practice; its body diode points from drain to source',
  check(circuit) {
    const guard = partsOf(circuit, 'mosfet').find(
      (part) => part.ratings.channel === 'p' && part.block === 'supply',
    );
    if (guard === undefined) {
      return [{ part: '(none)', net: 'FUSED', why: 'nothing keeps a reversed supply out.' }];
    }
    const nets = netsOf(circuit, guard);
    const gate = nets.get('G');
    const findings: Finding[] = [];
    if (nets.get('D')?.name !== 'FUSED' || nets.get('S')?.name !== 'RAIL') {
      findings.push({
        part: guard.ref,
        net: nets.get('D')?.name ?? '(none)',
        why: 'it is the wrong way round: its body diode would pass a reversed supply.',
      });
    }
    const toGround = neighbours(circuit, gate?.name ?? '').some(
      (next) => next.part.ratings.kind === 'resistor' && isGround(circuit, next.net),
    );
    const clamp = partsOf(circuit, 'diode').find((diode) => {
      const there = netsOf(circuit, diode);
      return (
        diode.ratings.style === 'zener' &&
        there.get('A')?.name === gate?.name &&
        there.get('K')?.name === nets.get('S')?.name
      );
    });
    if (
      !toGround ||
      (clamp?.ratings.clampV ?? Number.POSITIVE_INFINITY) > guard.ratings.gateSourceMaxV
    ) {
      findings.push({
        part: guard.ref,
        net: gate?.name ?? '(none)',
        why: `its gate needs a resistor to ground and a zener below ${guard.ratings.gateSourceMaxV} V.`,
      });
    }
    return findings;
  },
};

export const surge: Rule = {
  id: 'surge',
  statement:
    'A suppressor on the rail starts above the highest rail and clamps below every switch and the 5 V converter.',
  source: 'suppressor data sheets (breakdown, not stand-off, sets what small surges reach)',
  check(circuit) {
    const suppressor = partsOf(circuit, 'diode').find(
      (part) =>
        part.ratings.style === 'suppressor' && netOf(circuit, `${part.ref}.K`)?.name === 'RAIL',
    );
    if (suppressor === undefined) {
      return [{ part: '(none)', net: 'RAIL', why: 'there is no suppressor.' }];
    }
    const lowest = Math.min(
      LIMITS_OUTSIDE.buckInputMaxV,
      ...partsOf(circuit, 'mosfet').map((part) => part.ratings.drainSourceV),
    );
    const { reverseV, clampV } = suppressor.ratings;
    if (reverseV > RAIL.maxV && (clampV ?? Number.POSITIVE_INFINITY) < lowest) return [];
    return [
      {
        part: suppressor.ref,
        net: 'RAIL',
        why: `it works between ${reverseV} and ${clampV ?? '?'} V; the rail reaches ${RAIL.maxV} V and ${lowest} V is the weakest part.`,
      },
    ];
  },
};

/** Regulators of RP2040 boards bear 6 to 7 V for a moment (board data sheets; from memory); D6 takes off 0.4 V. */
const FIVE_VOLT_CLAMP_MAX_V = 7.5;

export const fiveVoltClamp: Rule = {
  id: 'five-volt-clamp',
  statement: `A suppressor on 5 V starts above ${FIVE_VOLT_MAX_V} V and clamps below ${FIVE_VOLT_CLAMP_MAX_V} V, behind a fuse: a converter that fails through does not put the rail on the controller.`,
  source: 'common practice: the usual end of a step-down converter is its switch shorted',
  check(circuit) {
    const clamp = partsOf(circuit, 'diode').find((part) => {
      const nets = netsOf(circuit, part);
      return (
        part.ratings.style === 'suppressor' &&
        nets.get('K')?.name === 'FIVE_VOLT' &&
        nets.get('A')?.name === 'GROUND'
      );
    });
    if (clamp === undefined) {
      return [{ part: 'A2', net: 'FIVE_VOLT', why: 'no suppressor leads from 5 V to ground.' }];
    }
    const { reverseV, clampV = Number.POSITIVE_INFINITY } = clamp.ratings;
    if (reverseV > FIVE_VOLT_MAX_V && clampV <= FIVE_VOLT_CLAMP_MAX_V) return [];
    const why = `it works between ${reverseV} and ${clampV} V.`;
    return [{ part: clamp.ref, net: 'FIVE_VOLT', why }];
  },
};

/** Largest steady voltage, V, across a two-pin part. */
const acrossV = (circuit: Circuit, part: PartOf<'resistor'> | PartOf<'capacitor'>): number =>
  Math.max(0, ...[...netsOf(circuit, part).values()].map(highestV));

export const ratings: Rule = {
  id: 'ratings',
  statement: `Capacitors bear ${MARGIN.voltage} times their voltage; resistors stay at half of their power.`,
  source: 'derating is common practice',
  check(circuit) {
    const findings: Finding[] = [];
    for (const part of partsOf(circuit, 'capacitor')) {
      const needV = acrossV(circuit, part) * MARGIN.voltage;
      if (part.ratings.ratedV < needV) {
        findings.push({
          part: part.ref,
          net: [...netsOf(circuit, part).values()].map((net) => net.name).join(' to '),
          why: `rated ${part.ratings.ratedV} V, needs ${needV.toFixed(0)} V.`,
        });
      }
    }
    for (const part of partsOf(circuit, 'resistor')) {
      const powerW = acrossV(circuit, part) ** 2 / part.ratings.ohm;
      if (part.place === 'controller' || seriesOnly(circuit, part)) continue;
      if (powerW > part.ratings.powerW * MARGIN.resistorPower) {
        findings.push({
          part: part.ref,
          net: [...netsOf(circuit, part).values()].map((net) => net.name).join(' to '),
          why: `${(powerW * 1e3).toFixed(0)} mW in a ${part.ratings.powerW * 1e3} mW part.`,
        });
      }
    }
    return findings;
  },
};

/** A resistor in series with a gate or a supply pin never has the whole voltage across it. */
function seriesOnly(circuit: Circuit, part: PartOf<'resistor'>): boolean {
  return ![...netsOf(circuit, part).values()].some((net) => isGround(circuit, net.name));
}
