/** A stored journal and a time, made into the account that is printed or given to programs. Pure but for the zone of time. */
import { ADVICE } from '../../shared/alarms/advice';
import type { UnitSystem } from '../../shared/units';
import { MINUTE_MS } from '../../shared/units/time';
import { type DatedEntry, dateEntries, within } from '../journal/dating';
import type { KnownProfiles } from '../journal/profiles';
import type { StoredLife } from '../journal/store';
import { CAUSES, type CauseName } from './causes';
import type { Cause, Claim, Finding, IncidentKind, Measures, Show } from './finding';
import { notices } from './other-alarms';
import { isOnItsWay, type Quiet, quietOf, quietText } from './quiet';
import { showIn, unixOf } from './show';
import type { Stand } from './stand';
import { stepsFor } from './steps';
import { byHarm, type Incident, type Story, storyOf } from './story';
import { withSoundTimes } from './time-line';
import { unknownsOf } from './unknown';

/** A sentence with the numbers of the entries that bear it out. */
export interface ToldClaim {
  readonly says: string;
  /** Sequence numbers in the journal. */
  readonly entries: readonly number[];
}

export interface ToldCause {
  readonly cause: CauseName;
  readonly says: string;
  readonly fit: Cause['fit'];
  readonly speaksFor: readonly ToldClaim[];
  readonly speaksAgainst: readonly ToldClaim[];
}

export interface ToldFinding {
  readonly kind: IncidentKind;
  readonly fromUnixMs: number | null;
  readonly toUnixMs: number | null;
  readonly forS: number;
  readonly what: ToldClaim;
  readonly did: readonly ToldClaim[];
  readonly crop: readonly ToldClaim[];
  readonly measures: { readonly [Name in keyof Required<Measures>]: number | null };
}

export interface ToldIncident {
  readonly fromUnixMs: number | null;
  readonly toUnixMs: number | null;
  readonly open: boolean;
  /** When it was, in words. */
  readonly when: string;
  readonly causes: readonly ToldCause[];
  readonly findings: readonly ToldFinding[];
  readonly next: readonly string[];
  readonly life: number;
  readonly evidence: readonly DatedEntry[];
}

export interface Account {
  readonly fromMs: number;
  readonly toMs: number;
  readonly incidents: readonly ToldIncident[];
  readonly quiet: Quiet;
  readonly quietText: string;
  readonly notices: readonly string[];
  readonly unknown: readonly string[];
}

export interface Asked {
  readonly sinceMs: number;
  readonly untilMs: number;
  readonly nowMs: number;
  readonly units: UnitSystem;
}

/** The account of what happened between two times, Unix ms. Every life of the journal that reaches into it has its part. */
export function accountOf(
  lives: readonly StoredLife[],
  profiles: KnownProfiles,
  asked: Asked,
): Account {
  const { sinceMs, untilMs } = asked;
  const told = lives
    .map(({ life, entries }) =>
      withSoundTimes(dateEntries(entries, life)).filter((one) => within(one, null, untilMs)),
    )
    .filter(
      (dated, i) => dated.some((one) => within(one, sinceMs, untilMs)) || i === lives.length - 1,
    )
    .map((dated) => tell(dated, profiles, asked));
  const last = told.at(-1) ?? tell([], profiles, asked);
  return {
    fromMs: sinceMs,
    toMs: untilMs,
    incidents: told
      .flatMap(({ incidents }) => incidents)
      .sort((a, b) => byHarm(a.of, b.of))
      .map(({ incident }) => incident),
    quiet: last.quiet,
    quietText: last.quietText,
    notices: told.flatMap((one) => one.notices),
    unknown: told.flatMap((one) => one.unknown),
  };
}

interface LifeTold {
  readonly incidents: readonly { readonly of: Incident; readonly incident: ToldIncident }[];
  readonly quiet: Quiet;
  readonly quietText: string;
  readonly notices: readonly string[];
  readonly unknown: readonly string[];
}

