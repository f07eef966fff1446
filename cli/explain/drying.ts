/** A tray that lost weight faster than under its lid: the lid, the air, or water that runs out. Pure. */

import { DRYING_LIMITS } from '../../firmware/guard/limits';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import type { AlarmName } from '../../shared/alarms/catalogue';
import { lidText } from '../words/lid';
import { overlaps } from './alarm-spans';
import { type CauseRule, claim, type Finding, piece, rank } from './finding';
import { DRYING_EVIDENCE as LIMITS } from './limits';
import { between, notesOf, type Reading } from './record';
import type { Stand } from './stand';
import type { Rate } from './weights';

const HOUR_MS = 3_600_000;
const MINUTE_MS = 60_000;
/** The guard judges a fall over ten minutes. */
const FALL_MS = WEIGHT_LIMITS.fallingMs;

const EXPLAINED: readonly AlarmName[] = [
  'drying-fast',
  'weight-falling',
  'too-dry',
  'day-cap-reached',
  'mat-no-effect',
  'band-out-of-reach',
  'too-cold',
];

interface Fast {
  readonly rate: Rate;
  readonly usualGPerH: number;
}

interface Facts {
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

const RULES: readonly CauseRule<Facts>[] = [
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
      piece(free, -1, 'water stood free in the tray when it began', [first.note]),
    ],
  },
  {
    cause: 'leak',
    weigh: ({ gPerH, first, last, free, dryBackAtEnd }) => [
      piece(
        gPerH > LIMITS.runsOutGPerH,
        2,
        ({ value }) => `it lost ${value('mass', gPerH)} an hour: no air takes so much`,
        [first.note, last.note],
      ),
      piece(free, 1, 'water stood free in the tray when it began', [first.note]),
      piece(dryBackAtEnd > 0.03, -0.8, 'a leak takes what runs freely, not what the wool holds', [
        last.note,
      ]),
    ],
  },
];

export function fastDrying(stand: Stand): readonly Finding[] {
  const found = runsOf(fastOnes(stand)).flatMap((run) => finding(stand, run));
  return [
    ...found,
    ...suddenFalls(stand).filter((fall) => !found.some((one) => overlaps(one, fall))),
  ];
}

/** Falls that ended, or were disturbed, before a rate could be taken: the guard's alarm tells of them. */
function suddenFalls({ record, spans }: Stand): readonly Finding[] {
  return spans
    .filter(({ alarm }) => alarm === 'weight-falling')
    .flatMap((span): Finding[] => {
      const near = between(record.readings, span.fromMs - FALL_MS, span.fromMs + FALL_MS);
      const known = near.filter(({ trayG }) => Number.isFinite(trayG));
      const [first] = known;
      const last = known.at(-1);
      if (first === undefined || last === undefined) return [];
      const gPerH = (span.raised.entry.value * HOUR_MS) / FALL_MS;
      const lostG = Math.max(span.raised.entry.value, first.trayG - last.trayG);
      const facts: Facts = {
        gPerH,
        usualGPerH: Number.NaN,
        lid: last.stage?.lid ?? '',
        first,
        last,
        lostG,
        free: first.dryBackShare < 0.003,
        dryBackAtEnd: last.dryBackShare,
        moreHeat: false,
      };
      return [
        {
          kind: 'drying',
          fromMs: span.fromMs - FALL_MS,
          toMs: span.fromMs + FALL_MS,
          open: false,
          what: claim(
            ({ value, time }) =>
              `The tray lost ${value('mass', lostG)} within minutes, ${time(span.fromMs)}`,
            [span.raised],
          ),
          causes: rank(RULES, facts),
          did: [
            claim('It gave no water from then on, until somebody says that it is mended', [
              span.raised,
            ]),
          ],
          crop: [
            claim(
              ({ value }) => `Dry-back was ${value('share', last.dryBackShare)} then`,
              [last.note],
            ),
          ],
          measures: { lostG },
          alarms: EXPLAINED,
          weight: 5,
        },
      ];
    });
}

