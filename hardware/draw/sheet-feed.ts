/** Sheet 6: the second switch. */
import { SAFETY_STEP_MS } from '../../shared/board/map';
import { boardPin, SENSE_PIN } from '../circuit/controller';
import type { SheetPlan } from './schematic';
import { at, below, flag, pin, put } from './sheet-words';

export const secondSwitch: SheetPlan = {
  file: 'schematic-6-second-switch',
  title: 'Trayward schematic 6: second switch',
  subtitle:
    'Feed of mat and pump: closed only while the safety step toggles its pin; any steady level opens it',
  blocks: ['feed'],
  parts: {
    R21: put(60, 120, 'right'),
    R22: put(42.5, 135),
    C8: put(85, 120, 'right'),
    D12: put(107.5, 135, 'up'),
    D13: put(130, 120, 'right'),
    C9: put(157.5, 135),
    R23: put(175, 120, 'right'),
    R24: put(195, 135),
    Q6: put(215, 120),
    R25: put(215, 75, 'up'),
    R27: put(125, 70),
    R29: put(105, 70),
    R30: put(85, 70),
    R31: put(67.5, 90, 'left'),
    R28: put(45, 100),
    R32: put(85, 52.5, 'down', { x: -4, y: -0.6, anchor: 'end' }),
    R33: put(60, 70),
    R26: put(205, 52.5, 'up', { x: -4, y: -0.6, anchor: 'end' }),
    D14: put(225, 52.5, 'up'),
    Q5: put(180, 60, 'up', { x: -7, y: -0.6, anchor: 'end' }),
  },
  pins: [
    pin('X1.FEED', 32.5, 120, below),
    pin('TP11.1', 147.5, 120),
    pin('TP12.1', 155, 87.5),
    pin('X1.SENSE', 36, 90),
  ],
  modules: [],
  flags: [
    flag('RAIL', 165, 40, 'left', 'RAIL (sheet 1)'),
    flag('MAT_SUPPLY', 140, 87.5, 'down', 'feed of mat and pump, to F2 and F3 (sheet 3)'),
    flag('MAT_FEED', 105, 60, 'up', 'F2 (sheet 3)'),
    flag('MAT_LOW', 52.5, 60, 'left', 'Q1, D1 (sheet 3)'),
    flag('LOADS_SENSE', 25, 90, 'left', SENSE_PIN),
    flag('FEED', 25, 120, 'left', boardPin('feed')),
  ],
  trunks: {
    RAIL: [at(165, 40), at(225, 40)],
    FEED_GATE: [at(187.5, 60), at(225, 60)],
    MAT_SUPPLY: [at(85, 45), at(140, 45), at(140, 87.5), at(180, 87.5)],
    MAT_LOW: [at(52.5, 60), at(85, 60)],
    LOADS_SUM: [at(125, 80), at(85, 80), at(85, 90)],
    LOADS_SENSE: [at(25, 90), at(60, 90)],
    FEED: [at(25, 120), at(52.5, 120)],
    FEED_PUMP: [at(92.5, 120), at(122.5, 120)],
    FEED_HOLD: [at(137.5, 120), at(167.5, 120)],
    FEED_BASE: [at(182.5, 120), at(207.5, 120)],
  },
  notes: [
    {
      at: at(15, 160),
      words: [
        `The safety step turns the pin over every ${SAFETY_STEP_MS} ms while mat or pump has a lease. Each rise goes through C8 and D13 into C9;`,
        'each fall draws the other side of C8 back to ground through D12. C9 keeps Q6 closed from one rise to the next, and Q6 the gate of Q5 down.',
        'A pin that stays high, stays low or hangs free gives C8 nothing to pass on: Q5 opens within 0.8 s, whatever Q1 and Q2 do.',
        'R26 keeps Q5 open; D14 keeps its gate within what it bears. D12 and D13 are small silicon diodes: a Schottky diode leaks when warm.',
        'R27, R29 and R30 weigh the feed behind Q5, the fuse F2 and the low side of the mat; R31 and R28 show a share of it to the controller, and keep',
        'the rail from its pin if any of them fails. R32 and R33 hold the low side near half of the feed while the lead of the mat is open. With Q1 open',
        'and closed in turn: supply missing, F1 or F2 blown, Q5 or Q1 welded, lead, plug or cut-out open. D1 is silicon: a Schottky diode leaks when warm.',
        'Q5 lets current pass from the rail to the loads only while closed: its body diode points to the rail.',
      ],
    },
  ],
};
