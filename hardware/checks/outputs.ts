/** Rules about what is switched: off by itself, fully on when told, and no spark when let go. */
import { netOf, netsOf, type PartOf, partsOf } from '../circuit/circuit';
import type { Circuit, Part } from '../circuit/kinds';
import { LOGIC, MARGIN, RAIL, ROOM } from '../circuit/limits';
import { SECOND_SWITCH_LIST } from '../circuit/second-switches';
import { isGround, neighbours } from './paths';
import type { Finding, Rule } from './rule';

type Resistor = PartOf<'resistor'>;

const OF_SECOND_SWITCHES: readonly string[] = SECOND_SWITCH_LIST.map(({ refs }) => refs.transistor);

/** Transistors that a GPIO commands by its level: N-channel MOSFETs and the sounder's NPN. Not those of the second switches. */
export function commanded(circuit: Circuit): (PartOf<'mosfet'> | PartOf<'bipolar'>)[] {
  return [
    ...partsOf(circuit, 'mosfet').filter((part) => part.ratings.channel === 'n'),
    ...partsOf(circuit, 'bipolar').filter(({ ref }) => !OF_SECOND_SWITCHES.includes(ref)),
  ];
}

const controlPin = (part: Part): 'G' | 'B' => (part.ratings.kind === 'bipolar' ? 'B' : 'G');

/** Resistors from the control electrode straight to ground. */
export function pullDowns(circuit: Circuit, part: Part): Resistor[] {
  const net = netOf(circuit, `${part.ref}.${controlPin(part)}`);
  if (net === undefined) return [];
  return neighbours(circuit, net.name)
    .filter((next) => isGround(circuit, next.net))
    .map((next) => next.part)
    .filter((next): next is Resistor => next.ratings.kind === 'resistor');
}

/** The resistor between the control electrode and the controller's pin. */
export function driveResistor(circuit: Circuit, part: Part): Resistor | undefined {
  const net = netOf(circuit, `${part.ref}.${controlPin(part)}`);
  if (net === undefined) return undefined;
  return neighbours(circuit, net.name)
    .filter((next) => !isGround(circuit, next.net))
    .map((next) => next.part)
    .find((next): next is Resistor => next.ratings.kind === 'resistor');
}

/** Output resistance of a pad, ohm: what the data sheet's V_OH at the rated current amounts to. */
export const PAD_OHM = (LOGIC.nominalV - LOGIC.outputHighMinV) / LOGIC.driveA;

/** Lowest voltage, V, at a gate told to be on: supply at its lower limit, pad, gate and pull-down resistors. */
export function gateHighMinV(driveOhm: number, pullDownOhm: number): number {
  const supplyV = LOGIC.nominalV * (1 - LOGIC.tolerance);
  return (supplyV * pullDownOhm) / (pullDownOhm + driveOhm + PAD_OHM);
}

/** Junction temperature, C, of a MOSFET carrying `amps` for ever, in the box on the hottest day. */
export function junctionC(ratings: PartOf<'mosfet'>['ratings'], amps: number): number {
  return ROOM.maxC + ROOM.enclosureRiseK + mosfetHeatW(ratings, amps) * ratings.thermalKPerW;
}

/** Heat, W, at the on-resistance of a hot chip. */
export function mosfetHeatW(ratings: PartOf<'mosfet'>['ratings'], amps: number): number {
  return amps * amps * ratings.onOhm * ratings.hotFactor;
}

/** Current, A, that a switch must carry: its load's, run or peak. */
export function loadOf(circuit: Circuit, part: Part): PartOf<'load'> | undefined {
  const low = netsOf(circuit, part).get(part.ratings.kind === 'bipolar' ? 'C' : 'D');
  if (low === undefined) return undefined;
  return partsOf(circuit, 'load').find((load) =>
    [...netsOf(circuit, load).values()].some((net) => net.name === low.name),
  );
}

