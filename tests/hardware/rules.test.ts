import { describe, expect, test } from 'vitest';
import { breaches } from '../../hardware/checks/rule';
import { RULES } from '../../hardware/checks/rules';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import { boardPin } from '../../hardware/circuit/controller';
import type { Circuit, Part, PinRef, Ratings, Wire } from '../../hardware/circuit/kinds';

const MAT_PIN: PinRef = `A1.${boardPin('mat')}`;
const PUMP_PIN: PinRef = `A1.${boardPin('pump')}`;

/** The circuit without a part and its pins. */
function without(ref: string): Circuit {
  return {
    ...CIRCUIT,
    parts: CIRCUIT.parts.filter((part) => part.ref !== ref),
    nets: CIRCUIT.nets.map((net) => ({
      ...net,
      pins: net.pins.filter((pin) => !pin.startsWith(`${ref}.`)),
    })),
  };
}

/** The circuit with one part's data changed. */
function changed(ref: string, change: Partial<Ratings> | { place: Part['place'] }): Circuit {
  return {
    ...CIRCUIT,
    parts: CIRCUIT.parts.map((part) => {
      if (part.ref !== ref) return part;
      if ('place' in change) return { ...part, place: change.place };
      return { ...part, ratings: { ...part.ratings, ...change } as Ratings };
    }),
  };
}

/** The circuit with a pin taken to another net. */
function moved(pin: PinRef, to: string, base: Circuit = CIRCUIT): Circuit {
  return {
    ...base,
    nets: base.nets.map((net) => {
      const rest = net.pins.filter((other) => other !== pin);
      return { ...net, pins: net.name === to ? [...rest, pin] : rest };
    }),
  };
}

const swapped = (first: PinRef, second: PinRef): Circuit => {
  const netOf = (pin: PinRef): string =>
    CIRCUIT.nets.find((net) => net.pins.includes(pin))?.name ?? '';
  return moved(second, netOf(first), moved(first, netOf(second)));
};

function rewired(net: string, change: Partial<Wire>, from?: PinRef): Circuit {
  return {
    ...CIRCUIT,
    wires: CIRCUIT.wires.map((wire) =>
      wire.net === net && (from === undefined || wire.from === from)
        ? { ...wire, ...change }
        : wire,
    ),
  };
}

const extraWire = (wire: Wire): Circuit => ({ ...CIRCUIT, wires: [...CIRCUIT.wires, wire] });
const cut = (net: string, from: PinRef): Circuit => ({
  ...CIRCUIT,
  wires: CIRCUIT.wires.filter((wire) => !(wire.net === net && wire.from === from)),
});

