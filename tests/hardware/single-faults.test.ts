/** No single open wire and no single shorted or open part may leave mat or pump on: neither idle, nor while the other is on. */
import { describe, expect, test } from 'vitest';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import { boardPin } from '../../hardware/circuit/controller';
import type { Circuit } from '../../hardware/circuit/kinds';
import { PAD_DIODE_MAX_A } from '../../hardware/circuit/limits';
import { type Fault, faultWords, singleFaults } from '../../hardware/faults/single';
import { faultTable, tryFaults, worstForPin } from '../../hardware/faults/try';
import { changed, moved } from '../../hardware/mutations/change';
import { haveSimulator, MISSING } from '../../hardware/spice/run';

/** The circuit with one supply for both, which either second switch closes. */
const oneSupply = (circuit: Circuit): Circuit =>
  moved('Q7.D', 'MAT_SUPPLY', moved('F3.1', 'MAT_SUPPLY', circuit));

/** The circuit with mat and pump straight on the rail. */
const oneSwitch = (circuit: Circuit): Circuit =>
  moved('F3.1', 'RAIL', moved('F2.1', 'RAIL', circuit));

const FIRST_SWITCH: readonly Fault[] = [['Q1', 'mat'] as const, ['Q2', 'pump'] as const].flatMap(
  ([ref, name]): Fault[] => [
    { kind: 'stuck-high', pin: `A1.${boardPin(name)}` },
    { kind: 'pin-open', pin: `${ref}.G` },
    { kind: 'pins-shorted', pins: [`${ref}.G`, `${ref}.D`] },
    { kind: 'pins-shorted', pins: [`${ref}.D`, `${ref}.S`] },
  ],
);

const have = haveSimulator();
const TRY_LIMIT_MS = 300_000;

test('the circuit simulator is here, or its absence is said loudly', () => {
  if (!have) console.warn(`\n*** ${MISSING} ***\n`);
});

describe('the list of single faults', () => {
  const words = singleFaults(CIRCUIT).map(faultWords);

  test('has each once, and every wire and every part', () => {
    expect(new Set(words).size).toBe(words.length);
    for (const { id } of CIRCUIT.wires) expect(words).toContain(`${id} broken`);
    for (const { ref, ratings } of CIRCUIT.parts) {
      if (ratings.kind === 'test-point') continue;
      expect(words.filter((one) => one.startsWith(`${ref} `)).length, ref).toBeGreaterThan(1);
    }
  });

  test('has the joints and shorts of a switch one by one, neighbours at the terminals, and stuck pins', () => {
    for (const one of ['Q1 G open', 'Q1 G to D shorted', 'Q1 D to S shorted', 'R2 1 open']) {
      expect(words).toContain(one);
    }
    expect(words).toContain('X1 MAT- to MAT+ shorted');
    expect(words).not.toContain('X1 MAT to VSYS shorted');
    expect(words).toContain('A1 GP16 stuck high');
    expect(words).toContain('A1 GP16 to GP17 shorted');
  });
});

test('a fault of something that the circuit does not have is an error, not a fault that did nothing', () => {
  expect(() => tryFaults(CIRCUIT, [{ kind: 'wire-open', wire: 'W99' }])).toThrow('no rw_w99');
  expect(() => tryFaults(CIRCUIT, [{ kind: 'pin-open', pin: 'Q1.X' }])).toThrow('no rj_q1_x');
});

describe.skipIf(!have)('single faults, simulated', () => {
  test('leave no output on, neither idle nor while the other one is on, and the pin that looks at the loads unhurt', {
    timeout: TRY_LIMIT_MS,
  }, () => {
    const trials = tryFaults(CIRCUIT);
    const leftOn = trials.filter((trial) => trial.leftOn.length > 0);
    expect(leftOn.map(({ fault }) => faultWords(fault))).toEqual([]);
    expect(trials.length).toBe(singleFaults(CIRCUIT).length);
    expect(worstForPin(trials)?.sensePinA).toBeLessThan(PAD_DIODE_MAX_A);
    console.log(`\n${faultTable(trials)}\n`);
  });

  test('are found: without a resistor before it, the pin that looks at the loads takes what a short lets through', () => {
    const bare = changed('R31', { ohm: 1 });
    const [trial] = tryFaults(bare, [{ kind: 'pins-shorted', pins: ['R30.1', 'R30.2'] }]);
    expect(trial?.sensePinA).toBeGreaterThan(10 * PAD_DIODE_MAX_A);
  });

  test('are found: without the second switch a welded, open or stuck first one leaves its output on', {
    timeout: TRY_LIMIT_MS,
  }, () => {
    const trials = tryFaults(oneSwitch(CIRCUIT), FIRST_SWITCH);
    const outputs = trials.map(({ leftOn }) => leftOn.map(({ output }) => output).join());
    expect(outputs).toEqual(['mat', 'mat', 'mat', 'mat', 'pump', 'pump', 'pump', 'pump']);
  });

  test('are found: with one supply behind both second switches, a first one that fails passes while the other output is on', {
    timeout: TRY_LIMIT_MS,
  }, () => {
    const trials = tryFaults(oneSupply(CIRCUIT), FIRST_SWITCH);
    const outputs = trials.map(({ leftOn }) => leftOn.map(({ output }) => output).join());
    expect(outputs).toEqual(['mat', 'mat', 'mat', 'mat', 'pump', 'pump', 'pump', 'pump']);
    for (const { leftOn } of trials) {
      expect(leftOn[0]?.when).toContain(
        leftOn[0]?.output === 'pump' ? 'the mat heats' : 'the pump runs',
      );
    }
  });

  test('are found: with one ground wire and one switch, breaking it switches mat and pump on', {
    timeout: TRY_LIMIT_MS,
  }, () => {
    const wires = CIRCUIT.wires.filter(({ from }) => from !== 'A1.GND3');
    const w11 = wires.find(({ from, to }) => from === 'A2.OUT-' && to === 'A1.GND');
    const broken: Fault = { kind: 'wire-open', wire: w11?.id ?? '' };
    const [trial] = tryFaults(oneSwitch({ ...CIRCUIT, wires }), [broken]);
    expect(trial?.leftOn.map(({ output }) => output)).toEqual(['mat', 'pump']);
    expect(trial?.leftOn[0]?.amps).toBeGreaterThan(2.5);
    // The second switches hold even then: a pin that floats up does not toggle.
    const [held] = tryFaults({ ...CIRCUIT, wires }, [broken]);
    expect(held?.leftOn).toEqual([]);
  });
});