export const pullDown: Rule = {
  id: 'pull-down',
  statement:
    'A switch that the controller commands has 1 to 22 kΩ from gate or base to ground, on its own board, so that it is off unpowered, in reset, and with its control wire broken.',
  source:
    'IEC 60730-1 annex H: a fault ends in the safe state; RP2040 data sheet: pins float or pull down in reset',
  check(circuit) {
    const findings: Finding[] = [];
    for (const part of commanded(circuit)) {
      const net = netOf(circuit, `${part.ref}.${controlPin(part)}`)?.name ?? '(none)';
      const fits = pullDowns(circuit, part).filter(
        (resistor) =>
          resistor.place === part.place &&
          resistor.ratings.ohm >= 1000 &&
          resistor.ratings.ohm <= 22_000,
      );
      if (fits.length === 0) {
        findings.push({
          part: part.ref,
          net,
          why: `nothing holds it off: it needs a pull-down beside it, on the ${part.place}.`,
        });
      }
      const source = netsOf(circuit, part).get(part.ratings.kind === 'bipolar' ? 'E' : 'S');
      if (source === undefined || source.name !== 'GROUND') {
        findings.push({
          part: part.ref,
          net: source?.name ?? '(none)',
          why: 'its source or emitter is not on the power ground, so the pull-down holds nothing.',
        });
      }
    }
    return findings;
  },
};

/** Gate voltage, V, with nobody driving: leakage of pad and gate through the pull-down. */
export function gateFloatingV(gateLeakageA: number, pullDownOhm: number): number {
  return (LOGIC.leakageA + gateLeakageA) * pullDownOhm;
}

/** Lowest threshold, V, of a MOSFET at its highest allowed junction temperature. */
export function thresholdHotV(ratings: PartOf<'mosfet'>['ratings']): number {
  return (
    ratings.thresholdMinV + ratings.thresholdPerK * (ratings.junctionMaxC - MARGIN.junctionK - 25)
  );
}

export const offByItself: Rule = {
  id: 'off-by-itself',
  statement:
    'Leakage of pin and gate through the pull-down stays below a quarter of the lowest hot gate threshold.',
  source: 'RP2040 data sheet: 1 µA pin leakage; MOSFET data sheets',
  check(circuit) {
    return partsOf(circuit, 'mosfet')
      .filter((part) => part.ratings.channel === 'n')
      .flatMap((part) => {
        const ohm = pullDowns(circuit, part)[0]?.ratings.ohm ?? Number.POSITIVE_INFINITY;
        const floatingV = gateFloatingV(part.ratings.gateLeakageA, ohm);
        const limitV = thresholdHotV(part.ratings) / 4;
        if (floatingV <= limitV) return [];
        return [
          {
            part: part.ref,
            net: netOf(circuit, `${part.ref}.G`)?.name ?? '(none)',
            why: `undriven, its gate can rise to ${floatingV.toFixed(3)} V; ${limitV.toFixed(3)} V is allowed.`,
          },
        ];
      });
  },
};

export const fullyOn: Rule = {
  id: 'fully-on',
  statement:
    'A MOSFET on a 3.3 V pin has its on-resistance stated at or below the lowest gate voltage it will get.',
  source: 'MOSFET data sheets; RP2040 data sheet, V_OH',
  check(circuit) {
    return partsOf(circuit, 'mosfet')
      .filter((part) => part.ratings.channel === 'n')
      .flatMap((part) => {
        const drive = driveResistor(circuit, part)?.ratings.ohm ?? 0;
        const pull = pullDowns(circuit, part)[0]?.ratings.ohm ?? Number.POSITIVE_INFINITY;
        const gateV = Number.isFinite(pull) ? gateHighMinV(drive, pull) : LOGIC.outputHighMinV;
        if (part.ratings.onAtGateV <= gateV) return [];
        return [
          {
            part: part.ref,
            net: netOf(circuit, `${part.ref}.G`)?.name ?? '(none)',
            why: `its on-resistance is stated at ${part.ratings.onAtGateV} V, but its gate gets ${gateV.toFixed(2)} V at worst.`,
          },
        ];
      });
  },
};

