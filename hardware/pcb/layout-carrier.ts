/**
 * The carrier. The controller board in the middle, its USB socket at the upper edge; probes at the right, on a ground
 * of their own; scale and service header at the left; wires to the power board at the lower edge.
 */
import { PROBE_LIST } from '../circuit/probes';
import type { Point } from '../draw/svg';
import { type Layout, rectangle } from './layout';
import { CARRIER } from './projects';

const [WIDTH, HEIGHT] = [100, 74];

/** The ground of the probes, and what may run over it. */
const QUIET = { left: 56.3, top: 13.5, right: WIDTH, bottom: 46.5 } as const;

/** With a tongue between its neighbours to the one pin at which it meets the other ground, on the controller board. */
const QUIET_OUTLINE: readonly Point[] = [
  { x: QUIET.left, y: QUIET.top },
  { x: QUIET.right, y: QUIET.top },
  { x: QUIET.right, y: QUIET.bottom },
  { x: QUIET.left, y: QUIET.bottom },
  { x: QUIET.left, y: 24.2 },
  { x: 53.8, y: 24.2 },
  { x: 53.8, y: 21.4 },
  { x: QUIET.left, y: 21.4 },
];

export const CARRIER_LAYOUT: Layout = {
  project: CARRIER,
  width: WIDTH,
  height: HEIGHT,
  parts: {
    A1: [37.3, 5, 0],
    X3: [45.5, 68.4, 0],
    X21: [94.4, 32, 90],
    X22: [60, 19, 0],
    X23: [5.6, 40, 270],
    X24: [32, 25, 0],
    J8: [6, 13, 0],
    R12: [30, 13, 180],
    R13: [30, 17, 180],
    R14: [30, 21, 180],
    TP4: [14.5, 25, 0],
    R7: [72.3, 12.5, 0],
    R15: [82.46, 17, 180],
    C4: [69.5, 17, 270],
    D7: [66.6, 17, 270],
    D8: [63.4, 9.38, 270],
    TP7: [68.5, 8.6, 0],
    TP8: [76, 21.4, 0],
    R16: [82.46, 37, 180],
    R8: [72.3, 41.5, 0],
    C5: [69.5, 37, 90],
    D9: [66.6, 37, 90],
    D10: [63.4, 44.62, 90],
    TP9: [76, 31.4, 0],
    R19: [25.5, 36.5, 180],
    C6: [19.5, 41.2, 0],
    C7: [25.5, 41.2, 0],
    TP10: [17, 31, 0],
    R18: [27, 47.6, 180],
    R17: [27, 52.7, 180],
  },
  holes: [
    { x: 5, y: 5 },
    { x: 95, y: 5 },
    { x: 5, y: 69 },
    { x: 95, y: 69 },
  ],
  loads: [{ net: 'BOARD_FEED', currentA: 1, pins: ['X3.VSYS', 'A1.VSYS'] }],
  pours: [
    {
      net: 'GROUND',
      layers: ['F.Cu', 'B.Cu'],
      outline: rectangle(0, 0, WIDTH, HEIGHT),
      priority: 0,
    },
    {
      net: 'QUIET_GROUND',
      layers: ['F.Cu', 'B.Cu'],
      outline: QUIET_OUTLINE,
      priority: 1,
    },
  ],
  stitches: [],
  reserved: [
    {
      ...QUIET,
      nets: [
        'QUIET_GROUND',
        'ADC_REFERENCE',
        'LOGIC_SUPPLY',
        ...PROBE_LIST.flatMap(({ net, adcNet }) => [net, adcNet]),
      ],
    },
  ],
  words: [],
  title: { x: 24, y: 62 },
};
