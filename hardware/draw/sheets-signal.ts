/** Sheets 4 and 5: probes; scale and sounder, which are two sheets in the projects of the boards. */
import { ADC_FULL_SCALE, PROBE_REFERENCE_OHM } from '../../shared/board/map';
import { PROBE_NAMES, type ProbeName } from '../../shared/board/probes';
import { boardPin } from '../circuit/controller';
import { PROBE_CIRCUITS, probePin } from '../circuit/probes';
import { PROBE_SPOTS } from './probe-spots';
import type { SheetPlan } from './schematic';
import { at, flag, pin, put, toLeft, toRight } from './sheet-words';

const probeColumn = (name: ProbeName) => {
  const x = PROBE_SPOTS[name].columnX;
  const {
    reference,
    probe,
    series,
    filter,
    clampLow,
    clampHigh,
    test,
    net,
    adcNet,
    pole,
    adcPole,
  } = PROBE_CIRCUITS[name];
  return {
    parts: {
      [reference]: put(x, 67.5),
      [probe]: put(x - 20, 120, 'down', { x: -8, y: -0.6, anchor: 'end' }),
      [series]: put(x + 25, 90, 'right'),
      [filter]: put(x + 47.5, 110),
      [clampLow]: put(x + 37.5, 110, 'up', { x: -4.5, y: -0.6, anchor: 'end' }),
      [clampHigh]: put(x + 37.5, 72.5, 'up'),
    },
    pins: [
      pin(`X2.${pole}`, x - 20, 100, toLeft),
      pin(`X2.${pole}-`, x - 20, 135, toLeft),
      pin(`${test}.1`, x + 10.5, 90),
      pin(`X2.${adcPole}`, x + 55, 90),
    ],
    flags: [flag(adcNet, x + 62.5, 90, 'right', `${probePin(name)} ${adcPole}`)],
    trunks: {
      [net]: [at(x - 20, 112.5), at(x - 20, 90), at(x + 17.5, 90)],
      [adcNet]: [at(x + 32.5, 90), at(x + 62.5, 90)],
    },
  };
};

const columns = PROBE_NAMES.map(probeColumn);
const lastX = Math.max(...PROBE_NAMES.map((name) => PROBE_SPOTS[name].columnX));

export const probes: SheetPlan = {
  file: 'schematic-4-probes',
  title: 'Trayward schematic 4: probes',
  subtitle: `Code = ${ADC_FULL_SCALE} R / (R + ${PROBE_REFERENCE_OHM / 1000} kΩ). The dividers hang on the ADC reference, so its drift cancels`,
  blocks: ['probes'],
  parts: Object.assign({}, ...columns.map(({ parts }) => parts)),
  pins: [
    ...columns.flatMap(({ pins }) => pins),
    pin('TP7.1', 130, 50),
    pin('X2.VREF', 30, 50),
    pin('X2.AGND', 30, 165, toLeft),
  ],
  modules: [],
  flags: [
    flag('ADC_REFERENCE', 20, 50, 'left', 'VREF'),
    flag('LOGIC_SUPPLY', 245, 57.5, 'right', '3.3 V (sheet 2)'),
    ...columns.flatMap(({ flags }) => flags),
  ],
  trunks: {
    ADC_REFERENCE: [at(20, 50), at(lastX, 50)],
    ...Object.assign({}, ...columns.map(({ trunks }) => trunks)),
    LOGIC_SUPPLY: [at(PROBE_SPOTS.rootZone.columnX + 37.5, 57.5), at(245, 57.5)],
    QUIET_GROUND: [at(30, 150), at(245, 150), at(245, 157.5)],
  },
  notes: [
    {
      at: at(60, 172),
      words: [
        'Readings to expect at TP8 and TP9: table in BUILD.md, step 2.5 (25 °C: half of what TP7 shows).',
        'R15, R16 and the diodes keep a spark on a lead, or 24 V from a pinched one, away from the pins.',
        'An open probe reads above code 3900, a shorted one below 195; the firmware treats both as faults and drops the mat.',
      ],
    },
  ],
};

