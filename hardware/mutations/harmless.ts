/** Changes that a rule must let pass: what is not a fault, and why. */
import { changed, type Harmless, rewired, swapped } from './change';

export const HARMLESS: readonly Harmless[] = [
  {
    what: 'a gate resistor of 10 Ω',
    circuit: changed('R1', { ohm: 10 }),
    because: 'it only damps; pad and pull-down set level and current',
  },
  {
    what: 'a pull-down of 4.7 kΩ',
    circuit: changed('R2', { ohm: 4700 }),
    because: 'a stronger pull-down holds the switch off better, and the gate still gets 3.1 V',
  },
  {
    what: 'a 5 % gate resistor',
    circuit: changed('R3', { tolerance: 0.05 }),
    because: 'no level depends on its value to a few per cent',
  },
  {
    what: 'a pull-up of 47 kΩ at the converter',
    circuit: changed('R17', { ohm: 47_000 }),
    because: 'it gives the line its level all the same, and any output overcomes it',
  },
  {
    what: 'a base resistor of 1.8 kΩ',
    circuit: changed('R5', { ohm: 1800 }),
    because: 'more base current than needed, and still within what the pin gives',
  },
  {
    what: 'a large capacitor of 1 mF',
    circuit: changed('C1', { farad: 1e-3 }),
    because: 'more than enough, and plugging in stays gentle',
  },
  {
    what: 'a 100 V ceramic',
    circuit: changed('C3', { ratedV: 100 }),
    because: 'it bears more than it must',
  },
  {
    what: 'a switch of 10 mΩ',
    circuit: changed('Q1', { onOhm: 0.01 }),
    because: 'it stays cooler than the one reckoned with',
  },
  {
    what: 'a feed diode of 3 A',
    circuit: changed('D6', { ratedA: 3 }),
    because: 'it bears more than it must',
  },
  {
    what: 'a resettable fuse of 1 A',
    circuit: changed('F4', { ratedA: 1 }),
    because: 'every wire behind it carries 3 A, and it holds when hot',
  },
  {
    what: 'a main fuse of 6 A',
    circuit: changed('F1', { ratedA: 6 }),
    because: 'it carries all that runs, with its quarter in hand, and the start of the pump',
  },
  {
    what: 'a bridge of 1000 Ω',
    circuit: changed('LC1', { bridgeOhm: 1000 }),
    because: 'sold as well; it takes less current and gives the same millivolts',
  },
  {
    what: 'a bridge filter of 1 Ω',
    circuit: changed('R19', { ohm: 1 }),
    because: 'the bridge gets more; ripple stays below a count with 10 µF',
  },
  {
    what: 'a cut-out that is reset by hand',
    circuit: changed('TC1', { resets: 'by-hand' }),
    because: 'it does not come back by itself; one rated for DC is as good as a link',
  },
  {
    what: 'the ends of a resistor exchanged',
    circuit: swapped('R1.1', 'R1.2'),
    because: 'a resistor has no right way round',
  },
  {
    what: 'a thicker ground wire',
    circuit: rewired('GROUND', { mm2: 0.75 }, 'A2.OUT-'),
    because: 'it carries more than it must',
  },
  {
    what: 'another colour of a control wire',
    circuit: rewired('MAT', { colour: 'YE' }),
    because: 'only ground and supply have colours of their own',
  },
];
