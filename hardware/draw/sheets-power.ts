/** Sheets 1 to 3: supply, controller, mat and pump. */
import { SECOND_SWITCH_OPENS_MS, UART_BAUD } from '../../shared/board/map';
import { PROBE_NAMES } from '../../shared/board/probes';
import { boardPin, SENSE_PIN } from '../circuit/controller';
import { PROBE_CIRCUITS, probePin } from '../circuit/probes';
import { PROBE_SPOTS } from './probe-spots';
import type { SheetPlan } from './schematic';
import { at, below, flag, pin, put, toLeft, toRight } from './sheet-words';

export const supply: SheetPlan = {
  file: 'schematic-1-supply',
  title: 'Trayward schematic 1: supply',
  subtitle:
    '12 or 24 V DC in, main fuse, reverse polarity and surge protection, 5 V for the controller board',
  blocks: ['supply'],
  parts: {
    F1: put(50, 60, 'right'),
    Q4: put(90, 60, 'right', { x: 0, y: -9.5, anchor: 'middle' }),
    R9: put(90, 95),
    D4: put(112.5, 75, 'up'),
    D5: put(142.5, 75, 'up'),
    C1: put(175, 75),
    F4: put(205, 60, 'right'),
    D6: put(190, 150, 'left', { x: 0, y: -6.8, anchor: 'middle' }),
    D11: put(255, 170, 'up'),
  },
  pins: [
    pin('J1.+', 25, 60),
    pin('J1.-', 25, 85, below),
    pin('X1.IN+', 70, 60),
    pin('X1.IN-', 50, 85, toRight),
    pin('TP1.1', 160, 60),
    pin('X1.BUCK+', 225, 60),
    pin('X1.BUCK-', 220, 80, { x: 0, y: -2.2 }),
    pin('TP2.1', 245, 150),
    pin('X1.5V', 262.5, 150),
    pin('X1.VSYS', 165, 150),
    pin('X1.GND', 165, 165, toLeft),
    pin('TP3.1', 40, 85),
  ],
  modules: [
    {
      ref: 'A2',
      x: 242.5,
      y: 52.5,
      width: 27.5,
      height: 35,
      pins: {
        'IN+': at(240, 60),
        'IN-': at(234, 80),
        'OUT+': at(272.5, 60),
        'OUT-': at(277.5, 80),
      },
    },
  ],
  flags: [
    flag('RAIL', 190, 50, 'up', 'RAIL to Q5, Q7 (sheets 6, 7)'),
    flag('FIVE_VOLT', 222.5, 160, 'down', '5 V to sounder (sheet 5)'),
    flag('BOARD_FEED', 145, 150, 'left', 'VSYS of A1 (sheet 2)'),
  ],
  trunks: {
    RAIL: [at(97.5, 60), at(197.5, 60)],
    REVERSE_GATE: [at(90, 85), at(112.5, 85)],
    FIVE_VOLT: [at(272.5, 60), at(285, 60), at(285, 150), at(197.5, 150)],
    GROUND: [at(25, 85), at(50, 85)],
  },
  notes: [
    {
      at: at(15, 115),
      words: [
        'The supply unit is a certified SELV or class 2 type, 12 or 24 V DC,',
        'of the watts that "trayward hardware check" prints, 100 W at most.',
        'F1 sits in the lead, within 10 cm of J1.',
        '',
        'Q4 lets current pass from left to right only when the polarity is right:',
        'reversed, its gate is not below its source and it stays shut.',
        'Ground of A2 runs through: IN- and OUT- are one piece of copper.',
      ],
    },
    {
      at: at(15, 185),
      words: [
        'D11: a converter that fails through ends in F4, not in the pins of the controller.',
        'X1 GND is the second ground of the controller board (A1 GND3): no single broken wire lifts its pins.',
        'D6 keeps USB power on the controller board from feeding the 5 V side: with the rail off, mat and pump have no feed.',
        'Q4, Q5 and Q7 are of one kind. The 5 V converter is fed before Q5 and Q7: the controller runs with mat and pump cut off.',
      ],
    },
  ],
};

