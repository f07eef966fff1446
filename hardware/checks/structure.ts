/** Rules about the netlist as such: nothing loose, nothing twice, and the pins the firmware uses. */
import { PINS } from '../../shared/board/map';
import { PROBE_NAMES } from '../../shared/board/probes';
import { findNet, findPart, netOf, netsOf, partsOf, splitPin } from '../circuit/circuit';
import { boardPin, PIN_NETS } from '../circuit/controller';
import type { Circuit, Net, Part, PinRole } from '../circuit/kinds';
import { PROBE_CIRCUITS, PROBE_LIST, probePin } from '../circuit/probes';
import { isGround, neighbours, reachable } from './paths';
import type { Finding, Rule } from './rule';

const roleOf = (circuit: Circuit, pinRef: `${string}.${string}`): PinRole | undefined => {
  const { ref, pin } = splitPin(pinRef);
  return findPart(circuit, ref)?.pins[pin];
};

export const everyPinOnce: Rule = {
  id: 'every-pin-once',
  statement: 'Every pin of every part is on exactly one net, and every net names real pins.',
  source: 'common practice of netlist checks',
  check(circuit) {
    const findings: Finding[] = [];
    for (const net of circuit.nets) {
      for (const pinRef of net.pins) {
        if (roleOf(circuit, pinRef) === undefined) {
          findings.push({
            part: splitPin(pinRef).ref,
            net: net.name,
            why: `there is no pin ${pinRef}.`,
          });
        }
      }
    }
    for (const part of circuit.parts) {
      for (const pin of Object.keys(part.pins)) {
        const nets = circuit.nets.filter((net) => net.pins.includes(`${part.ref}.${pin}`));
        if (nets.length !== 1) {
          findings.push({
            part: part.ref,
            net: nets.map((net) => net.name).join(' and ') || '(none)',
            why: `pin ${pin} is on ${nets.length} nets.`,
          });
        }
      }
    }
    return findings;
  },
};

export const uniqueReferences: Rule = {
  id: 'unique-references',
  statement: 'No two parts share a reference, and no two wires a number.',
  source: 'IEC 81346 principle of unique designations',
  check(circuit) {
    const names = [
      ...circuit.parts.map((part) => part.ref),
      ...circuit.wires.map((wire) => wire.id),
    ];
    return names
      .filter((name, index) => names.indexOf(name) !== index)
      .map((name) => ({ part: name, net: '(any)', why: 'the name is used twice.' }));
  },
};

const DRIVERS: readonly PinRole[] = ['source', 'output'];

function drives(circuit: Circuit, net: string): boolean {
  const pins = findNet(circuit, net)?.pins ?? [];
  return pins.some((pin) => DRIVERS.includes(roleOf(circuit, pin) ?? 'passive'));
}

/** Current comes from `net` through `part`: not against a diode, but for one that is there to break down. */
function letsIn(circuit: Circuit, part: Part, net: string): boolean {
  const { ratings } = part;
  const breaksDown =
    ratings.kind === 'diode' && (ratings.style === 'zener' || ratings.style === 'suppressor');
  const oneWay = (ratings.kind === 'diode' && !breaksDown) || ratings.kind === 'lamp';
  return !oneWay || netsOf(circuit, part).get('A')?.name === net;
}

/** Nets that a capacitor joins to one of `nets`: what toggles there drives these. */
function coupled(circuit: Circuit, nets: readonly string[]): string[] {
  return partsOf(circuit, 'capacitor').flatMap((part) => {
    const ends = [...netsOf(circuit, part).values()].map(({ name }) => name);
    const far = ends.filter((name) => !nets.includes(name) && !isGround(circuit, name));
    return ends.some((name) => nets.includes(name)) ? far : [];
  });
}

/** Ground is reached through parts, or through a module whose own ground pin is connected. */
function returns(circuit: Circuit, net: Net): boolean {
  const reached = reachable(circuit, net.name);
  if ([...reached].some((name) => isGround(circuit, name))) return true;
  const pins = circuit.nets.filter(({ name }) => reached.has(name)).flatMap(({ pins }) => pins);
  return pins.some((pinRef) => {
    const part = findPart(circuit, splitPin(pinRef).ref);
    if (part === undefined || part.ratings.kind !== 'module') return false;
    return [...netsOf(circuit, part)].some(
      ([pin, there]) => part.pins[pin] === 'ground' && isGround(circuit, there.name),
    );
  });
}

