/** What the controller's pins give, and the rule that keeps it within the chip's limits. */
import { findPart, netsOf, partsOn } from '../circuit/circuit';
import type { Circuit, Part } from '../circuit/kinds';
import { LOGIC } from '../circuit/limits';
import { isGround, neighbours } from './paths';
import type { Rule } from './rule';

export const pinCurrents: Rule = {
  id: 'pin-currents',
  statement: `No pin gives or takes more than its ${LOGIC.driveA * 1e3} mA drive setting, all together at most ${LOGIC.totalMaxA * 1e3} mA.`,
  source: 'RP2040 data sheet, digital IO characteristics',
  check(circuit) {
    const currents = outputCurrents(circuit);
    const findings = currents
      .filter((entry) => entry.amps > LOGIC.driveA)
      .map((entry) => ({
        part: 'A1',
        net: entry.net,
        why: `${(entry.amps * 1e3).toFixed(1)} mA flow from ${entry.pin}.`,
      }));
    const total = currents.reduce((sum, entry) => sum + entry.amps, 0);
    if (total > LOGIC.totalMaxA) {
      findings.push({ part: 'A1', net: '(all)', why: `${(total * 1e3).toFixed(0)} mA in all.` });
    }
    return findings;
  },
};

export interface PinCurrent {
  readonly pin: string;
  readonly net: string;
  readonly amps: number;
}

/**
 * Largest steady current, A, of each output of the controller: its resistor to ground, to a base or a
 * lamp (less their forward voltage), or to a pin that a slip of the hand may short. A pin that meets
 * a base, a lamp or a gate without a resistor counts as a short: endless.
 */
export function outputCurrents(circuit: Circuit): PinCurrent[] {
  const controller = findPart(circuit, 'A1');
  if (controller === undefined) return [];
  return [...netsOf(circuit, controller)]
    .filter(([pin]) => controller.pins[pin] === 'output')
    .map(([pin, net]) => {
      const bare = partsOn(circuit, net).some((part) =>
        ['mosfet', 'bipolar', 'lamp'].includes(part.ratings.kind),
      );
      const amps = neighbours(circuit, net.name)
        .filter((next) => next.part.ratings.kind === 'resistor')
        .reduce((sum, next) => sum + throughA(circuit, next.part, next.net), 0);
      return { pin, net: net.name, amps: bare ? Number.POSITIVE_INFINITY : amps };
    });
}

const HIGH_MAX_V = LOGIC.nominalV * (1 + LOGIC.tolerance);
const BASE_FORWARD_V = 0.6;

/** Current, A, from a high pin through `resistor` into what follows on net `far`. */
function throughA(circuit: Circuit, resistor: Part, far: string): number {
  if (resistor.ratings.kind !== 'resistor') return 0;
  if (isGround(circuit, far)) return HIGH_MAX_V / resistor.ratings.ohm;
  const beyond = neighbours(circuit, far).filter((next) => next.part.ref !== resistor.ref);
  const lamp = beyond.find((next) => next.part.ratings.kind === 'lamp')?.part;
  if (lamp?.ratings.kind === 'lamp') {
    return (HIGH_MAX_V - lamp.ratings.forwardV) / resistor.ratings.ohm;
  }
  if (beyond.some((next) => next.part.ratings.kind === 'bipolar')) {
    return (HIGH_MAX_V - BASE_FORWARD_V) / resistor.ratings.ohm;
  }
  const onward = beyond.find((next) => isGround(circuit, next.net))?.part;
  const onwardOhm = onward?.ratings.kind === 'resistor' ? onward.ratings.ohm : 0;
  return HIGH_MAX_V / (resistor.ratings.ohm + onwardOhm);
}
