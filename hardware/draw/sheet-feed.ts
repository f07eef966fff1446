/** Sheets 6 and 7: the second switches of mat and pump, and the sense line. */
import { SAFETY_STEP_MS, SECOND_SWITCH_OPENS_MS } from '../../shared/board/map';
import { boardPin, SENSE_PIN } from '../circuit/controller';
import { SECOND_SWITCHES, type SecondSwitch } from '../circuit/second-switches';
import type { SheetPlan } from './schematic';
import { at, below, flag, pin, put } from './sheet-words';

/** Both have the same stage. */
const stage = ({ pin: control, refs, nets }: SecondSwitch) => ({
  parts: {
    [refs.guard]: put(60, 120, 'right'),
    [refs.ground]: put(42.5, 135),
    [refs.coupling]: put(85, 120, 'right'),
    [refs.back]: put(107.5, 135, 'up'),
    [refs.forward]: put(130, 120, 'right'),
    [refs.hold]: put(157.5, 135),
    [refs.drive]: put(175, 120, 'right'),
    [refs.bleed]: put(195, 135),
    [refs.transistor]: put(215, 120),
    [refs.pull]: put(215, 75, 'up'),
    [refs.rest]: put(205, 52.5, 'up', { x: -4, y: -0.6, anchor: 'end' }),
    [refs.clamp]: put(225, 52.5, 'up'),
    [refs.closer]: put(180, 60, 'up', { x: -7, y: -0.6, anchor: 'end' }),
  },
  flags: [
    flag('RAIL', 165, 40, 'left', 'RAIL (sheet 1)'),
    flag(nets.pin, 25, 120, 'left', boardPin(control)),
  ],
  trunks: {
    RAIL: [at(165, 40), at(225, 40)],
    [nets.gate]: [at(187.5, 60), at(225, 60)],
    [nets.pin]: [at(25, 120), at(52.5, 120)],
    [nets.pumped]: [at(92.5, 120), at(122.5, 120)],
    [nets.held]: [at(137.5, 120), at(167.5, 120)],
    [nets.base]: [at(182.5, 120), at(207.5, 120)],
  },
});

/** What the stage does, in the words of its own parts. */
const stageWords = (output: 'mat' | 'pump', first: string, { refs }: SecondSwitch): string[] => [
  `The safety step turns the pin over every ${SAFETY_STEP_MS} ms while the ${output} has a lease. Each rise goes through ${refs.coupling} and ${refs.forward} into ${refs.hold};`,
  `each fall draws the other side of ${refs.coupling} back to ground through ${refs.back}. ${refs.hold} keeps ${refs.transistor} closed from one rise to the next, and ${refs.transistor} the gate of ${refs.closer} down.`,
  `A pin that stays high, stays low or hangs free gives ${refs.coupling} nothing to pass on: ${refs.closer} opens within ${SECOND_SWITCH_OPENS_MS / 1000} s, whatever ${first} does.`,
  `${refs.rest} keeps ${refs.closer} open; ${refs.clamp} keeps its gate within what it bears. ${refs.back} and ${refs.forward} are small silicon diodes: a Schottky diode leaks when warm.`,
  `${refs.closer} lets current pass from the rail to the ${output} only while closed: its body diode points to the rail.`,
];

const ofMat = stage(SECOND_SWITCHES.mat);

export const matSupply: SheetPlan = {
  file: 'schematic-6-supply-of-the-mat',
  title: 'Trayward schematic 6: second switch of the mat, and the sense line',
  subtitle:
    'Supply of the mat: closed only while the safety step toggles its pin; any steady level opens it',
  blocks: ['feed'],
  parts: {
    ...ofMat.parts,
    R27: put(125, 70),
    R29: put(105, 70),
    R30: put(85, 70),
    R40: put(102.5, 90, 'left'),
    R31: put(67.5, 90, 'left'),
    R28: put(45, 100),
    R32: put(85, 52.5, 'down', { x: -4, y: -0.6, anchor: 'end' }),
    R33: put(60, 70),
  },
  pins: [
    pin('X1.FEED', 32.5, 120, below),
    pin('TP11.1', 147.5, 120),
    pin('TP12.1', 155, 87.5),
    pin('X1.SENSE', 36, 90),
  ],
  modules: [],
  flags: [
    ...ofMat.flags,
    flag('MAT_SUPPLY', 165, 87.5, 'down', 'to F2 (sheet 3)'),
    flag('MAT_FEED', 105, 60, 'up', 'F2 (sheet 3)'),
    flag('PUMP_FEED', 110, 90, 'right', 'F3 (sheet 3)'),
    flag('MAT_LOW', 52.5, 60, 'left', 'Q1, D1 (sheet 3)'),
    flag('LOADS_SENSE', 25, 90, 'left', SENSE_PIN),
  ],
  trunks: {
    ...ofMat.trunks,
    MAT_SUPPLY: [at(85, 45), at(140, 45), at(140, 87.5), at(180, 87.5)],
    MAT_LOW: [at(52.5, 60), at(85, 60)],
    LOADS_SUM: [at(125, 80), at(85, 80), at(85, 90), at(95, 90)],
    LOADS_SENSE: [at(25, 90), at(60, 90)],
  },
  notes: [
    {
      at: at(15, 160),
      words: [
        ...stageWords('mat', 'Q1', SECOND_SWITCHES.mat),
        'R27, R29, R30 and R40 weigh the supply of the mat, its fuse F2, its low side and the feed of the pump; R31 and R28 show a share of it to the',
        'controller, and keep the rail from its pin if any of them fails. R32 and R33 hold the low side near half of the supply while the lead of the mat',
        'is open. Whether the line is live, asked for or not: supply missing, F3 blown, Q5 or Q7 welded. With Q1 open and closed in turn: F2 blown,',
        'Q1 welded or never closing, lead, plug or cut-out open. D1 is silicon.',
      ],
    },
  ],
};

const ofPump = stage(SECOND_SWITCHES.pump);

export const pumpSupply: SheetPlan = {
  file: 'schematic-7-supply-of-the-pump',
  title: 'Trayward schematic 7: second switch of the pump',
  subtitle:
    'Supply of the pump: closed only while the safety step toggles its pin; any steady level opens it',
  blocks: ['arm'],
  parts: { ...ofPump.parts, R41: put(70, 70) },
  pins: [pin('X1.ARM', 32.5, 120, below), pin('TP13.1', 147.5, 120), pin('TP14.1', 57.5, 60)],
  modules: [],
  flags: [
    ...ofPump.flags,
    flag('PUMP_SUPPLY', 150, 87.5, 'left', 'to F3 (sheet 3)'),
    flag('PUMP_FEED', 45, 60, 'left', 'F3 (sheet 3)'),
  ],
  trunks: {
    ...ofPump.trunks,
    PUMP_SUPPLY: [at(150, 87.5), at(180, 87.5)],
    PUMP_FEED: [at(45, 60), at(70, 60)],
  },
  notes: [
    {
      at: at(15, 160),
      words: [
        ...stageWords('pump', 'Q2', SECOND_SWITCHES.pump),
        'It is the switch of sheet 6 once more: behind a common one, a Q2 that has welded would let the pump run while the mat heats.',
        'R41 grounds what Q7 leaks while it is open, so that the sense line (R40, sheet 6) sees a supply behind it or none.',
      ],
    },
  ],
};