export const controller: SheetPlan = {
  file: 'schematic-2-controller',
  title: 'Trayward schematic 2: controller board and service header',
  subtitle: 'Every pin the firmware uses; names and numbers come from shared/board',
  blocks: ['controller'],
  parts: {
    R12: put(90, 70, 'left'),
    R13: put(90, 92.5, 'left', { x: 0, y: 6.4, anchor: 'middle' }),
    R14: put(107.5, 50, 'up'),
    R20: put(150, 165, 'left'),
    LED1: put(125, 172.5, 'down', { x: 8, y: -0.6, anchor: 'start' }),
  },
  pins: [
    pin('J8.TX', 55, 70, toLeft),
    pin('J8.RX', 55, 92.5, toLeft),
    pin('J8.GND', 55, 110, toLeft),
    pin('TP4.1', 137.5, 42.5),
    pin('X2.TX', 125, 70),
    pin('X2.RX', 125, 92.5),
  ],
  modules: [
    {
      ref: 'A1',
      x: 165,
      y: 35,
      width: 45,
      height: 140,
      pins: {
        [boardPin('linkTx')]: at(162.5, 70),
        [boardPin('linkRx')]: at(162.5, 92.5),
        [boardPin('lamp')]: at(162.5, 165),
        '3V3': at(162.5, 42.5),
        VSYS: at(212.5, 42.5),
        GND: at(217, 52.5),
        GND3: at(217, 60.5),
        [boardPin('mat')]: at(212.5, 70),
        [boardPin('pump')]: at(212.5, 80),
        [boardPin('sounder')]: at(212.5, 87.5),
        [boardPin('feed')]: at(212.5, 95),
        [boardPin('arm')]: at(212.5, 102.5),
        [boardPin('scaleClock')]: at(212.5, 110),
        [boardPin('scaleData')]: at(212.5, 117.5),
        GND2: at(158, 130),
        ADC_VREF: at(212.5, 130),
        ...Object.fromEntries(
          PROBE_NAMES.map((name) => [probePin(name), at(212.5, PROBE_SPOTS[name].pinY)]),
        ),
        [SENSE_PIN]: at(212.5, 168),
        AGND: at(217, 157.5),
      },
    },
  ],
  flags: [
    flag('LOGIC_SUPPLY', 85, 42.5, 'left', '3.3 V to scale (sheet 5)'),
    flag('BOARD_FEED', 225, 42.5, 'right', 'VSYS from D6 (sheet 1)'),
    flag('MAT', 225, 70, 'right', 'MAT (sheet 3)'),
    flag('PUMP', 225, 80, 'right', 'PUMP (sheet 3)'),
    flag('SOUNDER', 225, 87.5, 'right', 'SOUNDER (sheet 5)'),
    flag('FEED', 225, 95, 'right', 'FEED (sheet 6)'),
    flag('ARM', 225, 102.5, 'right', 'ARM (sheet 7)'),
    flag('SCALE_CLK', 225, 110, 'right', 'SCALE_CLK (sheet 5)'),
    flag('SCALE_DATA', 225, 117.5, 'right', 'SCALE_DATA (sheet 5)'),
    flag('ADC_REFERENCE', 225, 130, 'right', 'ADC_VREF (sheet 4)'),
    flag('LOADS_SENSE', 225, 168, 'right', 'SENSE (sheet 6)'),
    ...PROBE_NAMES.map((name) => {
      const { net, adcNet } = PROBE_CIRCUITS[name];
      return flag(adcNet, 225, PROBE_SPOTS[name].pinY, 'right', `${net} (sheet 4)`);
    }),
  ],
  trunks: {
    LOGIC_SUPPLY: [at(85, 42.5), at(162.5, 42.5)],
    LINK_RX: [at(97.5, 92.5), at(162.5, 92.5)],
    LAMP_LED: [at(125, 165), at(142.5, 165)],
  },
  notes: [
    {
      at: at(15, 29),
      words: [
        `Service header J8: 3.3 V levels, ${UART_BAUD} 8N1, no supply pin,`,
        'so that an adapter cannot feed the board.',
      ],
    },
    {
      at: at(15, 140),
      words: [
        'R20 and the lamp LED1 are on the controller board',
        `already; ${boardPin('lamp')} is not brought out.`,
        'GND, GND2, GND3 and AGND are one copper on A1.',
        'AGND serves the probes only.',
        'R12 and R13 keep a 5 V adapter, connected by',
        'mistake, below 2 mA at the pins.',
        'R14 keeps the line at rest while nothing is',
        'plugged in.',
      ],
    },
  ],
};

