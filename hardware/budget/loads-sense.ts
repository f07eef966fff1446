/**
 * The sense line of mat and pump at its worst: which ratios of its two readings (switch of the mat open over closed)
 * each case can give, and what one failed part puts into the controller's pin.
 */
import { loadNodes, type MatPath } from '../../shared/board/loads';
import {
  ADC_FULL_SCALE,
  ADC_REFERENCE_V,
  belowPinOhm,
  type LoadNodes,
  loadsSenseCode,
  type SenseOhms,
} from '../../shared/board/map';
import { ADC, LOGIC, RAIL, SENSE } from '../circuit/limits';

/** In the order of their ratios, from one on. */
export const MAT_CASES = ['welded', 'lead-open', 'sound', 'fuse-blown'] as const;
export type MatCase = (typeof MAT_CASES)[number];

export interface Range {
  readonly min: number;
  readonly max: number;
}

const PATHS: Readonly<Record<MatCase, Omit<MatPath, 'switchClosed'>>> = {
  welded: { fuse: 'whole', lead: 'whole' },
  'lead-open': { fuse: 'whole', lead: 'open' },
  sound: { fuse: 'whole', lead: 'whole' },
  'fuse-blown': { fuse: 'blown', lead: 'whole' },
};

/** Resistances that the parallel branches amount to, seen from the sum. */
const branchesOhm = ({ matSupplyOhm, matFeedOhm, matLowOhm, pumpFeedOhm }: SenseOhms): number =>
  1 / (1 / matSupplyOhm + 1 / matFeedOhm + 1 / matLowOhm + 1 / pumpFeedOhm);
const parallel = (a: number, b: number): number => (a * b) / (a + b);

/** What the pin's own leakage shifts every reading by, LSB. */
export function leakageLsb(ohms: SenseOhms): number {
  const sourceOhm = parallel(belowPinOhm(ohms), ohms.seriesOhm + branchesOhm(ohms));
  return (LOGIC.leakageA * sourceOhm * ADC_FULL_SCALE) / ADC_REFERENCE_V;
}

/** Highest code, LSB, with both second switches open and leaking, with a mat and without one. */
export function deadCode(ohms: SenseOhms): number {
  const codes = (['whole', 'open'] as const).map((lead) => {
    const path = { fuse: 'whole', lead, switchClosed: false } as const;
    const nodes = loadNodes(1, path, ohms);
    const pinV = (loadsSenseCode(nodes, ohms) * ADC_REFERENCE_V) / ADC_FULL_SCALE;
    const siemens = nodes.matLowV / ohms.matLowDownOhm + pinV / belowPinOhm(ohms);
    const leaking = loadNodes(SENSE.feedSwitchLeakageA / siemens, path, ohms);
    const pumpFeedV = SENSE.feedSwitchLeakageA * ohms.pumpRestOhm;
    return loadsSenseCode({ ...leaking, pumpFeedV }, ohms);
  });
  return Math.max(...codes);
}

/** What one burst may be off by for itself, LSB: the converter's errors, and three times its noise. */
export const BURST_LSB =
  ADC.inlLsb + ADC.offsetLsb + (3 * ADC.noiseLsb) / Math.sqrt(ADC.conversionsPerBurst);

/** The two readings of one case, as nodes. */
type Look = readonly [open: LoadNodes, closed: LoadNodes];

/** What stands beside the resistors: the hot diode's leakage and drop, V across the closed switch with the heaviest mat. */
export interface BesideMat {
  readonly freewheelLeakageA: number;
  readonly diodeV: number;
  readonly switchOnV: number;
}

/** Looks at a sound mat: heavy ones pull the rail down, a contactor's coil takes little before and gives back after. */
function soundLooks(railV: number, ohms: SenseOhms, { switchOnV, diodeV }: BesideMat): Look[] {
  const nodes = (feedV: number, matLowV: number): LoadNodes => ({
    matSupplyV: feedV,
    matFeedV: feedV,
    matLowV,
    pumpFeedV: 0,
  });
  const looks: Look[] = [1 - SENSE.sagShare, 1].flatMap((share) =>
    [0, switchOnV].map((lowV): Look => [nodes(railV, railV), nodes(railV * share, lowV)]),
  );
  if (railV < SENSE.coilV) return looks;
  const restV = railV * (1 - SENSE.coilOhm / parallel(ohms.matLowDownOhm, ohms.matLowOhm));
  return [
    ...looks,
    [nodes(railV, restV), nodes(railV, 0)],
    // Just let go, its current still runs through the diode.
    [nodes(railV, railV + diodeV), nodes(railV, 0)],
  ];
}

function looksAt(one: MatCase, railV: number, ohms: SenseOhms, mat: BesideMat): Look[] {
  if (one === 'sound') return soundLooks(railV, ohms, mat);
  // Behind a blown fuse the diode has the same voltage at both ends.
  const most = one === 'lead-open' ? mat.freewheelLeakageA : 0;
  const closed = loadNodes(railV, { ...PATHS[one], switchClosed: true }, ohms);
  if (one === 'welded') return [[closed, closed]];
  return [-SENSE.switchLeakageA, most].map((leakageA): Look => {
    const open = { ...PATHS[one], switchClosed: false };
    return [loadNodes(railV, open, ohms, leakageA), closed];
  });
}