/** What is broken, the rule that must refuse it, the part and net that its sentence must name. */
const MUTATIONS: readonly (readonly [string, Circuit, string, string, string])[] = [
  ['a pin left in the air', moved('R2.1', 'NOWHERE'), 'every-pin-once', 'R2', '(none)'],
  [
    'a net that names a pin no part has',
    moved('Q1.X', 'MAT_GATE'),
    'every-pin-once',
    'Q1',
    'MAT_GATE',
  ],
  [
    'two parts of one name',
    { ...CIRCUIT, parts: [...CIRCUIT.parts, ...CIRCUIT.parts.slice(0, 1)] },
    'unique-references',
    'J1',
    '(any)',
  ],
  ['a probe without its reference resistor', without('R7'), 'driver-and-return', 'R15', 'PROBE'],
  ['a gate net driven by nothing', without('R1'), 'driver-and-return', 'R2', 'MAT_GATE'],
  ['a net with one pin only', moved('HM1.1', 'MAT_FEED'), 'driver-and-return', 'TC1', 'MAT_CUT'],
  ['mat and pump pins swapped', swapped(MAT_PIN, PUMP_PIN), 'firmware-pins', 'A1', 'PUMP'],
  ['no pull-up on the converter data line', without('R17'), 'defined-inputs', 'A1', 'SCALE_DATA'],
  ['no test point at the mat gate', without('TP5'), 'test-points', '(test point)', 'MAT_GATE'],
  ['no pull-down at the mat switch', without('R2'), 'pull-down', 'Q1', 'MAT_GATE'],
  ['no pull-down at the pump switch', without('R4'), 'pull-down', 'Q2', 'PUMP_GATE'],
  ['no pull-down at the sounder', without('R6'), 'pull-down', 'Q3', 'SOUNDER_BASE'],
  [
    'the pull-down on the far side of the control wire',
    moved('R2.1', 'MAT'),
    'pull-down',
    'Q1',
    'MAT_GATE',
  ],
  [
    'the pull-down on another board than its switch',
    changed('R2', { place: 'signal-board' }),
    'pull-down',
    'Q1',
    'MAT_GATE',
  ],
  ['a pull-up instead of a pull-down', moved('R2.2', 'FIVE_VOLT'), 'pull-down', 'Q1', 'MAT_GATE'],
  [
    'a switch whose source is not on ground',
    moved('Q1.S', 'PUMP_LOW'),
    'pull-down',
    'Q1',
    'PUMP_LOW',
  ],
  ['a pull-down of 1 MΩ', changed('R2', { ohm: 1e6 }), 'off-by-itself', 'Q1', 'MAT_GATE'],
  [
    'a MOSFET stated at 4.5 V only',
    changed('Q1', { onAtGateV: 4.5 }),
    'fully-on',
    'Q1',
    'MAT_GATE',
  ],
  [
    'a gate resistor that halves the drive',
    changed('R3', { ohm: 10_000 }),
    'fully-on',
    'Q2',
    'PUMP_GATE',
  ],
  ['a MOSFET of 150 mΩ', changed('Q1', { onOhm: 0.15 }), 'cool-enough', 'Q1', 'MAT_LOW'],
  [
    'a 30 V MOSFET on a 24 V rail',
    changed('Q1', { drainSourceV: 30 }),
    'cool-enough',
    'Q1',
    'MAT_LOW',
  ],
  ['a hot reverse-polarity switch', changed('Q4', { onOhm: 0.2 }), 'cool-enough', 'Q4', 'FUSED'],
  ['no flyback diode at the pump', without('D2'), 'flyback', 'M1', 'PUMP_LOW'],
  ['the flyback diode turned round', swapped('D2.A', 'D2.K'), 'flyback', 'M1', 'PUMP_LOW'],
  ['a flyback diode of 20 V', changed('D2', { reverseV: 20 }), 'flyback', 'M1', 'PUMP_LOW'],
  ['the flyback diode to the wrong feed', moved('D2.K', 'MAT_FEED'), 'flyback', 'M1', 'PUMP_LOW'],
  ['no diode for a contactor in place of the mat', without('D1'), 'flyback', 'HM1', 'MAT_LOW'],
  ['a lamp resistor of 100 Ω', changed('R20', { ohm: 100 }), 'pin-currents', 'A1', 'LAMP'],
  ['a base without its resistor', moved('Q3.B', 'SOUNDER'), 'pin-currents', 'A1', 'SOUNDER'],
  ['the pump behind the main fuse only', moved('M1.1', 'RAIL'), 'every-load-fused', 'M1', 'RAIL'],
  [
    'a terminal between inlet and fuse',
    moved('X1.IN+', 'INLET'),
    'every-load-fused',
    'X1',
    'INLET',
  ],
  ['a mat fuse of 3 A for a 3 A mat', changed('F2', { ratedA: 3 }), 'fuse-fits', 'F2', 'MAT_FEED'],
  ['a fuse rated 16 V', changed('F1', { ratedV: 16 }), 'fuse-fits', 'F1', 'FUSED'],
  [
    'a 10 A fuse before 0.75 mm²',
    changed('F2', { ratedA: 10 }),
    'fuse-below-wire',
    'W4',
    'MAT_FEED',
  ],
  ['a thin inlet lead', rewired('INLET', { mm2: 0.5 }), 'fuse-below-wire', 'W1', 'INLET'],
  [
    'a thin ground return behind the main fuse',
    rewired('GROUND', { mm2: 0.5 }, 'J1.-'),
    'fuse-below-wire',
    'W3',
    'GROUND',
  ],
  ['no thermal cut-out', without('TC1'), 'mat-cut-out', 'HM1', 'MAT_CUT'],
  [
    'a cut-out on the power board',
    changed('TC1', { place: 'power-board' }),
    'mat-cut-out',
    'TC1',
    'MAT_CUT',
  ],
  [
    'a cut-out that resets by itself',
    changed('TC1', { resets: 'by-itself' }),
    'mat-cut-out',
    'TC1',
    'MAT_CUT',
  ],
  [
    'a cut-out of 50 °C, below the limiter',
    changed('TC1', { opensC: 50 }),
    'mat-cut-out',
    'TC1',
    'MAT_CUT',
  ],
  ['a cut-out of 90 °C', changed('TC1', { opensC: 90 }), 'mat-cut-out', 'TC1', 'MAT_CUT'],
  ['the polarity switch turned round', swapped('Q4.D', 'Q4.S'), 'reverse-polarity', 'Q4', 'RAIL'],
  ['no polarity switch', without('Q4'), 'reverse-polarity', '(none)', 'FUSED'],
  ['no zener at its gate', without('D4'), 'reverse-polarity', 'Q4', 'REVERSE_GATE'],
  ['a suppressor that clamps at 45 V', changed('D5', { clampV: 45 }), 'surge', 'D5', 'RAIL'],
  ['a 25 V capacitor on the rail', changed('C1', { ratedV: 25 }), 'ratings', 'C1', 'RAIL'],
  ['a zener resistor of 1 kΩ', changed('R9', { ohm: 1000 }), 'ratings', 'R9', 'REVERSE_GATE'],
  [
    'a divider fed from 3.3 V, not the reference',
    moved('R7.1', 'LOGIC_SUPPLY'),
    'ratiometric-divider',
    'TH1',
    'PROBE',
  ],
  [
    'a probe returned to power ground',
    moved('TH1.2', 'GROUND'),
    'ratiometric-divider',
    'TH1',
    'PROBE',
  ],
  ['no capacitor at the ADC pin', without('C5'), 'ratiometric-divider', 'TH2', 'MAT_PROBE'],
  [
    'a reference resistor of 100 kΩ',
    changed('R7', { ohm: 100_000 }),
    'limiter-codes',
    'TH1',
    'PROBE',
  ],
  [
    'a reference resistor of 1 MΩ',
    changed('R8', { ohm: 1e6 }),
    'adc-window',
    'TH2',
    'MAT_PROBE_ADC',
  ],
  ['a 5 % reference resistor', changed('R7', { tolerance: 0.05 }), 'probe-error', 'TH1', 'PROBE'],
  [
    'an ADC reference loaded by 300 Ω',
    changed('R8', { ohm: 300 }),
    'adc-supply',
    'A1',
    'ADC_REFERENCE',
  ],
  ['a bridge filter of 100 Ω', changed('R19', { ohm: 100 }), 'bridge-input', 'A3', 'SCALE_SUPPLY'],
  ['a sounder of 1 A', changed('LS1', { ratedA: 1 }), 'supply-enough', 'A2', 'FIVE_VOLT'],
  ['a bridge of 5 Ω', changed('LC1', { bridgeOhm: 5 }), 'supply-enough', 'A1', 'LOGIC_SUPPLY'],
  [
    'a resettable fuse of 100 mA',
    changed('F4', { ratedA: 0.1 }),
    'supply-enough',
    'F4',
    'BUCK_FEED',
  ],
  ['a wire forgotten', cut('MAT', MAT_PIN), 'wires-make-nets', 'X1', 'MAT'],
  [
    'a wire to the wrong terminal',
    rewired('MAT', { to: 'X1.PUMP' }),
    'wires-make-nets',
    'W13',
    'MAT',
  ],
  [
    'one ground wire only from controller to power board',
    cut('GROUND', 'A1.GND3'),
    'two-grounds',
    'W11',
    'GROUND',
  ],
  [
    'two ground wires under one screw',
    rewired('GROUND', { from: 'A1.GND' }, 'A1.GND3'),
    'two-grounds',
    'W11',
    'GROUND',
  ],
  [
    'a third ground wire from controller to power board',
    extraWire({ id: 'W99', net: 'GROUND', from: 'A1.GND', to: 'X1.IN-', colour: 'BK', mm2: 0.5 }),
    'ground-tree',
    'W99',
    'GROUND',
  ],
  [
    'a ring of ground through the signal board',
    extraWire({ id: 'W99', net: 'GROUND', from: 'X2.GND', to: 'X1.IN-', colour: 'BK', mm2: 0.5 }),
    'ground-tree',
    'W99',
    'GROUND',
  ],
  [
    'load current returned through the signal board',
    rewired('GROUND', { from: 'J1.-', to: 'X2.GND' }, 'J1.-'),
    'quiet-ground',
    'W23',
    'GROUND',
  ],
  [
    'one plug family for mat and pump',
    changed('J3', { family: 'round-2-pole-a' }),
    'keyed-plugs',
    'J3',
    'PUMP_FEED',
  ],
  [
    'a white ground wire',
    rewired('QUIET_GROUND', { colour: 'WH' }, 'A1.AGND'),
    'wire-colours',
    'W19',
    'QUIET_GROUND',
  ],
];

