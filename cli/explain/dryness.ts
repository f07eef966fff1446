/** Spells in which the wool was drier than its stage bears, and why: what was found before them took the water, or kept it away. Pure. */
import { emergenceStage } from '../../shared/profile/first-feed';
import { waters } from '../../shared/profile/profile';
import { HOUR_MS } from '../../shared/units/time';
import { overlaps } from './alarm-spans';
import { type CauseRule, type Claim, claim, type Finding, piece, rank } from './finding';
import { DRYNESS_EVIDENCE as LIMITS } from './limits';
import { raisedClaim } from './raised';
import { notesOf, type Reading, type Record } from './record';
import type { Stand } from './stand';
import type { Away } from './weights';

interface DrySpell {
  /** The first reading past the share, and the last. */
  readonly fromMs: number;
  readonly toMs: number;
  /** It was so at the last reading that tells. */
  readonly open: boolean;
  /** When the tray began to dry, as far as this spell goes. */
  readonly onsetMs: number;
  readonly bearsShare: number;
  readonly worst: Reading;
  readonly readings: readonly Reading[];
}

/** `others`: what has been found so far, which may be the cause. */
export function drySpells(stand: Stand, others: readonly Finding[]): readonly Finding[] {
  return spellsOf(stand).map((spell) => finding(stand, spell, others));
}

/** Readings that tell how dry the wool was: the tray stood on a scale that was still. */
function tellingOf(record: Record, aways: readonly Away[]): readonly Reading[] {
  return record.readings.filter(
    ({ atMs, stage, dryBackShare, spreadG, note }) =>
      note.dated.entry.kind === 'reading' &&
      stage !== null &&
      Number.isFinite(dryBackShare) &&
      dryBackShare <= 1 &&
      !(spreadG > LIMITS.steadyG) &&
      !aways.some(({ fromMs, toMs }) => atMs >= fromMs && atMs <= toMs),
  );
}

function spellsOf({ record, aways }: Stand): readonly DrySpell[] {
  const telling = tellingOf(record, aways);
  const spells: DrySpell[] = [];
  let run: Reading[] = [];
  let onsetMs = telling[0]?.atMs ?? 0;
  const close = (open: boolean): void => {
    spells.push(...spellOf(run, onsetMs, open));
    run = [];
  };
  for (const reading of telling) {
    const bears = bearsOf(reading);
    if (reading.dryBackShare > bears) {
      run.push(reading);
      continue;
    }
    close(false);
    // Hardly dry, or wetter than before: what dries it further has yet to begin.
    if (reading.dryBackShare <= LIMITS.onsetPart * bears) onsetMs = reading.atMs;
  }
  close(true);
  return spells;
}

const bearsOf = ({ stage }: Reading): number => stage?.rescue.share ?? Number.POSITIVE_INFINITY;

function spellOf(run: readonly Reading[], onsetMs: number, open: boolean): readonly DrySpell[] {
  const [first] = run;
  const last = run.at(-1);
  if (first === undefined || last === undefined || last.atMs - first.atMs < LIMITS.lastsMs)
    return [];
  const worst = run.reduce((most, one) => (one.dryBackShare > most.dryBackShare ? one : most));
  const bearsShare = bearsOf(worst);
  return [{ fromMs: first.atMs, toMs: last.atMs, open, onsetMs, bearsShare, worst, readings: run }];
}

/** What took the water out of the wool, or kept it from coming, while it dried. */
const POINTS: Partial<{ readonly [Kind in Finding['kind']]: (share: number) => number }> = {
  drying: (share) => (share > 0.2 ? 4 : 0),
  doses: () => 3,
  'lock-out': (share) => (share > 0.25 ? 2 + share : 0),
  outage: (share) => (share > 0.25 ? 2 + share : 0),
  restarts: (share) => (share > 0.25 ? 2 + share : 0),
};

function byOthers(spell: DrySpell, others: readonly Finding[]): readonly CauseRule<DrySpell>[] {
  const onset = { fromMs: spell.onsetMs, toMs: spell.worst.atMs };
  return others.flatMap((other): CauseRule<DrySpell>[] => {
    const [cause] = other.causes;
    const pointsOf = POINTS[other.kind];
    if (cause === undefined || pointsOf === undefined || !overlaps(other, onset)) return [];
    const points = pointsOf(coveredShare(other, onset));
    if (points === 0 || !keepsWater(other)) return [];
    const { says, by } = other.what;
    return [{ cause: cause.cause, weigh: () => [piece(true, points, says, by)] }];
  });
}

