/** Tables of the documents about the sense line of mat and pump. */
import { loadNodes, type MatPath } from '../../shared/board/loads';
import {
  ADC_FULL_SCALE,
  ADC_REFERENCE_V,
  LOADS_SENSE,
  type LoadNodes,
  loadsSenseCode,
} from '../../shared/board/map';
import { MAT_CASES, type MatCase, ratioRanges } from '../budget/loads-sense';
import { beside } from '../checks/loads-sense';
import type { Circuit } from '../circuit/kinds';
import { RAIL_CHOICES_V } from '../circuit/limits';
import { markdown } from './markdown';

const CASES: Readonly<
  Record<MatCase, { readonly words: string; readonly path: Omit<MatPath, 'switchClosed'> }>
> = {
  welded: {
    words: 'Q1 welded, or it never closes',
    path: { fuse: 'whole', lead: 'whole' },
  },
  'lead-open': {
    words: 'mat, TC1, plug or a wire of the mat open',
    path: { fuse: 'whole', lead: 'open' },
  },
  sound: { words: 'all is well', path: { fuse: 'whole', lead: 'whole' } },
  'fuse-blown': { words: 'F2 blown', path: { fuse: 'blown', lead: 'whole' } },
};

const codeOf = (one: MatCase, switchClosed: boolean): number =>
  loadsSenseCode(loadNodes(1, { ...CASES[one].path, switchClosed }));

/** Ratio of the two readings in each case, and between what it lies at the worst. */
export function lookTable(circuit: Circuit): string {
  const ranges = ratioRanges(LOADS_SENSE, beside(circuit));
  return markdown(
    ['case', 'Q1 open over Q1 closed', 'at the worst'],
    MAT_CASES.map((one) => {
      const closed = codeOf(one, true);
      const ratio = (one === 'welded' ? closed : codeOf(one, false)) / closed;
      const { min, max } = ranges[one];
      return [CASES[one].words, ratio.toFixed(2), `${min.toFixed(2)} to ${max.toFixed(2)}`];
    }),
  );
}

/** With the controller's wire, and with it the pin's own pull-down, off the terminal. */
const BARE = { ...LOADS_SENSE, padPullOhm: Number.POSITIVE_INFINITY };

const METERED: readonly (readonly [string, MatCase])[] = [
  ['lamp in J2', 'sound'],
  ['no lamp in J2', 'lead-open'],
  ['lamp in J2, F2 out', 'fuse-blown'],
];

/** What a meter shows at terminal SENSE with a lamp in place of the mat. */
export function senseVoltTable(): string {
  const voltsAt = (nodesAt: (railV: number) => LoadNodes): string =>
    RAIL_CHOICES_V.map((railV) => {
      const volts = (loadsSenseCode(nodesAt(railV), BARE) * ADC_REFERENCE_V) / ADC_FULL_SCALE;
      return `${volts.toFixed(2)} V`;
    }).join(', ');
  const voltsOf = (one: MatCase, switchClosed: boolean): string =>
    voltsAt((railV) => loadNodes(railV, { ...CASES[one].path, switchClosed }, BARE));
  const ofPump = voltsAt((pumpFeedV) => ({ matSupplyV: 0, matFeedV: 0, matLowV: 0, pumpFeedV }));
  const at = RAIL_CHOICES_V.join(' and ');
  return markdown(
    ['', `terminal MAT let go, at ${at} V`, 'touched'],
    [
      ...METERED.map(([words, one]) => [words, voltsOf(one, false), voltsOf(one, true)]),
      ['the wire at TP14, that at TP12 out', ofPump, ofPump],
    ],
  );
}
