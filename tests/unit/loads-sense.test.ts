/** One line for fuse, lead and switch of the mat: what it reads in each case. */
import { describe, expect, test } from 'vitest';
import { loadNodes, type MatPath } from '../../shared/board/loads';
import { ADC_FULL_SCALE, belowPinOhm, LOADS_SENSE, loadsSenseCode } from '../../shared/board/map';

const SUPPLIES_V = [10.8, 12, 24, 26.4];
const whole = { fuse: 'whole', lead: 'whole' } as const;
const leadOpen = { fuse: 'whole', lead: 'open' } as const;
const blown = { fuse: 'blown', lead: 'whole' } as const;
const codeOf = (feedV: number, path: MatPath): number => loadsSenseCode(loadNodes(feedV, path));
/** Reading with the switch open over that with it closed. */
const ratio = (feedV: number, path: Omit<MatPath, 'switchClosed'>): number =>
  codeOf(feedV, { ...path, switchClosed: false }) / codeOf(feedV, { ...path, switchClosed: true });

describe("the mat's sense line", () => {
  test.each(SUPPLIES_V)('tells sound, open and blown by a ratio that %s V do not change', (v) => {
    expect(ratio(v, leadOpen)).toBeCloseTo(2.03, 2);
    expect(ratio(v, whole)).toBeCloseTo(3.14, 2);
    expect(ratio(v, blown)).toBeCloseTo(5.5, 1);
  });

  test('tells a switch that never closes from one that has welded by the code, at any supply', () => {
    const neverCloses = codeOf(10.8, { ...whole, switchClosed: false });
    const welded = codeOf(26.4, { ...whole, switchClosed: true });
    expect(neverCloses / welded).toBeGreaterThan(1.2);
  });

  test('stays inside the converter with all its nodes at the highest supply', () => {
    const nodes = loadNodes(26.4, { ...whole, switchClosed: false });
    expect(loadsSenseCode({ ...nodes, pumpFeedV: 26.4 })).toBeLessThan(0.9 * ADC_FULL_SCALE);
  });

  test('reads nothing with the second switch open, and the feed alone when the fuse is blown', () => {
    expect(codeOf(0, { ...whole, switchClosed: false })).toBe(0);
    expect(codeOf(12, { ...blown, switchClosed: true })).toBeCloseTo(
      loadsSenseCode({ matSupplyV: 12, matFeedV: 0, matLowV: 0, pumpFeedV: 0 }),
    );
  });

  test('reads the feed of the pump like the supply of the mat', () => {
    const none = { matSupplyV: 0, matFeedV: 0, matLowV: 0, pumpFeedV: 0 };
    expect(loadsSenseCode({ ...none, pumpFeedV: 12 })).toBeCloseTo(
      loadsSenseCode({ ...none, matSupplyV: 12 }),
    );
  });

  test.each<MatPath>([
    { ...leadOpen, switchClosed: false },
    { ...leadOpen, switchClosed: true },
    { ...blown, switchClosed: false },
    { ...blown, switchClosed: true },
    { fuse: 'blown', lead: 'open', switchClosed: false },
    { fuse: 'blown', lead: 'open', switchClosed: true },
  ])('nodes that hang on resistors alone take no current: %o', (path) => {
    const { matFeedOhm, matLowOhm, seriesOhm } = LOADS_SENSE;
    const lowerOhm = belowPinOhm(LOADS_SENSE);
    const nodes = loadNodes(24, path);
    const { matSupplyV, matFeedV, matLowV } = nodes;
    const pinV = (loadsSenseCode(nodes) * 3.3) / ADC_FULL_SCALE;
    const sumV = (pinV * (seriesOhm + lowerOhm)) / lowerOhm;
    const intoFeedA = (sumV - matFeedV) / matFeedOhm;
    const intoLowA =
      (sumV - matLowV) / matLowOhm +
      (matSupplyV - matLowV) / LOADS_SENSE.matLowUpOhm -
      matLowV / LOADS_SENSE.matLowDownOhm;
    if (path.fuse === 'blown' && path.lead === 'open') expect(intoFeedA).toBeCloseTo(0, 9);
    if (path.switchClosed) return;
    const tied = path.fuse === 'blown' && path.lead === 'whole';
    expect(tied ? intoLowA + intoFeedA : intoLowA).toBeCloseTo(0, 9);
  });
});
