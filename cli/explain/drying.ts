/** A tray that lost weight faster than under its lid: the lid, the air, or water that runs out. Pure. */

import { WEIGHT_LIMITS } from '../../firmware/limits';
import type { AlarmName } from '../../shared/alarms/catalogue';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { type AlarmSpan, overlaps } from './alarm-spans';
import { DRYING_CAUSES, type DryingFacts } from './drying-causes';
import { type Fast, fastOnes, runsOf } from './drying-usual';
import { type Claim, claim, type Finding, rank } from './finding';
import { DRYING_EVIDENCE as LIMITS } from './limits';
import { raisedClaim } from './raised';
import { between, notesOf, type Reading } from './record';
import type { Stand } from './stand';
import type { Rate } from './weights';

/** The guard judges a fall over ten minutes. */
const FALL_MS = WEIGHT_LIMITS.fallingMs;

/** Above container capacity by more than the scale's doubt: water stands free in the tray. */
const FREE_SHARE = -0.002;

const EXPLAINED: readonly AlarmName[] = [
  'drying-fast',
  'weight-falling',
  'too-dry',
  'day-cap-reached',
  'mat-no-effect',
  'band-out-of-reach',
  'too-cold',
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
      const facts: DryingFacts = {
        gPerH,
        usualGPerH: Number.NaN,
        lid: last.lid?.place ?? '',
        first,
        last,
        lostG,
        free: first.dryBackShare < FREE_SHARE,
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
          causes: rank(DRYING_CAUSES, facts),
          did: [heldClaim(span)],
          crop: cropClaims(first, last),
          measures: { lostG },
          alarms: EXPLAINED,
          weight: 5,
        },
      ];
    });
}

/** Less than this is the scale's noise, g. */
const FELL_G = 1;

/** A rate is taken over an hour: the fall began with the last reading that had not lost anything yet. */
function beginOf({ readings }: Stand['record'], { first, atMs }: Rate): Reading {
  const still = between(readings, first.atMs, atMs).filter(
    ({ trayG }) => trayG > first.trayG - FELL_G,
  );
  return still.at(-1) ?? first;
}

/** And it ended with the first reading after which no more was lost than is usual. */
function endOf({ readings }: Stand['record'], { rate, usualGPerH }: Fast): Reading {
  const { first, last } = rate;
  const usual = Number.isNaN(usualGPerH) ? 0 : usualGPerH;
  const rest = between(readings, first.atMs, last.atMs);
  const isOver = ({ trayG, atMs }: Reading): boolean =>
    trayG < last.trayG + FELL_G + (usual * (last.atMs - atMs)) / HOUR_MS;
  return rest.find(isOver) ?? last;
}

function finding({ record, rates, spans }: Stand, run: readonly Fast[]): readonly Finding[] {
  const [begin] = run;
  const end = run.at(-1);
  if (begin === undefined || end === undefined) return [];
  const first = beginOf(record, begin.rate);
  const last = endOf(record, end);
  if (last.atMs - first.atMs < LIMITS.lastsMs || last.lid === null) return [];
  const lid = last.lid.place;
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
  const facts: DryingFacts = {
    gPerH,
    usualGPerH: begin.usualGPerH,
    lid,
    first,
    last,
    lostG,
    free:
      first.dryBackShare < FREE_SHARE ||
      (dose !== undefined && first.atMs - dose.atMs < 90 * MINUTE_MS),
    dryBackAtEnd: last.dryBackShare,
    moreHeat: duty(first.atMs, last.atMs) > duty(first.atMs - 24 * HOUR_MS, first.atMs) + 0.15,
  };
  const usualG = (Number.isNaN(begin.usualGPerH) ? 0 : begin.usualGPerH) * hours;
  const open = rates.at(-1) === end.rate;
  return [
    {
      kind: 'drying',
      fromMs: first.atMs,
      toMs: last.atMs,
      open,
      what: claim(
        ({ value, range, span }) =>
          `The tray dried too fast: ${value('mass', lostG)} in ${span(last.atMs - first.atMs)}, ${range(first.atMs, last.atMs)}${usualG > 0 ? `, where ${value('mass', usualG)} is usual` : ''}`,
        [first.note, last.note],
      ),
      causes: rank(DRYING_CAUSES, facts),
      did: didClaims(spans, first, last),
      crop: cropClaims(first, last),
      measures: { lostG },
      alarms: EXPLAINED,
      weight: Math.min(20, hours * (gPerH > LIMITS.runsOutGPerH ? 4 : 1.5)) + (open ? 3 : 0),
    },
  ];
}

/** Its alarm, and the water that it held back while it could run out again. */
function didClaims(spans: Stand['spans'], first: Reading, last: Reading): readonly Claim[] {
  const near = ({ fromMs }: { readonly fromMs: number }): boolean =>
    fromMs >= first.atMs - HOUR_MS && fromMs <= last.atMs + HOUR_MS;
  const told = spans.find((span) => span.alarm === 'drying-fast' && near(span));
  const held = spans.find((span) => span.alarm === 'weight-falling' && near(span));
  return [
    ...(told === undefined ? [] : [raisedClaim(told)]),
    ...(held === undefined ? [] : [heldClaim(held)]),
  ];
}

const heldClaim = ({ fromMs, raised }: AlarmSpan): Claim =>
  claim(
    ({ time }) => `It gave no water from ${time(fromMs)} on, until somebody says that it is mended`,
    [raised],
  );

/** How dry that made the wool; past what the stage bears the spell of dryness tells it. */
function cropClaims(first: Reading, last: Reading): readonly Claim[] {
  const bears = last.stage?.rescue.share ?? Number.NaN;
  if (!(last.dryBackShare <= bears)) return [];
  return [
    claim(
      ({ value }) =>
        `Dry-back went from ${value('share', first.dryBackShare)} to ${value('share', last.dryBackShare)}, which this stage bears`,
      [first.note, last.note],
    ),
  ];
}
