/** Rules about signal lines: one driver each, the right core on the right pin, guards at what leads outside. */
import { findPart, netOf, netsOf, partsOf, splitPin } from '../circuit/circuit';
import { PIN_NETS } from '../circuit/controller';
import type { Circuit, PinRef } from '../circuit/kinds';
import { LOGIC, PAD_DIODE_MAX_A } from '../circuit/limits';
import { PROBE_LIST } from '../circuit/probes';
import { isGround, neighbours } from './paths';
import { FIVE_VOLT_MAX_V } from './polarised';
import type { Finding, Rule } from './rule';

export const oneDriver: Rule = {
  id: 'one-driver',
  statement: 'No net has two outputs or supplies on it, and every logic input has an output.',
  source: 'common practice of electrical rule checks',
  check(circuit) {
    return circuit.nets.flatMap((net) => {
      const rolesOf = (pin: PinRef): string => {
        const { ref, pin: name } = splitPin(pin);
        return findPart(circuit, ref)?.pins[name] ?? 'passive';
      };
      const drivers = net.pins.filter((pin) => ['output', 'source'].includes(rolesOf(pin)));
      const inputs = net.pins.filter((pin) => rolesOf(pin) === 'input');
      const [first, second] = drivers;
      const at = (pin: PinRef, why: string): Finding => ({
        part: splitPin(pin).ref,
        net: net.name,
        why,
      });
      if (first !== undefined && second !== undefined) {
        return [at(second, `${second} and ${first} both drive it.`)];
      }
      const [input] = inputs;
      const comesFromOutside = net.name === PIN_NETS.linkRx;
      if (input !== undefined && net.use === 'logic' && first === undefined && !comesFromOutside) {
        return [at(input, `nothing tells ${input} anything.`)];
      }
      return [];
    });
  },
};

/** Cores of the load cell and the pin of the converter each belongs on; exchanged, weight counts down. */
const BRIDGE_CORES = [
  ['LC1.E+', 'A3.E+'],
  ['LC1.E-', 'A3.E-'],
  ['LC1.S+', 'A3.A+'],
  ['LC1.S-', 'A3.A-'],
] as const;

/** Strain gauges are 120 Ω or more; what they warm up by is error (makers advise 5 to 10 V in 350 Ω: 14 to 28 mA). */
const BRIDGE_MAX_A = 0.03;

export const bridgeWiring: Rule = {
  id: 'bridge-wiring',
  statement: `Each core of the load cell is on the converter's pin of its name, and no more than ${BRIDGE_MAX_A * 1e3} mA excite it.`,
  source: 'load cell data sheets',
  check(circuit) {
    const crossed = BRIDGE_CORES.flatMap(([core, pin]): Finding[] => {
      const net = netOf(circuit, core);
      if (net !== undefined && net === netOf(circuit, pin)) return [];
      return [{ part: 'LC1', net: net?.name ?? '(none)', why: `${core} is not on ${pin}.` }];
    });
    const warm = partsOf(circuit, 'load-cell').flatMap((cell): Finding[] => {
      const amps = LOGIC.nominalV / cell.ratings.bridgeOhm;
      if (amps <= BRIDGE_MAX_A) return [];
      const why = `${cell.ratings.bridgeOhm} Ω take ${(amps * 1e3).toFixed(0)} mA.`;
      return [{ part: cell.ref, net: 'BRIDGE_PLUS', why }];
    });
    return [...crossed, ...warm];
  },
};

const SERVICE_MIN_OHM = (FIVE_VOLT_MAX_V - LOGIC.nominalV) / PAD_DIODE_MAX_A;
const SERVICE_LINES = [
  { pole: 'J8.TX', line: PIN_NETS.linkTx },
  { pole: 'J8.RX', line: PIN_NETS.linkRx },
] as const;

export const serviceHeader: Rule = {
  id: 'service-header',
  statement: `The header's TX leads to the firmware's TX and its RX to RX, each through a resistor that keeps a 5 V adapter below ${PAD_DIODE_MAX_A * 1e3} mA.`,
  source: 'shared/board/map.ts; RP2040 data sheet: pins bear no more than their supply',
  check(circuit) {
    return SERVICE_LINES.flatMap(({ pole, line }): Finding[] => {
      const net = netOf(circuit, pole);
      const guard = neighbours(circuit, net?.name ?? '').find(
        ({ part, net: to }) => part.ratings.kind === 'resistor' && to === line,
      )?.part;
      const at = { part: guard?.ref ?? 'J8', net: net?.name ?? '(none)' };
      if (guard === undefined || guard.ratings.kind !== 'resistor') {
        return [{ ...at, why: `no resistor leads from ${pole} to ${line}.` }];
      }
      if (guard.ratings.ohm >= SERVICE_MIN_OHM) return [];
      return [
        { ...at, why: `${guard.ratings.ohm} Ω are less than ${SERVICE_MIN_OHM.toFixed(0)} Ω.` },
      ];
    });
  },
};

const GUARD_OHM = { min: 470, max: 4700 } as const;
const GUARD_MIN_F = 10e-9;

const leadsTo = (
  circuit: Circuit,
  ref: string,
  pin: string,
  to: (net: string) => boolean,
): boolean => {
  const net = netOf(circuit, `${ref}.${pin}`);
  return net !== undefined && to(net.name);
};

export const probeGuard: Rule = {
  id: 'probe-guard',
  statement: `Between each probe's lead and its pin are ${GUARD_OHM.min} Ω to ${GUARD_OHM.max / 1000} kΩ, and at the pin ${GUARD_MIN_F * 1e9} nF or more and a silicon diode each to the quiet ground and to 3.3 V.`,
  source:
    'IEC 61000-4-2 principle: leads are touched; Schottky diodes leak more than the ADC bears',
  check(circuit) {
    return PROBE_LIST.flatMap(({ probe, series, adcNet }) => {
      const here = (net: string): boolean => net === adcNet;
      const diodes = partsOf(circuit, 'diode').filter(({ ratings }) => ratings.style === 'silicon');
      const low = diodes.some(
        ({ ref }) =>
          leadsTo(circuit, ref, 'K', here) &&
          leadsTo(circuit, ref, 'A', (net) => net === 'QUIET_GROUND'),
      );
      const high = diodes.some(
        ({ ref }) =>
          leadsTo(circuit, ref, 'A', here) &&
          leadsTo(circuit, ref, 'K', (net) => net === 'LOGIC_SUPPLY'),
      );
      const resistor = findPart(circuit, series)?.ratings;
      const ohm = resistor?.kind === 'resistor' ? resistor.ohm : 0;
      const farad = partsOf(circuit, 'capacitor')
        .filter((part) => {
          const nets = [...netsOf(circuit, part).values()].map(({ name }) => name);
          return nets.includes(adcNet) && nets.some((net) => isGround(circuit, net));
        })
        .reduce((sum, part) => sum + part.ratings.farad, 0);
      const faults = [
        ohm < GUARD_OHM.min || ohm > GUARD_OHM.max ? `${series} has ${ohm} Ω.` : null,
        farad < GUARD_MIN_F ? `only ${(farad * 1e9).toFixed(1)} nF are at the pin.` : null,
        low ? null : 'no silicon diode leads from the quiet ground to the pin.',
        high ? null : 'no silicon diode leads from the pin to 3.3 V.',
      ];
      return faults.filter((why) => why !== null).map((why) => ({ part: probe, net: adcNet, why }));
    });
  },
};