describe('the reference circuit', () => {
  test('keeps every rule', () => {
    expect(breaches(CIRCUIT, RULES).map((breach) => breach.sentence)).toEqual([]);
  });

  test('each rule names a source', () => {
    for (const rule of RULES) {
      expect(rule.statement, rule.id).toMatch(/\.$/);
      expect(rule.source.length, rule.id).toBeGreaterThan(10);
    }
  });
});

describe('a circuit with a mistake in it is refused, with part, net and rule', () => {
  test.each(MUTATIONS)('%s', (_, circuit, rule, part, net) => {
    const found = breaches(circuit, RULES).filter((breach) => breach.rule === rule);
    expect(found.map((breach) => breach.part)).toContain(part);
    const breach = found.find((candidate) => candidate.part === part);
    expect(breach?.net).toContain(net);
    expect(breach?.sentence).toContain(part);
    expect(breach?.sentence).toContain(`Rule ${rule}: `);
  });

  test('every rule that looks at the netlist has at least one such mistake here', () => {
    const tried = new Set(MUTATIONS.map(([, , rule]) => rule));
    const untried = RULES.map((rule) => rule.id).filter((id) => !tried.has(id));
    // Looks at the table of trays and cells only; `budgets.test.ts` tries it.
    expect(untried).toEqual(['cell-carries-tray']);
  });
});