/** Mat and pump have the same stage; `x` is the middle of its column. */
const stage = (
  x: number,
  name: 'MAT' | 'PUMP',
  refs: {
    drive: string;
    pull: string;
    fet: string;
    diode: string;
    fuse: string;
    plug: string;
    test: string;
  },
) => ({
  parts: {
    [refs.fuse]: put(x, 52.5),
    [refs.diode]: put(x - 20, 92.5, 'up', { x: -4.5, y: -0.6, anchor: 'end' }),
    [refs.drive]: put(x - 35, 145, 'right'),
    [refs.pull]: put(x - 17.5, 160),
    [refs.fet]: put(x, 145),
  },
  pins: [
    pin(`X1.${name}+`, x + 12.5, 65),
    pin(`${refs.plug}.1`, x + 25, 65),
    pin(`X1.${name}-`, x + 12.5, 125, below),
    pin(`${refs.plug}.2`, x + 25, 125, below),
    pin(`X1.${name}`, x - 50, 145, below),
    pin(`${refs.test}.1`, x - 22.5, 145),
  ],
  flags: [flag(name, x - 57.5, 145, 'left', boardPin(name === 'MAT' ? 'mat' : 'pump'))],
});

const matStage = stage(80, 'MAT', {
  drive: 'R1',
  pull: 'R2',
  fet: 'Q1',
  diode: 'D1',
  fuse: 'F2',
  plug: 'J2',
  test: 'TP5',
});
const pumpStage = stage(212.5, 'PUMP', {
  drive: 'R3',
  pull: 'R4',
  fet: 'Q2',
  diode: 'D2',
  fuse: 'F3',
  plug: 'J3',
  test: 'TP6',
});

export const outputs: SheetPlan = {
  file: 'schematic-3-mat-and-pump',
  title: 'Trayward schematic 3: mat and pump',
  subtitle:
    'Both are off while the controller is unpowered, in reset, or its control wire is broken: R2 and R4 sit at the gates',
  blocks: ['mat', 'pump'],
  parts: {
    ...matStage.parts,
    ...pumpStage.parts,
    TC1: put(120, 80),
    HM1: put(120, 107.5),
    M1: put(250, 95, 'down', { x: -6, y: -0.6, anchor: 'end' }),
    C3: put(267.5, 95),
  },
  pins: [...matStage.pins, ...pumpStage.pins],
  modules: [],
  flags: [
    flag('MAT_SUPPLY', 80, 40, 'up', 'from Q5 (sheet 6)'),
    flag('PUMP_SUPPLY', 212.5, 40, 'up', 'from Q7 (sheet 7)'),
    flag('PUMP_FEED', 187.5, 65, 'left', 'R40, R41 (sheets 6, 7)'),
    flag('MAT_FEED', 55, 65, 'left', 'R29 (sheet 6)'),
    flag('MAT_LOW', 55, 125, 'left', 'R30, R32, R33 (sheet 6)'),
    ...matStage.flags,
    ...pumpStage.flags,
  ],
  trunks: {
    MAT_FEED: [at(55, 65), at(120, 65)],
    MAT_LOW: [at(55, 125), at(120, 125)],
    MAT_GATE: [at(52.5, 145), at(72.5, 145)],
    PUMP_FEED: [at(187.5, 65), at(267.5, 65)],
    PUMP_LOW: [at(192.5, 125), at(267.5, 125)],
    PUMP_GATE: [at(185, 145), at(205, 145)],
  },
  notes: [
    {
      at: at(15, 176),
      words: [
        `Behind each is a second switch of its own, Q5 and Q7, which opens by itself within ${SECOND_SWITCH_OPENS_MS / 1000} s when the safety step stands still.`,
        'TC1 is a thermal link at the mat, outside all electronics; it opens at 63 to 73 °C, once, and is then replaced.',
        'Q1, Q2: on-resistance stated at a gate of 2.8 V or less. "Logic level" on a front page often means 4.5 V, which 3.3 V does not reach.',
        'D1 serves a contactor coil in place of the mat; it is silicon for the sense line (sheet 6). C3 is soldered across the lugs of the motor.',
      ],
    },
  ],
};