export const scale: SheetPlan = {
  file: 'schematic-scale',
  title: 'Trayward schematic: scale',
  subtitle: 'Bridge converter at 3.3 V, excitation and reference are the same voltage',
  blocks: ['scale'],
  parts: {
    R19: put(60, 45, 'right'),
    C6: put(85, 60),
    C7: put(105, 60),
    R17: put(42.5, 72.5, 'down', { x: -4, y: -0.6, anchor: 'end' }),
    R18: put(60, 117.5),
  },
  pins: [
    pin('TP10.1', 117.5, 45),
    pin('X2.SC-V', 140, 45),
    pin('X2.DATA', 75, 85),
    pin('X2.SC-DATA', 130, 85),
    pin('X2.CLK', 75, 97.5),
    pin('X2.SC-CLK', 130, 97.5),
    pin('X2.SC-G', 130, 110, toLeft),
    pin('LC1.E+', 252.5, 55, toRight),
    pin('LC1.S+', 252.5, 75, toRight),
    pin('LC1.S-', 252.5, 95, toRight),
    pin('LC1.E-', 252.5, 115, toRight),
  ],
  modules: [
    {
      ref: 'A3',
      x: 157.5,
      y: 37.5,
      width: 45,
      height: 85,
      pins: {
        VCC: at(155, 45),
        DT: at(155, 85),
        SCK: at(155, 97.5),
        GND: at(150, 110),
        'E+': at(205, 55),
        'A+': at(205, 75),
        'A-': at(205, 95),
        'E-': at(205, 115),
      },
    },
  ],
  flags: [
    flag('LOGIC_SUPPLY', 30, 45, 'left', '3.3 V'),
    flag('SCALE_DATA', 30, 85, 'left', boardPin('scaleData')),
    flag('SCALE_CLK', 30, 97.5, 'left', boardPin('scaleClock')),
  ],
  trunks: {
    LOGIC_SUPPLY: [at(30, 45), at(52.5, 45)],
    SCALE_SUPPLY: [at(67.5, 45), at(155, 45)],
    SCALE_DATA: [at(30, 85), at(155, 85)],
    SCALE_CLK: [at(30, 97.5), at(155, 97.5)],
    BRIDGE_MINUS: [at(205, 115), at(252.5, 115)],
  },
  notes: [
    {
      at: at(222, 130),
      words: [
        'Load cell LC1 under the tray. Usual core colours:',
        'E+ red, E- black, S+ green, S- white;',
        'its own sheet decides. Shield to A3 E- only.',
      ],
    },
    {
      at: at(175, 165),
      words: [
        'R17: with the converter unplugged the data line rests high,',
        'which reads as "no conversion ready", never as a mass.',
        'R18: clock low while the controller is in reset; high for',
        'more than 60 µs would put the converter to sleep.',
      ],
    },
  ],
};

export const sounder: SheetPlan = {
  file: 'schematic-sounder',
  title: 'Trayward schematic: sounder',
  subtitle: 'Sounder with its own oscillator',
  blocks: ['sounder'],
  parts: {
    R5: put(65, 170, 'right'),
    R6: put(85, 182.5, 'down', { x: 5, y: 3, anchor: 'start' }),
    Q3: put(107.5, 170),
    LS1: put(147.5, 152.5, 'down', { x: 8.5, y: -0.6, anchor: 'start' }),
    D3: put(107.5, 152.5, 'up', { x: -4.5, y: -0.6, anchor: 'end' }),
  },
  pins: [
    pin('X1.SND', 42.5, 170),
    pin('X1.LS+', 135, 140),
    pin('X1.LS-', 135, 161, { x: 0, y: -2 }),
  ],
  modules: [],
  flags: [
    flag('SOUNDER', 32.5, 170, 'left', boardPin('sounder')),
    flag('FIVE_VOLT', 90, 140, 'left', '5 V (sheet 1)'),
  ],
  trunks: {
    SOUNDER_BASE: [at(72.5, 170), at(100, 170)],
    SOUNDER_LOW: [at(107.5, 161), at(147.5, 161)],
    FIVE_VOLT: [at(90, 140), at(147.5, 140)],
  },
  notes: [
    {
      at: at(175, 180.2),
      words: [`R6 keeps the sounder silent while ${boardPin('sounder')} hangs free.`],
    },
  ],
};

export const scaleAndSounder: SheetPlan = {
  file: 'schematic-5-scale-and-sounder',
  title: 'Trayward schematic 5: scale and sounder',
  subtitle:
    'Bridge converter at 3.3 V, excitation and reference are the same voltage; sounder with its own oscillator',
  blocks: [...scale.blocks, ...sounder.blocks],
  parts: { ...scale.parts, ...sounder.parts },
  pins: [...scale.pins, ...sounder.pins],
  modules: [...scale.modules, ...sounder.modules],
  flags: [...scale.flags, ...sounder.flags],
  trunks: { ...scale.trunks, ...sounder.trunks },
  notes: [...scale.notes, ...sounder.notes],
};