function tell(dated: readonly DatedEntry[], profiles: KnownProfiles, asked: Asked): LifeTold {
  const story = storyOf(dated, profiles);
  const { record } = story.stand;
  const show = showIn(record, asked.units, asked.nowMs);
  // Without any clock nothing can be left out by time.
  const isDated = dated.some(({ unixMs }) => unixMs !== null);
  const [fromMs, toMs] = isDated ? [asked.sinceMs, asked.untilMs] : [record.fromMs, record.toMs];
  const quiet = quietOf(record, fromMs, toMs);
  return {
    incidents: story.incidents
      .filter((one) => one.toMs >= fromMs && one.fromMs <= toMs)
      .map((one) => ({
        of: one,
        incident: toldIncident(story, one, show, dated[0]?.life ?? 1),
      })),
    quiet,
    quietText: quietText(quiet, isOnItsWay(record, fromMs, toMs))(show),
    notices: noticesIn(story.stand, fromMs, toMs, show),
    unknown: unknownsOf(record, fromMs, toMs).map((says) => says(show)),
  };
}

function noticesIn(stand: Stand, fromMs: number, toMs: number, show: Show): readonly string[] {
  return notices(stand)
    .filter((span) => span.toMs >= fromMs && span.fromMs <= toMs)
    .map((span) => `${ADVICE[span.alarm].title}, ${show.time(span.fromMs)}`);
}

function toldIncident(
  { stand }: Story,
  incident: Incident,
  show: Show,
  life: number,
): ToldIncident {
  const { record } = stand;
  const { fromMs, toMs, open, causes, findings } = incident;
  // What came of it may last: that is told below.
  const roots = findings.filter(({ kind }) => kind === findings[0]?.kind);
  const rootFromMs = Math.min(...roots.map((one) => one.fromMs));
  const rootToMs = Math.max(...roots.map((one) => one.toMs));
  const still = roots.some((one) => one.open);
  const isMoment = rootToMs - rootFromMs < MINUTE_MS;
  const begun = show.time(rootFromMs);
  const when = still
    ? `since ${begun}, still`
    : isMoment
      ? begun
      : show.range(rootFromMs, rootToMs);
  return {
    fromUnixMs: rounded(unixOf(record, fromMs)),
    toUnixMs: rounded(unixOf(record, toMs)),
    open,
    when,
    causes: causes.map((cause) => toldCause(cause, show)),
    findings: findings.map((finding) => toldFinding(record, finding, show)),
    next: stepsFor(stand, incident),
    life,
    evidence: evidenceOf(incident),
  };
}

function toldCause({ cause, fit, speaksFor, speaksAgainst }: Cause, show: Show): ToldCause {
  const told = (claims: readonly Claim[]): readonly ToldClaim[] =>
    claims.map((one) => toldClaim(one, show));
  return {
    cause,
    says: CAUSES[cause].says,
    fit,
    speaksFor: told(speaksFor),
    speaksAgainst: told(speaksAgainst),
  };
}

const NO_MEASURES: ToldFinding['measures'] = {
  worstC: null,
  degreeHours: null,
  emergenceDays: null,
  missedMl: null,
  lostG: null,
  gainedG: null,
  unbearableH: null,
};

function toldFinding(record: Stand['record'], finding: Finding, show: Show): ToldFinding {
  const { kind, fromMs, toMs, what, did, crop, measures } = finding;
  return {
    kind,
    fromUnixMs: rounded(unixOf(record, fromMs)),
    toUnixMs: rounded(unixOf(record, toMs)),
    forS: Math.round((toMs - fromMs) / 1000),
    what: toldClaim(what, show),
    did: did.map((one) => toldClaim(one, show)),
    crop: crop.map((one) => toldClaim(one, show)),
    measures: { ...NO_MEASURES, ...measures },
  };
}

const toldClaim = ({ says, by }: Claim, show: Show): ToldClaim => ({
  says: says(show),
  entries: by.map(({ dated }) => dated.entry.sequence),
});

/** Every entry that a claim of it names, once, in order. */
function evidenceOf({ causes, findings }: Incident): readonly DatedEntry[] {
  const claims = [
    ...causes.flatMap(({ speaksFor, speaksAgainst }) => [...speaksFor, ...speaksAgainst]),
    ...findings.flatMap(({ what, did, crop }) => [what, ...did, ...crop]),
  ];
  const bySequence = new Map(
    claims.flatMap(({ by }) => by.map(({ dated }) => [dated.entry.sequence, dated] as const)),
  );
  return [...bySequence.values()].sort((a, b) => a.entry.sequence - b.entry.sequence);
}

const rounded = (ms: number | null): number | null => (ms === null ? null : Math.round(ms));
