/** What the sheets of mounting, placement and drilling must show, however they are drawn. */
import { describe, expect, test } from 'vitest';
import { CELL_DATA } from '../../hardware/budget/scale';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import { isOutside } from '../../hardware/circuit/leads';
import { drawMounting } from '../../hardware/draw/mounting';
import { type Box, SECTION } from '../../hardware/draw/mounting-section';
import { STOP_GAP_MM } from '../../hardware/draw/mounting-words';
import { drawPlacement, PLAN, PROBED, plugAt, SPOTS } from '../../hardware/draw/placement';
import { SHEET_MM } from '../../hardware/draw/svg';
import { drawWires } from '../../hardware/draw/wires';
import { drawWiring } from '../../hardware/draw/wiring';
import { BOXES } from '../../hardware/draw/wiring-boxes';
import { drawDrilling } from '../../hardware/enclosure/drilling';
import { drawDrillingBack } from '../../hardware/enclosure/drilling-back';
import { drawDrillingBottom } from '../../hardware/enclosure/drilling-bottom';

interface Words extends Box {
  readonly words: string;
}

/** Widths of letters of the usual sans serif, in sizes of the type. */
const letterWidth = (letter: string): number =>
  /[ iljtfI.,:;'()|]/.test(letter) ? 0.35 : /[mwMW]/.test(letter) ? 0.9 : 0.61;
/** How much wider bold letters are. */
const BOLD = 1.13;
const FRAME_MM = 6;

/** Every text of a sheet with the box it takes. */
function textsOf(svg: string): Words[] {
  const pattern =
    /<g transform="translate\(0 (-?\d+)\)">|<text x="([\d.-]+)" y="([\d.-]+)" font-size="([\d.]+)" text-anchor="(\w+)"([^>]*)>([^<]*)</g;
  let downMm = 0;
  return [...svg.matchAll(pattern)].flatMap(
    ([, moved, x, y, size, anchor, style = '', words = '']) => {
      if (moved !== undefined) {
        downMm = Number(moved);
        return [];
      }
      const sizes = [...words].reduce((sum, letter) => sum + letterWidth(letter), 0);
      const width = sizes * Number(size) * (style.includes('bold') ? BOLD : 1);
      const left = Number(x) - (anchor === 'end' ? width : anchor === 'middle' ? width / 2 : 0);
      const baseline = Number(y) + downMm;
      const top = baseline - 0.75 * Number(size);
      return { words, left, right: left + width, top, bottom: baseline + 0.1 * Number(size) };
    },
  );
}

const overlap = (a: Box, b: Box): boolean =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

const inside = (a: Box, b: Box): boolean =>
  a.left >= b.left && a.right <= b.right && a.top >= b.top && a.bottom <= b.bottom;

const pairs = <T>(list: readonly T[]): (readonly [T, T])[] =>
  list.flatMap((a, i) => list.slice(i + 1).map((b) => [a, b] as const));

const SHEETS = [
  ['mounting', drawMounting()],
  ['placement', drawPlacement()],
  ['drilling', drawDrilling()],
  ['template of the bottom', drawDrillingBottom()],
  ['boards in the enclosure', drawDrillingBack()],
] as const;

test.each([
  ...SHEETS,
  ['wiring', drawWiring(CIRCUIT)] as const,
  ['list of wires', drawWires(CIRCUIT)] as const,
])('the sheet of the %s has no words on top of each other, and none beyond its frame', (_, svg) => {
  const texts = textsOf(svg);
  expect(texts.length).toBeGreaterThan(20);
  const clashing = pairs(texts).filter(([a, b]) => overlap(a, b));
  expect(clashing.map(([a, b]) => `${a.words} | ${b.words}`)).toEqual([]);
  const frame = {
    left: FRAME_MM,
    top: FRAME_MM,
    right: SHEET_MM.width - FRAME_MM,
    bottom: SHEET_MM.height - FRAME_MM,
  };
  expect(texts.filter((one) => !inside(one, frame)).map(({ words }) => words)).toEqual([]);
});

test.each(SHEETS)(
  'the sheet of the %s names parts that there are in the circuit, and no others',
  (_, svg) => {
    const named = textsOf(svg).flatMap(
      ({ words }) => words.match(/\b(?:[A-Z]{2,}|[AJ])\d+\b/g) ?? [],
    );
    const refs = CIRCUIT.parts.map(({ ref }) => ref);
    expect(named.length).toBeGreaterThan(0);
    expect(named.filter((ref) => !refs.includes(ref))).toEqual([]);
  },
);

test('the wiring keeps its enclosure within the frame, and everything outside outside', () => {
  const svg = drawWiring(CIRCUIT);
  const wall =
    /<polygon points="([\d.]+),([\d.]+) ([\d.]+),[\d.]+ [\d.]+,([\d.]+)[^>]*dasharray/.exec(svg);
  const [left = 0, top = 0, right = 0, bottom = 0] = (wall ?? []).slice(1).map(Number);
  expect(left).toBeGreaterThan(FRAME_MM + 2);
  expect(top).toBeGreaterThan(FRAME_MM + 2);
  expect(right).toBeLessThan(SHEET_MM.width - FRAME_MM - 2);
  expect(bottom).toBeLessThan(SHEET_MM.height - FRAME_MM - 2);
  for (const { ref, x, width } of BOXES) {
    const outside = isOutside(CIRCUIT, ref);
    expect(x + width < left || x > right, ref).toBe(outside);
  }
});

/** The lines from words in the margin to what they are about: each ends in a dot. */
function leadersOf(svg: string): { from: Spot; to: Spot }[] {
  const pattern =
    /<line x1="([\d.]+)" y1="([\d.]+)" x2="([\d.]+)" y2="([\d.]+)" [^>]*\/><circle cx="\3" cy="\4"/g;
  return [...svg.matchAll(pattern)].map(([, x1, y1, x2, y2]) => ({
    from: { x: Number(x1), y: Number(y1) },
    to: { x: Number(x2), y: Number(y2) },
  }));
}

interface Spot {
  readonly x: number;
  readonly y: number;
}

const side = (a: Spot, b: Spot, c: Spot): number =>
  Math.sign((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x));

test.each([
  ['mounting', drawMounting()],
  ['placement', drawPlacement()],
])('no line from the margin of the %s crosses another', (_, svg) => {
  const leaders = leadersOf(svg);
  expect(leaders.length).toBeGreaterThan(8);
  const crossing = pairs(leaders).filter(
    ([a, b]) =>
      side(a.from, a.to, b.from) !== side(a.from, a.to, b.to) &&
      side(b.from, b.to, a.from) !== side(b.from, b.to, a.to),
  );
  expect(crossing).toEqual([]);
});

test('between them the two sheets place every part that belongs at the tray: cell, probes, cut-out', () => {
  const words = `${drawMounting()}${drawPlacement()}`;
  for (const ref of ['LC1', 'TH1', 'TH2', 'TC1']) {
    expect(CIRCUIT.parts.map((part) => part.ref)).toContain(ref);
    expect(words).toMatch(new RegExp(`\\b${ref}\\b`));
  }
});

describe('the mounting of the load cell', () => {
  const { base, feet, stops, fixedSpacer, cell, freeSpacer, platform, lips, foam, mat } = SECTION;
  const { tray, lid, dripTray, post, waterY } = SECTION;
  const standing = [
    base,
    ...feet,
    fixedSpacer,
    post,
    ...stops.flatMap((one) => Object.values(one)),
  ];
  const weighed = [platform, ...lips, foam, mat, freeSpacer, tray, lid];

  test('lets nothing but the cell bridge what stands and what is weighed', () => {
    for (const fixed of standing) {
      for (const moving of weighed) expect(overlap(fixed, moving)).toBe(false);
    }
    expect([fixedSpacer.bottom, fixedSpacer.top]).toEqual([base.top, cell.bottom]);
    expect([freeSpacer.bottom, freeSpacer.top]).toEqual([cell.top, platform.bottom]);
  });

  test('holds the cell at one end and loads it at the other', () => {
    expect(inside({ ...fixedSpacer, top: cell.top, bottom: cell.bottom }, cell)).toBe(true);
    expect(inside({ ...freeSpacer, top: cell.top, bottom: cell.bottom }, cell)).toBe(true);
    expect(fixedSpacer.right).toBeLessThan(freeSpacer.left);
  });

  test('has a stop on either side that leaves a gap under the empty platform', () => {
    const middle = (platform.left + platform.right) / 2;
    const sides = stops.map(({ screw }) => Math.sign((screw.left + screw.right) / 2 - middle));
    expect(sides).toEqual([-1, 1]);
    for (const { head } of stops) expect(head.top).toBeGreaterThan(platform.bottom);
    // Beyond the rated load, and before the cell is hurt.
    expect(STOP_GAP_MM).toBeGreaterThan(CELL_DATA.deflectionMm);
    expect(STOP_GAP_MM).toBeLessThan(CELL_DATA.deflectionMm * CELL_DATA.safeOverload);
  });

  test('stacks foam, mat, tray and lid on the platform, none wider than what it lies on', () => {
    expect(foam.bottom).toBe(platform.top);
    expect(mat.bottom).toBe(foam.top);
    expect(tray.bottom).toBeLessThan(mat.top);
    expect(lid.bottom).toBeLessThan(tray.top);
    for (const [upper, lower] of [
      [mat, foam],
      [foam, platform],
      [lid, tray],
    ] as const) {
      expect(upper.left).toBeGreaterThanOrEqual(lower.left);
      expect(upper.right).toBeLessThanOrEqual(lower.right);
    }
  });

  test('lets drops fall outside the base, into a drip tray whose water reaches nothing', () => {
    expect(platform.left).toBeLessThan(base.left);
    expect(platform.right).toBeGreaterThan(base.right);
    expect(dripTray.left).toBeLessThan(platform.left);
    expect(dripTray.right).toBeGreaterThan(platform.right);
    for (const lip of lips) expect(lip.bottom).toBeGreaterThan(platform.bottom);
    expect(waterY).toBeGreaterThan(dripTray.top);
    expect(waterY).toBeLessThan(dripTray.bottom);
    expect(waterY).toBeGreaterThan(base.bottom);
  });

  test('ends the feed tube in the air between lid and wool, beside nothing that is weighed', () => {
    const { feedEnd } = SECTION;
    expect(feedEnd.y).toBeLessThan(tray.top);
    expect(feedEnd.x).toBeGreaterThan(tray.left);
    expect(feedEnd.x).toBeLessThan(tray.right);
  });

  test('lets leads hang lower than both their clamps', () => {
    const { leadLoop, platformClamp, postClamp, dripLoop, baseClamp } = SECTION;
    expect(leadLoop.y).toBeGreaterThan(platformClamp.bottom);
    expect(leadLoop.y).toBeGreaterThan(postClamp.bottom);
    expect(dripLoop.y).toBeGreaterThan(baseClamp.bottom);
    expect(post.left).toBeGreaterThan(dripTray.right);
  });
});

describe('the placement of the probes', () => {
  const half = PLAN.plug / 2;
  const corner = plugAt(PROBED.column, PROBED.row);
  const probe = { x: corner.x + half, y: corner.y + half };
  const apart = (a: { x: number; y: number }, b: { x: number; y: number }): number =>
    Math.hypot(a.x - b.x, a.y - b.y);

  test('puts the root-zone probe into a plug that is neither at the rim nor in the very middle', () => {
    const { columns, rows } = PLAN;
    expect(Math.min(PROBED.column, columns - 1 - PROBED.column)).toBeGreaterThan(1);
    expect(Math.min(PROBED.row, rows - 1 - PROBED.row)).toBeGreaterThan(1);
    expect(Math.abs(PROBED.column - (columns - 1) / 2)).toBeGreaterThan(1);
  });

  test('keeps it at least four plugs from where the feed drops, or each dose reads as cold', () => {
    expect(apart(probe, SPOTS.feedEnd)).toBeGreaterThan(4 * PLAN.pitch);
  });

  test('keeps mat probe and cut-out under the tray, near its middle, a hand apart', () => {
    const size = { width: PLAN.columns * PLAN.pitch, height: PLAN.rows * PLAN.pitch };
    const middle = { x: PLAN.x + size.width / 2, y: PLAN.y + size.height / 2 };
    expect(apart(SPOTS.matProbe, middle)).toBeLessThan(size.width / 4);
    expect(SPOTS.cutOut.x).toBeGreaterThan(PLAN.x);
    // 98 plugs fill a tray of half a metre: a hand is 80 mm or more of it.
    const mmOnSheet = size.width / 500;
    expect(apart(SPOTS.matProbe, SPOTS.cutOut)).toBeGreaterThanOrEqual(70 * mmOnSheet);
  });
});
