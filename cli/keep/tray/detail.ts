/** What the journal adds to a status, for messages: causes as `explain` has them, and how long it can wait. Pure but for the zone of time. */

import type { Status } from '../../../shared/link/status';
import type { UnitSystem } from '../../../shared/units';
import { HOUR_MS } from '../../../shared/units/time';
import type { StatusAhead } from '../../away/status';
import { statusAhead } from '../../away/status';
import { CAUSES } from '../../explain/causes';
import { type Quiet, quietOf } from '../../explain/quiet';
import { showIn, unixOf } from '../../explain/show';
import { stepsFor } from '../../explain/steps';
import { type Incident, type Story, storyOf } from '../../explain/story';
import { forecastOf } from '../../forecast/forecast';
import { dryUnwateredMs } from '../../forecast/unwatered';
import { dateEntries } from '../../journal/dating';
import type { KnownProfiles } from '../../journal/profiles';
import type { StoredLife } from '../../journal/store';
import type { Trouble } from '../decide/model';
import { MESSAGE_LIMITS } from '../limits';

/** What `explain` says of a topic. */
export interface Why {
  /** `the power was out`. */
  readonly says: string;
  readonly evidence: readonly string[];
  readonly next: readonly string[];
}

export interface Detail {
  readonly causeOf: Readonly<Partial<Record<Trouble, string>>>;
  /** Null where no incident of the journal has any of these. */
  readonly whyOf: (troubles: readonly Trouble[]) => Why | null;
  /** When the wool is too dry if no water comes, Unix ms; null: not known, or not soon. */
  readonly dryAtMs: number | null;
}

export const NO_DETAIL: Detail = { causeOf: {}, whyOf: () => null, dryAtMs: null };

/** Incidents that ended so long before belong to nothing that stands now. */
const PAST_MS = 6 * HOUR_MS;

export interface Kept {
  readonly life: StoredLife;
  readonly profiles: KnownProfiles;
  readonly status: Status | null;
  readonly units: UnitSystem;
  /** Unix ms where the tray is. */
  readonly nowMs: number;
}

export function detailOf(kept: Kept): Detail {
  const { life, profiles, units, nowMs } = kept;
  const story = storyOf(dateEntries(life.entries, life.life), profiles);
  const { record } = story.stand;
  const lately = story.incidents.filter(({ open, toMs }) => open || record.toMs - toMs <= PAST_MS);
  const show = showIn(record, units, nowMs);
  return {
    causeOf: causesOf(lately),
    whyOf(troubles) {
      const incident = lately.find((one) => isOf(one, troubles));
      const [best, ...others] = incident?.causes ?? [];
      if (incident === undefined || best === undefined || best.cause === 'not-told') return null;
      const possible = others.filter(({ fit }) => fit === 'possible');
      return {
        says: [best, ...possible].map(({ cause }) => CAUSES[cause].says).join('; or '),
        // That the alarm came is what the message is about.
        evidence: best.speaksFor.map(({ says }) => says(show)).filter((one) => !isAlarmAlone(one)),
        next: stepsFor(story.stand, incident),
      };
    },
    dryAtMs: dryAt(story, kept),
  };
}

/** Of a tray that was silent a power cut or its restarts tell why. */
function isOf({ alarms, findings }: Incident, troubles: readonly Trouble[]): boolean {
  if (!troubles.includes('unheard')) return alarms.some((one) => troubles.includes(one));
  return findings.some(({ kind }) => kind === 'outage' || kind === 'restarts');
}

const isAlarmAlone = (says: string): boolean => /^(alarm ".*"|its alarm stands alone)$/.test(says);

function causesOf(incidents: readonly Incident[]): Detail['causeOf'] {
  const told = incidents.flatMap(({ alarms, causes }) => {
    const cause = causes[0]?.cause;
    if (cause === undefined || cause === 'not-told') return [];
    return alarms.map((alarm) => [alarm, cause] as const);
  });
  // The worst incident comes first, and is the one that counts.
  return Object.fromEntries([...told].reverse());
}

function dryAt({ stand }: Story, { status, nowMs }: Kept): number | null {
  const found = forecastOf(stand, stand.record.toMs, status);
  if (!found.ok) return null;
  const inMs = dryUnwateredMs(found.forecast.place, found.forecast.uptake);
  return inMs === null ? null : nowMs + inMs;
}

/** A day of a tray, for its morning line. */
export interface Day {
  readonly quiet: Quiet;
  /** What went wrong, in `explain`'s words, and is over. */
  readonly past: readonly string[];
  readonly ahead: StatusAhead | null;
}

export function dayOf(kept: Kept): Day {
  const { life, profiles, status, units, nowMs } = kept;
  const { stand, incidents } = storyOf(dateEntries(life.entries, life.life), profiles);
  const { record } = stand;
  const fromMs = record.toMs - MESSAGE_LIMITS.dayMs;
  const endMs = unixOf(record, record.toMs);
  const show = showIn(record, units, nowMs);
  const isFresh = endMs === null || nowMs - endMs < MESSAGE_LIMITS.dayMs;
  return {
    quiet: quietOf(record, isFresh ? fromMs : record.toMs + 1, record.toMs),
    past: incidents
      .filter(({ open, toMs }) => isFresh && !open && toMs >= fromMs)
      .flatMap(({ findings }) => findings.slice(0, 1).map(({ what }) => what.says(show))),
    ahead: status === null ? null : aheadOf({ ...kept, status }),
  };
}

function aheadOf({ life, nowMs, ...kept }: Kept & { readonly status: Status }): StatusAhead | null {
  const found = statusAhead({ ...kept, lives: [life], nowUnixMs: nowMs });
  return found.ok ? found.ahead : null;
}
