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
    R27: put(80, 65),
    R28: put(80, 95),
    R26: put(205, 52.5, 'up', { x: -4, y: -0.6, anchor: 'end' }),
    D14: put(225, 52.5, 'up'),
    Q5: put(180, 60, 'up', { x: -7, y: -0.6, anchor: 'end' }),
  },
  pins: [
    pin('X1.FEED', 32.5, 120, below),
    pin('TP11.1', 147.5, 120),
    pin('TP12.1', 150, 82.5),
    pin('X1.SENSE', 65, 80),
  ],
  modules: [],
  flags: [
    flag('RAIL', 165, 40, 'left', 'RAIL (sheet 1)'),
    flag('LOAD_FEED', 125, 82.5, 'down', 'feed of mat and pump, to F2 and F3 (sheet 3)'),
    flag('SUPPLY_SENSE', 50, 80, 'left', SENSE_PIN),
    flag('FEED', 25, 120, 'left', boardPin('feed')),
  ],
  trunks: {
    RAIL: [at(165, 40), at(225, 40)],
    FEED_GATE: [at(187.5, 60), at(225, 60)],
    LOAD_FEED: [at(80, 50), at(125, 50), at(125, 82.5), at(180, 82.5)],
    SUPPLY_SENSE: [at(50, 80), at(80, 80)],
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
        'R27 and R28 show the controller what is behind Q5: a supply that is missing, a fuse F1 that blew, and a Q5 that has welded.',
        'Q5 lets current pass from the rail to the loads only while closed: its body diode points to the rail.',
      ],
    },
  ],
};
