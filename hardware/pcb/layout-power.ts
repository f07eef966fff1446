/**
 * The power board. Supply along the top, mat and pump beside the terminals of what they feed, the second switch and
 * its charge pump in the middle, wires of the controller at the right.
 */
import { type Layout, rectangle } from './layout';
import { POWER } from './projects';

const [WIDTH, HEIGHT] = [100, 84];
const FUSE_A = { main: 7.5, mat: 4, pump: 2, small: 1 } as const;

export const POWER_LAYOUT: Layout = {
  project: POWER,
  width: WIDTH,
  height: HEIGHT,
  parts: {
    X11: [5.6, 18, 270],
    X12: [94.4, 63.72, 90],
    Q4: [19, 10, 0],
    R9: [16.5, 15.2, 0],
    D4: [27.6, 19, 180],
    TP3: [32, 20, 0],
    C1: [34, 10, 0],
    D5: [47, 6.35, 270],
    F4: [54, 7.5, 0],
    TP1: [51.5, 14, 0],
    Q5: [39.8, 24, 0],
    D14: [50, 24, 0],
    R26: [60.4, 28, 180],
    R25: [71, 37.5, 90],
    Q6: [64, 43, 0],
    R24: [66.54, 48, 0],
    R23: [54, 52, 0],
    TP11: [41.5, 56.5, 0],
    D13: [54, 57, 0],
    C9: [49, 57, 270],
    D12: [62.8, 62, 270],
    C8: [71.5, 57, 180],
    R21: [86, 57, 180],
    R22: [86, 61, 180],
    R27: [46, 36, 0],
    R28: [60, 40, 180],
    TP12: [43.5, 31.5, 0],
    D11: [81, 21.5, 270],
    D6: [75.5, 33.5, 90],
    TP2: [71.5, 19.5, 0],
    F2: [32.2, 29.4, 180],
    D1: [33.5, 35.2, 180],
    Q1: [20.5, 42, 180],
    R2: [27.5, 40.8, 0],
    R1: [37.66, 44.2, 180],
    TP5: [43.5, 43, 0],
    F3: [32.2, 50.6, 180],
    D2: [33.5, 56.4, 180],
    Q2: [20.5, 63.2, 180],
    R4: [27.5, 62, 0],
    R3: [37.66, 65.4, 180],
    TP6: [45, 64.2, 0],
    D3: [14, 71.5, 0],
    Q3: [26, 73, 0],
    R6: [35, 71, 0],
    R5: [45.16, 75, 180],
  },
  holes: [
    { x: 5, y: 5 },
    { x: 95, y: 5 },
    { x: 5, y: 79 },
    { x: 95, y: 79 },
  ],
  loads: [
    { net: 'FUSED', currentA: FUSE_A.main, pins: ['X1.IN+', 'Q4.D'] },
    { net: 'RAIL', currentA: FUSE_A.main, pins: ['Q4.S', 'C1.+', 'D5.K', 'Q5.S'] },
    { net: 'LOAD_FEED', currentA: FUSE_A.main, pins: ['Q5.D', 'F2.1', 'F3.1'] },
    { net: 'MAT_FEED', currentA: FUSE_A.mat, pins: ['F2.2', 'D1.K', 'X1.MAT+'] },
    { net: 'MAT_LOW', currentA: FUSE_A.mat, pins: ['X1.MAT-', 'D1.A', 'Q1.D'] },
    { net: 'PUMP_FEED', currentA: FUSE_A.pump, pins: ['F3.2', 'D2.K', 'X1.PUMP+'] },
    { net: 'PUMP_LOW', currentA: FUSE_A.pump, pins: ['X1.PUMP-', 'D2.A', 'Q2.D'] },
    { net: 'BUCK_FEED', currentA: FUSE_A.small, pins: ['F4.2', 'X1.BUCK+'] },
    { net: 'FIVE_VOLT', currentA: FUSE_A.small, pins: ['X1.5V', 'D6.A', 'D11.K'] },
    { net: 'BOARD_FEED', currentA: FUSE_A.small, pins: ['D6.K', 'X1.VSYS'] },
  ],
  pours: [
    {
      net: 'GROUND',
      layers: ['F.Cu', 'B.Cu'],
      outline: rectangle(0, 0, WIDTH, HEIGHT),
      priority: 0,
    },
    // The drains of the switches: copper that spreads their warmth.
    { net: 'MAT_LOW', layers: ['F.Cu'], outline: rectangle(11.5, 36.5, 20.2, 47), priority: 2 },
    { net: 'PUMP_LOW', layers: ['F.Cu'], outline: rectangle(11.5, 57.7, 20.2, 68.2), priority: 2 },
  ],
  // A hole of 0.5 mm has as much copper round it as a track of 1 mm: one for each 1.5 A.
  stitches: [
    ...[39.6, 42.4, 44, 45.6].map((y) => ({ net: 'GROUND' as const, at: { x: 25.4, y } })),
    ...[63.6, 65.2, 66.8].map((y) => ({ net: 'GROUND' as const, at: { x: 25.4, y } })),
  ],
  reserved: [],
  words: [],
  title: { x: 70, y: 79 },
};