export const coolEnough: Rule = {
  id: 'cool-enough',
  statement: `At its load's rated current a MOSFET stays ${MARGIN.junctionK} K below its highest junction temperature, and bears ${MARGIN.voltage} times the highest rail.`,
  source: 'I²R with the hot on-resistance; derating is common practice',
  check(circuit) {
    const findings: Finding[] = [];
    for (const part of partsOf(circuit, 'mosfet')) {
      const drain = netsOf(circuit, part).get('D')?.name ?? '(none)';
      const needV = RAIL.maxV * MARGIN.voltage;
      if (part.ratings.drainSourceV < needV) {
        findings.push({
          part: part.ref,
          net: drain,
          why: `rated ${part.ratings.drainSourceV} V; the rail asks for ${needV.toFixed(0)} V.`,
        });
      }
      const load = loadOf(circuit, part);
      const amps = part.ratings.channel === 'p' ? railCurrentA(circuit) : load?.ratings.ratedA;
      if (amps === undefined) {
        findings.push({ part: part.ref, net: drain, why: 'it switches no load.' });
        continue;
      }
      const hotC = junctionC(part.ratings, amps);
      const limitC = part.ratings.junctionMaxC - MARGIN.junctionK;
      if (hotC > limitC) {
        findings.push({
          part: part.ref,
          net: drain,
          why: `at ${amps} A its junction reaches ${hotC.toFixed(0)} °C; ${limitC} °C is allowed.`,
        });
      }
    }
    return findings;
  },
};

/** What the whole box draws at most from the supply, A: mat, pump and the hold current of the 5 V feed. */
export function railCurrentA(circuit: Circuit): number {
  const loads = partsOf(circuit, 'load')
    .filter((load) => [...netsOf(circuit, load).values()].some((net) => net.use === 'feed'))
    .reduce((sum, load) => sum + load.ratings.ratedA, 0);
  const logic = partsOf(circuit, 'fuse').find((part) => part.ratings.style === 'resettable');
  return loads + (logic?.ratings.ratedA ?? 0);
}

export const flyback: Rule = {
  id: 'flyback',
  statement:
    'Every output has a diode from its low side back to its own feed, fast, rated for the load current and for 1.25 times the rail: motor, sounder, and a contactor coil in place of the mat.',
  source: 'common practice; the current of an inductive load cannot stop at once',
  check(circuit) {
    return commanded(circuit).flatMap((part) => {
      const load = loadOf(circuit, part);
      const low = netsOf(circuit, part).get(part.ratings.kind === 'bipolar' ? 'C' : 'D');
      if (load === undefined || low === undefined) return [];
      const feedV = isFiveVolt(circuit, load) ? 5.25 : RAIL.maxV;
      const good = partsOf(circuit, 'diode').some((diode) => {
        const nets = netsOf(circuit, diode);
        const feed = nets.get('K');
        return (
          nets.get('A')?.name === low.name &&
          feed !== undefined &&
          feedsLoad(circuit, feed.name, load) &&
          (diode.ratings.style === 'schottky' || diode.ratings.style === 'silicon') &&
          diode.ratings.ratedA >= load.ratings.ratedA &&
          diode.ratings.reverseV >= feedV * MARGIN.voltage
        );
      });
      return good
        ? []
        : [
            {
              part: load.ref,
              net: low.name,
              why: `no diode of ${load.ratings.ratedA} A and ${(feedV * MARGIN.voltage).toFixed(0)} V, cathode to the feed, takes its current when ${part.ref} opens.`,
            },
          ];
    });
  },
};

function isFiveVolt(circuit: Circuit, load: Part): boolean {
  return [...netsOf(circuit, load).values()].some((net) => net.use === 'five-volt');
}

/** True when `feed` is the load's own feed, with nothing but a cut-out between. */
function feedsLoad(circuit: Circuit, feed: string, load: Part): boolean {
  const own = [...netsOf(circuit, load).values()].map((net) => net.name);
  if (own.includes(feed)) return true;
  return neighbours(circuit, feed).some(
    (next) => next.part.ratings.kind === 'cut-out' && own.includes(next.net),
  );
}