/** A mat that is held off keeps no water away. */
const keepsWater = ({ kind, alarms }: Finding): boolean =>
  kind !== 'lock-out' || alarms.includes('feed-late');

const coveredShare = (
  other: { readonly fromMs: number; readonly toMs: number },
  { fromMs, toMs }: { readonly fromMs: number; readonly toMs: number },
): number =>
  (Math.min(other.toMs, toMs) - Math.max(other.fromMs, fromMs)) / Math.max(1, toMs - fromMs);

const NOT_TOLD: CauseRule<DrySpell> = {
  cause: 'not-told',
  weigh: ({ worst }) => [piece(true, 0.1, 'nothing in the journal explains it', [worst.note])],
};

function finding(stand: Stand, spell: DrySpell, others: readonly Finding[]): Finding {
  const { fromMs, toMs, open, worst, bearsShare, readings } = spell;
  const ends = [readings[0], worst, readings.at(-1)].flatMap((one) => (one ? [one.note] : []));
  const isSeed = isSeedAt(stand.record, worst);
  const dryPart = Math.min(1, worst.dryBackShare / LIMITS.driedOutShare);
  const hours = (toMs - fromMs) / HOUR_MS;
  return {
    kind: 'dry',
    fromMs,
    toMs,
    open,
    what: claim(
      ({ span, when }) =>
        `The wool was drier than its stage bears for ${span(toMs - fromMs)}, ${when(fromMs, toMs, open)}`,
      [...new Set(ends)],
    ),
    causes: rank([...byOthers(spell, others), NOT_TOLD], spell),
    did: didClaims(stand, spell),
    crop: [
      claim(
        ({ value, time, span }) =>
          `the wool lost up to ${value('share', worst.dryBackShare)} of its water (${time(worst.atMs)}), and was past the ${value('share', bearsShare)} that this stage bears for ${span(toMs - fromMs)}${open ? ', and still is' : ''}`,
        [worst.note],
      ),
      claim(MEANS[isSeed ? 'seed' : 'plants'][dryPart < 1 ? 'dry' : 'driedOut'], [worst.note]),
    ],
    measures: {},
    alarms: ['too-dry'],
    weight: Math.min(LIMITS.weightMost, hours * dryPart * (isSeed ? 4 : 2)) + (open ? 4 : 0),
  };
}

/** What dryness does to them (common practice). */
const MEANS = {
  seed: {
    dry: 'seed that has begun to germinate dies when it dries: see that the wool round it is wet',
    driedOut:
      'seed that has begun to germinate and dries out dies: wet the wool again, wait as long as it takes to come up, and sow again what stays away',
  },
  plants: {
    dry: 'drier than that, growth stands still: see that nothing wilts',
    driedOut:
      'roots in dry wool die back, and salts grow stronger in what water is left: shade what wilts until it stands again',
  },
} as const;

/** Whether seed lies in the wool that is not up yet. */
function isSeedAt(record: Record, { atMs, stage, stageIndex }: Reading): boolean {
  const profile = record.profileAt(atMs);
  return profile !== null && !waters(stage) && stageIndex <= emergenceStage(profile.stages);
}

/** Rescue doses that it gave, or what kept it from giving water. */
function didClaims({ record, spans }: Stand, { fromMs, toMs }: DrySpell): readonly Claim[] {
  const here = { fromMs, toMs };
  const doses = notesOf(record, 'dose')
    .filter(
      ({ atMs, entry }) => entry.reason === 'rescue' && atMs >= fromMs && atMs <= toMs + HOUR_MS,
    )
    .map((dose) =>
      claim(
        ({ value, time }) => {
          const proof =
            dose.entry.verdict === 'seen'
              ? `, and the scale saw ${value('mass', dose.entry.gainedG)} come`
              : ', and the scale did not prove it';
          return `It gave a rescue dose of ${value('volume', dose.entry.plannedMl)} (${time(dose.atMs)})${proof}`;
        },
        [dose],
      ),
    );
  const raised = spans.find((span) => span.alarm === 'too-dry' && overlaps(span, here));
  return [
    ...doses,
    ...(raised === undefined ? [] : [raisedClaim(raised, 'that the tray is too dry')]),
  ];
}
