/** The story of a journal: incidents, each a chain of findings with one cause, the worst first. Pure. */
import type { AlarmName } from '../../shared/alarms/catalogue';
import type { DatedEntry } from '../journal/dating';
import type { KnownProfiles } from '../journal/profiles';
import { CAUSES } from './causes';
import { wrongDoses } from './doses';
import { fastDrying } from './drying';
import { drySpells } from './dryness';
import { type Cause, type Finding, INCIDENT_KINDS } from './finding';
import { handling } from './handling';
import { heatSpells } from './heat';
import { inflows } from './inflow';
import { STORY_LIMITS } from './limits';
import { lockOuts } from './lock-out';
import { cutOffMats } from './mat-open';
import { otherAlarms } from './other-alarms';
import { outages } from './outage';
import { type Record, recordOf } from './record';
import { restarts } from './restarts';
import { type Stand, standOf } from './stand';
import { wrongSupplies } from './supply';
import { withSoundTimes } from './time-line';

/** One thing that went wrong, with all that came of it. */
export interface Incident {
  readonly fromMs: number;
  readonly toMs: number;
  readonly open: boolean;
  /** Causes before what came of them, each kind in order of time. */
  readonly findings: readonly Finding[];
  /** Of all findings together, the likeliest first. */
  readonly causes: readonly Cause[];
  readonly alarms: readonly AlarmName[];
  readonly weight: number;
  /** It does more harm by the hour, and waits for hands. */
  readonly urgent: boolean;
}

export interface Story {
  readonly stand: Stand;
  /** What does harm now, then the worst: whoever comes back acts on the first one, and may not read to the end. */
  readonly incidents: readonly Incident[];
}

/** The story of one life of a journal; `entries` in the order of their sequence. */
export function storyOf(entries: readonly DatedEntry[], profiles: KnownProfiles): Story {
  return storyOfRecord(recordOf(withSoundTimes(entries), profiles));
}

export function storyOfRecord(record: Record): Story {
  const stand = standOf(record);
  const failed = [
    ...outages(stand),
    ...restarts(stand),
    ...lockOuts(stand),
    ...handling(stand),
    ...inflows(stand),
  ];
  const causes = [...failed, ...wrongSupplies(stand, failed), ...cutOffMats(stand)];
  const drying = fastDrying(stand).filter((one) => !isFollowUp(one, causes));
  const found = [...causes, ...drying, ...wrongDoses(stand)];
  const all = [...found, ...drySpells(stand, found), ...heatSpells(stand, found)];
  const findings = [...all, ...otherAlarms(stand, all)];
  return { stand, incidents: chained(findings) };
}

/** Water that ran in runs out again, and not much more than that. */
function isFollowUp(drying: Finding, causes: readonly Finding[]): boolean {
  return causes.some(
    ({ kind, fromMs, toMs, measures }) =>
      kind === 'inflow' &&
      drying.fromMs >= fromMs &&
      drying.fromMs <= toMs + STORY_LIMITS.chainMs &&
      (drying.measures.lostG ?? 0) <= STORY_LIMITS.runsOutAgain * (measures.gainedG ?? 0),
  );
}

/** Findings of one cause that touch are one incident. */
function chained(findings: readonly Finding[]): readonly Incident[] {
  const chains: Finding[][] = [];
  const off = findings.filter(({ kind }) => kind === 'outage');
  for (const finding of [...findings].sort((a, b) => a.fromMs - b.fromMs)) {
    const chain = chains.find((one) => belongs(finding, one, off));
    if (chain === undefined) chains.push([finding]);
    else chain.push(finding);
  }
  return chains.map(incidentOf).sort((a, b) => byHarm(a, b) || a.fromMs - b.fromMs);
}

/** What does harm now before what is over or held, then the worst. */
export const byHarm = (
  a: Pick<Incident, 'urgent' | 'weight'>,
  b: Pick<Incident, 'urgent' | 'weight'>,
): number => Number(b.urgent) - Number(a.urgent) || b.weight - a.weight;

/** A room too warm by day is one thing, not one a day; and while the power was out nobody could see it go on. */
function apartMs(a: Finding, b: Finding, off: readonly Finding[]): number {
  const bothWarm = a.kind === 'warm' && b.kind === 'warm';
  const [fromMs, toMs] = [Math.min(a.toMs, b.toMs), Math.max(a.fromMs, b.fromMs)];
  const offMs = off
    .filter((one) => one.toMs >= fromMs && one.fromMs <= toMs)
    .reduce((sum, one) => sum + one.toMs - one.fromMs, 0);
  return (bothWarm ? STORY_LIMITS.warmDaysMs : STORY_LIMITS.chainMs) + offMs;
}

function belongs(finding: Finding, chain: readonly Finding[], off: readonly Finding[]): boolean {
  const [cause] = finding.causes;
  return (
    cause !== undefined &&
    cause.cause !== 'not-told' &&
    chain.some(
      (other) =>
        other.causes[0]?.cause === cause.cause &&
        finding.fromMs <= other.toMs + apartMs(finding, other, off) &&
        other.fromMs <= finding.toMs + apartMs(finding, other, off),
    )
  );
}

/** It goes on, and the controller cannot stop it. */
function isUrgent(findings: readonly Finding[], [cause]: readonly Cause[]): boolean {
  if (cause === undefined || CAUSES[cause.cause].runsOn !== true) return false;
  return findings.some(({ open, causes }) => open && causes[0]?.cause === cause.cause);
}

function incidentOf(chain: readonly Finding[]): Incident {
  const rankOf = ({ kind }: Finding): number => INCIDENT_KINDS.indexOf(kind);
  const findings = [...chain].sort((a, b) => rankOf(a) - rankOf(b) || a.fromMs - b.fromMs);
  // Those of the first in the chain of causes are those of the whole; of several of that kind the gravest tells most.
  const roots = findings.filter(({ kind }) => kind === findings[0]?.kind);
  const gravest = roots.reduce<Finding | undefined>(
    (most, one) => (most === undefined || one.weight > most.weight ? one : most),
    undefined,
  );
  const causes = gravest?.causes ?? [];
  return {
    fromMs: Math.min(...chain.map(({ fromMs }) => fromMs)),
    toMs: Math.max(...chain.map(({ toMs }) => toMs)),
    open: chain.some(({ open }) => open),
    findings,
    causes,
    alarms: [...new Set(findings.flatMap(({ alarms }) => alarms))],
    weight: findings.reduce((sum, { weight }) => sum + weight, 0),
    urgent: isUrgent(findings, causes) || findings.some(({ kind, open }) => kind === 'dry' && open),
  };
}
