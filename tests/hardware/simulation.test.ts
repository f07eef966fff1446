import { describe, expect, test } from 'vitest';
import { probeChannel } from '../../hardware/budget/probe';
import { thresholdHotV } from '../../hardware/checks/outputs';
import { CIRCUIT, findPart, isKind } from '../../hardware/circuit/circuit';
import type { Circuit } from '../../hardware/circuit/kinds';
import { ADC, LOGIC, RAIL } from '../../hardware/circuit/limits';
import { PROBE_CIRCUITS } from '../../hardware/circuit/probes';
import {
  burstDeck,
  dividerDeck,
  flybackDeck,
  gateOffDeck,
  type OffState,
  sounderDeck,
} from '../../hardware/spice/decks';
import { haveSimulator, MISSING, simulate } from '../../hardware/spice/run';
import { ADC_FULL_SCALE } from '../../shared/board/map';
import { temperatureFromCode } from '../../shared/physics/ntc';

const have = haveSimulator();

test('the circuit simulator is here, or its absence is said loudly', () => {
  if (!have) console.warn(`\n*** ${MISSING} ***\n`);
});

function channel() {
  const found = probeChannel(CIRCUIT, PROBE_CIRCUITS.rootZone);
  if (found === null) throw new Error('the netlist has no probe channel');
  return found;
}

function mosfet(ref: string) {
  const part = findPart(CIRCUIT, ref);
  if (part === undefined || !isKind(part, 'mosfet')) throw new Error(`${ref} is no MOSFET`);
  return part.ratings;
}

const without = (...refs: readonly string[]): Circuit => ({
  ...CIRCUIT,
  parts: CIRCUIT.parts.filter((part) => !refs.includes(part.ref)),
  nets: CIRCUIT.nets.map((net) => ({
    ...net,
    pins: net.pins.filter((pin) => !refs.some((ref) => pin.startsWith(`${ref}.`))),
  })),
});

describe.skipIf(!have)('the divider of a probe, simulated', () => {
  const tempsC = [-20, 0, 10, 25, 40, 55, 85];

  test('gives the firmware the temperature of the probe, within 2 mK', () => {
    const values = simulate(dividerDeck(channel(), tempsC, 0));
    tempsC.forEach((tempC, i) => {
      const code = ((values.get(`v(a${i})`) ?? Number.NaN) / LOGIC.nominalV) * ADC_FULL_SCALE;
      expect(temperatureFromCode(code)).toBeCloseTo(tempC, 2);
    });
  });

  test('is off by less than 0.25 K from 10 to 40 °C with 1 µA of pin leakage', () => {
    const warm = [10, 25, 40];
    const values = simulate(dividerDeck(channel(), warm, LOGIC.leakageA));
    warm.forEach((tempC, i) => {
      const code = ((values.get(`v(a${i})`) ?? Number.NaN) / LOGIC.nominalV) * ADC_FULL_SCALE;
      const offK = tempC - temperatureFromCode(code);
      expect(offK).toBeGreaterThan(0.1);
      expect(offK).toBeLessThan(0.25);
    });
  });

  test('sags under a burst of conversions no more than the budget says', () => {
    const values = simulate(burstDeck(channel(), 25));
    const sag = 1 - (values.get('during') ?? 0) / (values.get('before') ?? Number.NaN);
    const budgeted =
      (ADC.conversionsPerBurst * (ADC.conversionS / ADC.inputOhmMin)) / (2 * channel().filterFarad);
    expect(sag).toBeGreaterThan(0.5 * budgeted);
    expect(sag).toBeLessThanOrEqual(1.02 * budgeted);
  });
});

const OFF_STATES: readonly OffState[] = ['wire-broken', 'in-reset', 'unpowered'];
/** Mat of 3 A and pump of 0.5 A on the highest rail. */
const LOADS: readonly (readonly [string, number])[] = [
  ['Q1', RAIL.maxV / 3],
  ['Q2', RAIL.maxV / 0.5],
];

describe.skipIf(!have)('mat and pump with nobody driving their gates, simulated', () => {
  for (const state of OFF_STATES) {
    test.each(LOADS)(
      `%s stays off with the controller ${state}, even plugged in live`,
      (ref, ohm) => {
        const values = simulate(gateOffDeck(CIRCUIT, ref, state, ohm));
        expect(values.get('gatepeak')).toBeLessThan(thresholdHotV(mosfet(ref)));
        expect(values.get('idle')).toBeLessThan(1e-3);
      },
    );
  }

  test('without its pull-down the mat comes on by leakage alone', () => {
    const values = simulate(gateOffDeck(without('R2'), 'Q1', 'unpowered', RAIL.maxV / 3));
    expect(values.get('idle')).toBeGreaterThan(0.1);
  });
});

describe.skipIf(!have)('the pump let go, simulated', () => {
  test('its diode keeps the drain within a volt or two of the rail, jammed rotor and all', () => {
    const values = simulate(flybackDeck(CIRCUIT, 1.5, true));
    expect(values.get('drainpeak')).toBeGreaterThan(RAIL.maxV);
    expect(values.get('drainpeak')).toBeLessThan(RAIL.maxV + 2);
  });

  test('without it the drain goes far beyond what the switch bears', () => {
    const values = simulate(flybackDeck(CIRCUIT, 1.5, false));
    expect(values.get('drainpeak')).toBeGreaterThan(2 * mosfet('Q2').drainSourceV);
  });

  test('on, it drops no more than the stated on-resistance at 1.5 A', () => {
    const values = simulate(flybackDeck(CIRCUIT, 1.5, true));
    expect(values.get('drainon')).toBeLessThan(1.5 * mosfet('Q2').onOhm * 1.1);
  });
});

describe.skipIf(!have)('the sounder, simulated', () => {
  test('sounds at the lowest pin voltage and gain: its transistor saturates', () => {
    expect(simulate(sounderDeck(CIRCUIT)).get('v(low)')).toBeLessThan(0.3);
  });
});