/** Every resistor at either end of `tolerance`. Series and ground shift both readings by one factor. */
function corners(ohms: SenseOhms, tolerance: number): SenseOhms[] {
  const names = [
    'matSupplyOhm',
    'matFeedOhm',
    'matLowOhm',
    'pumpFeedOhm',
    'matLowUpOhm',
    'matLowDownOhm',
  ] as const;
  return names.reduce<SenseOhms[]>(
    (all, name) =>
      all.flatMap((one) =>
        [1 - tolerance, 1 + tolerance].map((share) => ({ ...one, [name]: one[name] * share })),
      ),
    [ohms],
  );
}

/** Smallest and largest ratio of a look, with both readings off by what they may be. */
function spread([open, closed]: Look, ohms: SenseOhms): number[] {
  const shiftLsb = leakageLsb(ohms);
  const [openCode, closedCode] = [loadsSenseCode(open, ohms), loadsSenseCode(closed, ohms)];
  return [-1, 1].flatMap((burst) =>
    [-shiftLsb, shiftLsb].map(
      (shift) => (openCode + burst * BURST_LSB + shift) / (closedCode - burst * BURST_LSB + shift),
    ),
  );
}

type Ranges = Readonly<Record<MatCase, Range>>;

/** By what they are asked for: thousands of ratios each, and the same ones for every circuit with these parts. */
const KNOWN_MOST = 100;
const knownRanges = new Map<string, Ranges>();

/** Ratios that each case can have, over rail, resistors, leakage, mats and the converter's errors. */
export function ratioRanges(
  nominal: SenseOhms,
  mat: BesideMat,
  tolerance: number = SENSE.tolerance,
): Ranges {
  const asked = JSON.stringify([nominal, mat, tolerance]);
  const ranges = knownRanges.get(asked) ?? rangesOf(nominal, mat, tolerance);
  if (knownRanges.size >= KNOWN_MOST) knownRanges.clear();
  knownRanges.set(asked, ranges);
  return ranges;
}

function rangesOf(nominal: SenseOhms, mat: BesideMat, tolerance: number): Ranges {
  const rangeOf = (one: MatCase): Range => {
    const ratios = corners(nominal, tolerance).flatMap((ohms) =>
      [RAIL.minV, RAIL.maxV].flatMap((railV) =>
        looksAt(one, railV, ohms, mat).flatMap((look) => spread(look, ohms)),
      ),
    );
    return { min: Math.min(...ratios), max: Math.max(...ratios) };
  };
  return {
    welded: rangeOf('welded'),
    'lead-open': rangeOf('lead-open'),
    sound: rangeOf('sound'),
    'fuse-blown': rangeOf('fuse-blown'),
  };
}

/** How far apart the nearest two neighbours are: least of the higher over most of the lower. */
export function narrowestGap(ranges: Ranges): {
  readonly between: readonly [MatCase, MatCase];
  readonly gap: number;
} {
  const gaps = MAT_CASES.slice(1).map((higher, i) => {
    const lower = MAT_CASES[i] ?? higher;
    return { between: [lower, higher] as const, gap: ranges[higher].min / ranges[lower].max };
  });
  return gaps.reduce((least, one) => (one.gap < least.gap ? one : least));
}

/** The pin's own pull-down (RP2040 data sheet). */
const PAD_PULL_OHM = { min: 50_000, max: 80_000 } as const;

/**
 * Codes that tell a switch that never closes from a welded one, for both have the ratio 1: the least of the one and the
 * most of the other, over rail, resistors, pull-down and the converter's errors.
 */
export function stuckCodes(
  ohms: SenseOhms,
  tolerance: number = SENSE.tolerance,
): { readonly neverClosesMin: number; readonly weldedMax: number } {
  const codeOf = (feedV: number, switchClosed: boolean, at: SenseOhms): number =>
    loadsSenseCode(loadNodes(feedV, { ...PATHS.sound, switchClosed }, at), at);
  const off = BURST_LSB + leakageLsb(ohms);
  const end = (up: number): SenseOhms => ({
    ...ohms,
    matLowOhm: ohms.matLowOhm * (1 + up),
    seriesOhm: ohms.seriesOhm * (1 - up),
    groundOhm: ohms.groundOhm * (1 + up),
    padPullOhm: up > 0 ? PAD_PULL_OHM.max : PAD_PULL_OHM.min,
  });
  return {
    neverClosesMin: codeOf(RAIL.minV, false, end(-tolerance)) - off,
    weldedMax: codeOf(RAIL.maxV, true, end(tolerance)) + off,
  };
}

/** Voltage, V, at the pin with all nodes at `nodeV`, before the runtime has its pull-down on. */
export function pinV(ohms: SenseOhms, nodeV: number): number {
  return (nodeV * ohms.groundOhm) / (ohms.groundOhm + ohms.seriesOhm + branchesOhm(ohms));
}

/** What the pin's diode clamps to, V: its supply at its least, and the least forward voltage. */
const CLAMPED_V = LOGIC.nominalV * (1 - LOGIC.tolerance) + 0.3;

/** Most current, A, into the pin's diode with one resistor shorted or open and all nodes at the highest rail. */
export function pinFaultA(ohms: SenseOhms): number {
  const { seriesOhm, groundOhm } = ohms;
  const throughDividerA = (upperOhm: number): number =>
    ((RAIL.maxV * groundOhm) / (upperOhm + groundOhm) - CLAMPED_V) / parallel(upperOhm, groundOhm);
  return Math.max(
    throughDividerA(seriesOhm),
    throughDividerA(branchesOhm(ohms)),
    (RAIL.maxV - CLAMPED_V) / (seriesOhm + branchesOhm(ohms)),
  );
}