export const driverAndReturn: Rule = {
  id: 'driver-and-return',
  statement: 'Every net has something that drives it, at least two pins, and a way back to ground.',
  source: 'common practice of electrical rule checks',
  check(circuit) {
    const findings: Finding[] = [];
    for (const net of circuit.nets) {
      const first = net.pins[0];
      const part = first === undefined ? '(no part)' : splitPin(first).ref;
      const say = (why: string): number => findings.push({ part, net: net.name, why });
      if (net.pins.length < 2) say('nothing else is on this net.');
      if (isGround(circuit, net.name)) {
        if (!net.pins.some((pin) => roleOf(circuit, pin) === 'ground')) {
          say('no supply or module returns here.');
        }
        continue;
      }
      const upstream = (from: string): Set<string> =>
        reachable(circuit, from, (part, to) => !isGround(circuit, to) && letsIn(circuit, part, to));
      const direct = [...upstream(net.name)];
      const driven = [...direct, ...coupled(circuit, direct).flatMap((far) => [...upstream(far)])];
      if (!driven.some((name) => drives(circuit, name))) say('nothing drives it.');
      else if (!returns(circuit, net)) say('its current has no way back to ground.');
    }
    return findings;
  },
};

export const firmwarePins: Rule = {
  id: 'firmware-pins',
  statement: 'Each GPIO of the firmware is on the net of its name, and on no other.',
  source: 'shared/board/map.ts, the one pin map of firmware and circuit',
  check(circuit) {
    const findings: Finding[] = [];
    const judge = (name: string, pin: string, belongsOn: string): void => {
      const net = netOf(circuit, `A1.${pin}`)?.name ?? '(none)';
      if (net === belongsOn) return;
      const why = `the firmware's ${name} is ${pin}, which belongs on net ${belongsOn}.`;
      findings.push({ part: 'A1', net, why });
    };
    for (const name of Object.keys(PINS) as readonly (keyof typeof PINS)[]) {
      judge(name, boardPin(name), PIN_NETS[name]);
    }
    for (const name of PROBE_NAMES) {
      judge(`${name} probe`, probePin(name), PROBE_CIRCUITS[name].adcNet);
    }
    return findings;
  },
};

export const definedInputs: Rule = {
  id: 'defined-inputs',
  statement:
    'A logic line to another board has a resistor that gives it a level when its wire breaks.',
  source:
    'common practice; what pulls the pads have is on the controller, not behind the broken wire',
  check(circuit) {
    const lines = ['SCALE_CLK', 'SCALE_DATA', 'LINK_RX', 'FEED', 'ARM'];
    return lines
      .filter((line) => {
        const held = neighbours(circuit, line).some(
          ({ part, net }) =>
            part.ratings.kind === 'resistor' && (isGround(circuit, net) || net === 'LOGIC_SUPPLY'),
        );
        return !held;
      })
      .map((line) => ({ part: 'A1', net: line, why: 'no pull-up or pull-down holds it.' }));
  },
};

/** What a meter must be able to reach when something is wrong, and what stands beside it there. */
const TESTED_NETS: Readonly<Record<string, string>> = {
  RAIL: 'RAIL',
  FIVE_VOLT: '5 V',
  GROUND: 'GND',
  LOGIC_SUPPLY: '3.3 V',
  SCALE_SUPPLY: 'SCALE 3.3 V',
  ADC_REFERENCE: 'VREF',
  ...Object.fromEntries(PROBE_LIST.map(({ net, marked }) => [net, marked])),
  MAT_SUPPLY: 'MAT SUPPLY',
  PUMP_FEED: 'PUMP+',
  FEED_HOLD: 'FEED HOLD',
  ARM_HOLD: 'ARM HOLD',
  MAT_GATE: 'MAT GATE',
  PUMP_GATE: 'PUMP GATE',
};

export const testPoints: Rule = {
  id: 'test-points',
  statement: 'Supplies, gates and probe voltages each have a test point, marked with what it is.',
  source: 'common practice; the build guide measures at them',
  check(circuit) {
    return Object.entries(TESTED_NETS).flatMap(([name, marked]): Finding[] => {
      const pins = findNet(circuit, name)?.pins ?? [];
      const points = pins
        .map((pin) => findPart(circuit, splitPin(pin).ref))
        .filter((part) => part?.ratings.kind === 'test-point');
      if (points.length === 0) {
        return [{ part: '(test point)', net: name, why: 'there is none to measure at.' }];
      }
      return points.flatMap((point) =>
        point === undefined || point.value === marked
          ? []
          : [{ part: point.ref, net: name, why: `it is marked ${point.value}, not ${marked}.` }],
      );
    });
  },
};
