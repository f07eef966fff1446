/** Spells below or above the band, and why: what was found before - no power, heat held off - or the mat, the room, the lid. Pure. */
import { ALARMS, type AlarmName } from '../../shared/alarms/catalogue';
import { HOUR_MS } from '../../shared/units/time';
import { overlaps } from './alarm-spans';
import type { CauseName } from './causes';
import { effectOf } from './crop';
import { type Cause, type CauseRule, claim, type Finding, piece, rank } from './finding';
import { didClaims } from './heat-acts';
import { COLD_CAUSES, factsOf, type HeatFacts, type Onset, WARM_CAUSES } from './heat-causes';
import { STORY_LIMITS } from './limits';
import { type Spell, spellsOf, splitAt } from './root-zone';
import type { Stand } from './stand';
import type { Noted } from './time-line';

/** Cold and warm spells; `others`: what has been found so far, which may be their cause. */
export function heatSpells(stand: Stand, others: readonly Finding[]): readonly Finding[] {
  const marked = stand.aways.filter((one) => one.marked);
  return (['cold', 'warm'] as const).flatMap((side) =>
    spellsOf(stand.record, stand.points, side, marked).flatMap((spell) =>
      told(stand, spell, others),
    ),
  );
}

/**
 * A spell, in two where what explains it came only later: a dead mat may have begun what a broken probe went on with.
 */
function told(stand: Stand, spell: Spell, others: readonly Finding[]): readonly Finding[] {
  const whole = finding(stand, spell, others);
  const cause = whole.causes[0]?.cause;
  const own = others.filter(
    (other) => other.causes[0]?.cause === cause && other.toMs >= spell.fromMs,
  );
  const laterMs = Math.min(...own.map(({ fromMs }) => fromMs));
  if (!(laterMs > spell.fromMs + STORY_LIMITS.laterMs && laterMs < spell.toMs)) return [whole];
  const [first, second] = splitAt(spell, laterMs);
  if (first === null || second === null) return [whole];
  const begun = finding(
    stand,
    first,
    others.filter((other) => !own.includes(other)),
  );
  const other = begun.causes[0]?.cause ?? 'not-told';
  return other === cause || other === 'not-told'
    ? [whole]
    : [begun, finding(stand, second, others)];
}

/** Rules that make an earlier finding the cause of a cold spell: it took the heat away while the root zone fell. */
function byOthers(
  spell: Spell,
  onset: Onset,
  others: readonly Finding[],
): readonly CauseRule<HeatFacts>[] {
  return others.flatMap((other): CauseRule<HeatFacts>[] => {
    const [cause] = other.causes;
    if (
      cause === undefined ||
      !overlaps(other, { fromMs: onset.fromMs - HOUR_MS, toMs: onset.toMs })
    )
      return [];
    const share = other.unmeasured ? 1 : coveredShare(other, onset);
    const points = pointsOf(other, spell, share);
    return points === 0
      ? []
      : [
          {
            cause: cause.cause,
            weigh: () => [piece(true, points, other.what.says, other.what.by)],
          },
        ];
  });
}

/** Of what is wrong with a supply: what leaves the mat without current. */
const TAKES_HEAT: readonly CauseName[] = [
  'supply-dead',
  'mat-lead',
  'mat-cut-out',
  'mat-fuse',
  'mat-switch-open',
];

function pointsOf(other: Finding, { side }: Spell, share: number): number {
  if (side === 'warm') {
    const heats = other.causes[0]?.cause === 'mat-stuck-on';
    return heats && share > 0.3 ? 3 : 0;
  }
  switch (other.kind) {
    case 'supply':
      return TAKES_HEAT.some((cause) => cause === other.causes[0]?.cause) && share > 0.25
        ? 2 + 2 * share
        : 0;
    case 'outage':
    case 'restarts':
      return share > 0.25 ? 2 + 2 * share : 0;
    case 'lock-out': {
      const dropsMat = other.alarms.some((alarm) => ALARMS[alarm].dropsMat);
      return dropsMat && share > 0.25 ? 2 + 2 * share : 0;
    }
    case 'handling':
      return other.causes[0]?.cause === 'tray-lifted' && share > 0.25 ? 2 + 2 * share : 0;
    case 'drying':
      return share > 0.3 ? 2.4 : 0;
    case 'inflow':
      // More than that it was given water, which is the same water.
      return share > 0.2 ? 2.6 : 0;
    default:
      return 0;
  }
}

const coveredShare = (other: Finding, { fromMs, toMs }: Onset): number =>
  Math.max(0, Math.min(other.toMs, toMs) - Math.max(other.fromMs, fromMs)) /
  Math.max(1, toMs - fromMs);

function finding(stand: Stand, spell: Spell, others: readonly Finding[]): Finding {
  const { side, worst, fromMs, toMs, open, before } = spell;
  const onset = { fromMs: Math.min(fromMs, before?.atMs ?? fromMs), toMs: worst.atMs };
  const facts = factsOf(stand, spell, onset);
  const own = side === 'cold' ? COLD_CAUSES : WARM_CAUSES;
  const causes = rank([...own, ...byOthers(spell, onset, others)], facts);
  const effect = effectOf(stand.record, spell);
  const edge = side === 'cold' ? 'below' : 'above';
  const most = side === 'cold' ? 'coldest' : 'warmest';
  const note = worst.byMat ? ', by the mat probe, because the other was in doubt' : '';
  return {
    kind: side,
    fromMs,
    toMs,
    open,
    what: claim(
      ({ value, time, when, span }) =>
        `Root zone ${edge} its band for ${span(toMs - fromMs)}, ${when(fromMs, toMs, open)}, ${most} ${value('temperature', worst.celsius)} (${time(worst.atMs)})${note}`,
      ends(spell),
    ),
    causes,
    did: didClaims(stand, spell, facts),
    crop: effect.claims,
    measures: {
      worstC: worst.celsius,
      degreeHours: spell.degreeHours,
      ...(effect.emergenceDays === null ? {} : { emergenceDays: effect.emergenceDays }),
      ...(effect.unbearableH > 0 ? { unbearableH: effect.unbearableH } : {}),
    },
    alarms:
      side === 'cold'
        ? ['too-cold', 'band-out-of-reach', ...(isMats(causes[0]) ? MAT_ALARMS : [])]
        : ['too-warm', 'root-zone-hot', 'mat-stuck-on'],
    weight: spell.degreeHours / (side === 'cold' ? 2 : 1) + (open ? 3 : 0),
  };
}

/** A mat that works has no such alarm: beside another cause it tells of another trouble. */
const MAT_ALARMS: readonly AlarmName[] = ['mat-no-effect'];
const isMats = (cause: Cause | undefined): boolean =>
  cause?.cause === 'mat-dead' || cause?.cause === 'cold-water';

function ends({ points, before, worst }: Spell): readonly Noted[] {
  const some = [before, points[0], worst, points.at(-1)].flatMap((point) =>
    point ? [point.reading.note] : [],
  );
  return [...new Set(some)];
}
