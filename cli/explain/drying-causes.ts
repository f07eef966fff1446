/** What makes a tray dry too fast, and what of the record speaks for each. Pure. */
import { lidText } from '../words/lid';
import { type CauseRule, piece } from './finding';
import { DRYING_EVIDENCE as LIMITS } from './limits';
import type { Reading } from './record';

export interface DryingFacts {
  readonly gPerH: number;
  /** NaN while it is not known. */
  readonly usualGPerH: number;
  readonly lid: string;
  readonly first: Reading;
  readonly last: Reading;
  readonly lostG: number;
  /** Water stood above what the wool holds when it began, or a dose had just come. */
  readonly free: boolean;
  readonly dryBackAtEnd: number;
  /** The mat worked harder than before. */
  readonly moreHeat: boolean;
}

/** A lid that lies loose or ajar instead of being off lets so much of that through. */
const AJAR_GPERH = 7;

export const DRYING_CAUSES: readonly CauseRule<DryingFacts>[] = [
  {
    cause: 'lid-open',
    weigh: ({ gPerH, usualGPerH, lid, first, last, moreHeat }) => [
      piece(
        gPerH <= LIMITS.runsOutGPerH,
        2,
        ({ value }) => `it lost ${value('mass', gPerH)} an hour, as a tray does without a lid`,
        [first.note, last.note],
      ),
      piece(
        gPerH <= LIMITS.runsOutGPerH && usualGPerH < 2,
        0.4,
        ({ value }) => `${value('mass', usualGPerH)} an hour is usual with the lid ${lidText(lid)}`,
        [first.note],
      ),
      piece(moreHeat, 0.3, 'the mat had to heat more than before', [last.note]),
      piece(gPerH > LIMITS.runsOutGPerH, -3, 'no air takes water so fast', [first.note, last.note]),
    ],
  },
  {
    cause: 'moving-air',
    weigh: ({ gPerH, first, last }) => [
      piece(gPerH <= LIMITS.runsOutGPerH, 1.2, 'moving air does the same', [first.note, last.note]),
    ],
  },
  {
    cause: 'lid-broken',
    weigh: ({ gPerH, first, last }) => [
      piece(
        gPerH <= LIMITS.runsOutGPerH,
        1.1,
        'a broken lid does the same, though it lets less through',
        [first.note, last.note],
      ),
      piece(gPerH > AJAR_GPERH, -0.6, 'it lost more than a gap lets out', [first.note, last.note]),
    ],
  },
  {
    cause: 'wick',
    weigh: ({ gPerH, first, last, free, dryBackAtEnd }) => [
      piece(
        gPerH > LIMITS.runsOutGPerH,
        2,
        ({ value }) => `it lost ${value('mass', gPerH)} an hour: no air takes so much`,
        [first.note, last.note],
      ),
      piece(
        gPerH > LIMITS.runsOutGPerH && dryBackAtEnd > 0.03,
        1.5,
        'it went on when only the wool held water',
        [last.note],
      ),
      piece(gPerH > LIMITS.runsOutGPerH && free, -1, 'water stood free in the tray when it began', [
        first.note,
      ]),
    ],
  },
  {
    cause: 'leak',
    weigh: ({ gPerH, first, last, free, dryBackAtEnd, moreHeat }) => [
      piece(
        gPerH > LIMITS.runsOutGPerH,
        2,
        ({ value }) => `it lost ${value('mass', gPerH)} an hour: no air takes so much`,
        [first.note, last.note],
      ),
      piece(gPerH <= LIMITS.runsOutGPerH, 0.9, 'a slow leak does the same', [
        first.note,
        last.note,
      ]),
      piece(
        gPerH <= LIMITS.runsOutGPerH && moreHeat,
        -0.5,
        'the mat had to heat more: water that dries takes heat, water that runs out does not',
        [last.note],
      ),
      piece(free, 1, 'water stood free in the tray when it began', [first.note]),
      piece(
        gPerH > LIMITS.runsOutGPerH && dryBackAtEnd > 0.03,
        -0.8,
        'a leak takes what runs freely, not what the wool holds',
        [last.note],
      ),
    ],
  },
];
