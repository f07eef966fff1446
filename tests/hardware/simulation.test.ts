import { describe, expect, test } from 'vitest';
import { probeChannel } from '../../hardware/budget/probe';
import { thresholdHotV } from '../../hardware/checks/outputs';
import { CIRCUIT, findPart, isKind } from '../../hardware/circuit/circuit';
import type { Circuit } from '../../hardware/circuit/kinds';
import { ADC, LOGIC, RAIL, ROOM } from '../../hardware/circuit/limits';
import { PROBE_CIRCUITS } from '../../hardware/circuit/probes';
import { SECOND_SWITCHES } from '../../hardware/circuit/second-switches';
import {
  burstDeck,
  chargePumpDeck,
  dividerDeck,
  flybackDeck,
  gateOffDeck,
  type OffState,
  type PinMoves,
  type PumpParts,
  sounderDeck,
} from '../../hardware/spice/decks';
import { haveSimulator, MISSING, simulate } from '../../hardware/spice/run';
import { ADC_FULL_SCALE, SAFETY_STEP_MS, SECOND_SWITCH_OPENS_MS } from '../../shared/board/map';
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

const MIDDLING: PumpParts = {
  gain: 200,
  pinV: LOGIC.nominalV,
  celsius: 25,
  couplingShare: 1,
  holdShare: 1,
};
/** What closes it least, and what keeps it closed longest: capacitors of 20 %, the box cold and hot. */
const FEEBLE: PumpParts = {
  gain: 60,
  pinV: LOGIC.nominalV * 0.97,
  celsius: ROOM.minC,
  couplingShare: 0.8,
  holdShare: 0.8,
};
const STRONG: PumpParts = {
  gain: 500,
  pinV: LOGIC.nominalV * 1.03,
  celsius: ROOM.maxC + ROOM.enclosureRiseK,
  couplingShare: 1.2,
  holdShare: 1.2,
};
const STEP_S = SAFETY_STEP_MS / 1000;
const STOP_S = 1;
const EDGE_S = 0.1;
/** So many steps after the first rise: an even number of toggles leaves the pin low, an odd one high. */
const running = (toggles: number): PinMoves => ({
  kind: 'toggles',
  everyS: STEP_S,
  untilS: EDGE_S + (toggles - 0.5) * STEP_S,
});
const ENDS_LOW = running(20);
const ENDS_HIGH = running(21);
const late: PinMoves = { kind: 'toggles', everyS: 1.5 * STEP_S, untilS: STOP_S };
const OPEN_MAX_S = SECOND_SWITCH_OPENS_MS / 1000;

describe.skipIf(!have).each(['mat', 'pump'] as const)(
  'the second switch of the %s, simulated',
  (output) => {
    const coupling = SECOND_SWITCHES[output].refs.coupling;
    const ends: readonly (readonly [string, number, PumpParts])[] = [
      ['parts in the middle at 24 V', 24, MIDDLING],
      ['the feeblest parts in the cold at 10.8 V', RAIL.minV, FEEBLE],
      ['the feeblest parts in the cold at 26.4 V', RAIL.maxV, FEEBLE],
      ['the strongest parts in the heat at 26.4 V', RAIL.maxV, STRONG],
    ];

    test.each(ends)(
      'closes at the first rise, and opens after the last, wherever the pin stops: %s',
      (_, railV, parts) => {
        for (const moves of [ENDS_LOW, ENDS_HIGH]) {
          const values = simulate(chargePumpDeck(CIRCUIT, output, moves, railV, parts));
          expect(values.get('closed')).toBeLessThan(EDGE_S + STEP_S);
          expect(values.get('least')).toBeGreaterThan(0.98 * railV);
          expect(values.get('opened')).toBeLessThan(STOP_S + 0.1 + OPEN_MAX_S);
          expect(values.get('left')).toBeLessThan(0.01);
          // A TO-220 in its linear region: data sheets allow 20 W for 100 ms without any heat sink.
          expect(values.get('heat')).toBeLessThan(2);
        }
      },
    );

    test.each(ends)('stays closed when every step is late by half: %s', (_, railV, parts) => {
      const values = simulate(chargePumpDeck(CIRCUIT, output, late, railV, parts));
      expect(values.get('least')).toBeGreaterThan(0.9 * railV);
    });

    test('a pin that rises and stays there lets go by itself, hot and strong', () => {
      const values = simulate(
        chargePumpDeck(CIRCUIT, output, { kind: 'rises' }, RAIL.maxV, STRONG),
      );
      expect(values.get('opened')).toBeLessThan(EDGE_S + OPEN_MAX_S);
      expect(values.get('left')).toBeLessThan(0.01);
    });

    test.each(['low', 'hangs-free'] as const)('a pin that is %s never closes it', (kind) => {
      const values = simulate(chargePumpDeck(CIRCUIT, output, { kind }, RAIL.maxV, STRONG));
      expect(values.get('most')).toBeLessThan(0.01);
    });

    test('with the capacitor shorted a steady pin holds it closed: what the rules refuse', () => {
      const shorted: Circuit = {
        ...without(coupling),
        parts: CIRCUIT.parts.map((part) =>
          part.ref === coupling && isKind(part, 'capacitor')
            ? { ...part, ratings: { ...part.ratings, farad: 1 } }
            : part,
        ),
      };
      const values = simulate(
        chargePumpDeck(shorted, output, { kind: 'rises' }, RAIL.maxV, MIDDLING),
      );
      expect(values.get('left')).toBeGreaterThan(20);
    });
  },
);