/** Rates that neither the lid nor what was usual explains. */
function fastOnes({ rates, spans }: Stand): readonly (Fast | null)[] {
  const usual: Rate[] = [];
  let lid: string | undefined;
  return rates.map((rate) => {
    const { last, first, gPerH, atMs } = rate;
    if (last.stage?.lid !== lid) {
      lid = last.stage?.lid;
      usual.length = 0;
    }
    if (last.stage === null || first.stage?.lid !== lid) return null;
    while (usual[0] !== undefined && atMs - usual[0].atMs > LIMITS.usualMs) usual.shift();
    const known = usual.length >= LIMITS.usualLeast * 12;
    const usualGPerH = known ? high(usual.map((one) => one.gPerH)) : Number.NaN;
    const least = known
      ? LIMITS.leastGPerH[last.stage.lid]
      : DRYING_LIMITS.leastGPerH[last.stage.lid];
    const limit = Math.max(least, known ? LIMITS.usualTimes * usualGPerH + LIMITS.moreGPerH : 0);
    // A tray above what its wool holds drains: that is no drying.
    const drains =
      first.dryBackShare < -0.005 &&
      !spans.some(
        ({ alarm, fromMs, toMs }) =>
          alarm === 'weight-falling' && fromMs >= rate.fromMs && fromMs <= atMs && toMs >= fromMs,
      );
    if (gPerH <= limit) {
      usual.push(rate);
      return null;
    }
    return drains ? null : { rate, usualGPerH };
  });
}

/** What nine of ten hours stay below. */
function high(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return Math.max(0, sorted[Math.floor(0.9 * (sorted.length - 1))] ?? Number.NaN);
}

function runsOf(ones: readonly (Fast | null)[]): readonly (readonly Fast[])[] {
  const runs: Fast[][] = [];
  let endMs = Number.NEGATIVE_INFINITY;
  for (const one of ones) {
    if (one === null) continue;
    const { fromMs, atMs } = one.rate;
    const last = runs.at(-1);
    if (last !== undefined && fromMs <= endMs + HOUR_MS) last.push(one);
    else runs.push([one]);
    endMs = atMs;
  }
  return runs;
}

function finding({ record, rates, spans }: Stand, run: readonly Fast[]): readonly Finding[] {
  const [begin] = run;
  const end = run.at(-1);
  if (begin === undefined || end === undefined) return [];
  const { first } = begin.rate;
  const { last } = end.rate;
  if (last.atMs - first.atMs < LIMITS.lastsMs || last.stage === null) return [];
  const { lid } = last.stage;
  const gPerH = Math.max(...run.map(({ rate }) => rate.gPerH));
  const lostG = first.trayG - last.trayG;
  const hours = (last.atMs - first.atMs) / HOUR_MS;
  const dose = notesOf(record, 'dose')
    .filter(({ atMs }) => atMs <= first.atMs)
    .at(-1);
  const duty = (from: number, to: number): number => {
    const some = between(record.readings, from, to)
      .map(({ matDutyShare }) => matDutyShare)
      .filter(Number.isFinite);
    return some.reduce((sum, one) => sum + one, 0) / some.length;
  };
  const facts: Facts = {
    gPerH,
    usualGPerH: begin.usualGPerH,
    lid,
    first,
    last,
    lostG,
    free:
      first.dryBackShare < 0.003 || (dose !== undefined && first.atMs - dose.atMs < 90 * MINUTE_MS),
    dryBackAtEnd: last.dryBackShare,
    moreHeat: duty(first.atMs, last.atMs) > duty(first.atMs - 24 * HOUR_MS, first.atMs) + 0.15,
  };
  const told = spans.find(
    ({ alarm, fromMs }) =>
      alarm === 'drying-fast' && fromMs >= first.atMs - HOUR_MS && fromMs <= last.atMs + HOUR_MS,
  );
  const usualG = (Number.isNaN(begin.usualGPerH) ? 0 : begin.usualGPerH) * hours;
  const open = rates.at(-1) === end.rate;
  return [
    {
      kind: 'drying',
      fromMs: first.atMs,
      toMs: last.atMs,
      open,
      what: claim(
        ({ value, time, span }) =>
          `The tray dried too fast: ${value('mass', lostG)} in ${span(last.atMs - first.atMs)}, ${time(first.atMs)} to ${time(last.atMs)}${usualG > 0 ? `, where ${value('mass', usualG)} is usual` : ''}`,
        [first.note, last.note],
      ),
      causes: rank(RULES, facts),
      did: [
        claim(
          ({ time }) =>
            told === undefined
              ? 'Nothing: it was not enough for its alarm'
              : `It told so at ${time(told.fromMs)}`,
          told === undefined ? [] : [told.raised],
        ),
      ],
      crop: [
        claim(
          ({ value }) =>
            `Dry-back went from ${value('share', first.dryBackShare)} to ${value('share', last.dryBackShare)}`,
          [first.note, last.note],
        ),
      ],
      measures: { lostG },
      alarms: EXPLAINED,
      weight: Math.min(20, hours * (gPerH > LIMITS.runsOutGPerH ? 4 : 1.5)) + (open ? 3 : 0),
    },
  ];
}
