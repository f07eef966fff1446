/** What `status` tells of the days ahead, by the journal that is kept here where it is fresh. Pure but for the zone of time. */
import type { Status } from '../../shared/link/status';
import type { LidPlace } from '../../shared/profile/profile';
import type { UnitSystem } from '../../shared/units';
import { recordOf } from '../explain/record';
import { standOf } from '../explain/stand';
import { withSoundTimes } from '../explain/time-line';
import { forecastOf } from '../forecast/forecast';
import type { NoPlace } from '../forecast/place';
import { dateEntries } from '../journal/dating';
import type { KnownProfiles } from '../journal/profiles';
import type { StoredLife } from '../journal/store';
import type { Fact } from '../terminal/output';
import { capitalised } from '../words/capitalised';
import { answerOf } from './answer';
import { doseFact, dueText } from './due';
import { lidToMove, lidToMoveText } from './lid-to-move';
import type { HandsLimit, Moment, NextDose } from './model';
import { heldDose } from './next-dose';
import { obstaclesNow } from './obstacles';
import { WHY_NOT } from './why-not';

export interface StatusAhead {
  readonly nextDose: NextDose;
  readonly reservoirUntil: Moment | null;
  readonly nextTask: Omit<HandsLimit, 'by'> | null;
  /** Where the stage that began lately wants the lid, while nobody has said that it is there. */
  readonly lidToMove: LidPlace | null;
}

/** `no-journal`: none of this life is kept here. `journal-old`: the one kept ends too long ago. */
export type NoAhead = NoPlace | 'no-journal' | 'journal-old';

export type FoundAhead =
  | { readonly ok: true; readonly ahead: StatusAhead }
  | { readonly ok: false; readonly why: NoAhead };

/** Entries behind which the kept journal may be for a forecast: two hours. */
const BEHIND_MOST = 24;
/** Entries that are enough for one: a week. */
const ENTRIES = 2_500;

/** A controller that has just answered, and what is kept of it. */
export interface Answered {
  readonly lives: readonly StoredLife[];
  readonly profiles: KnownProfiles;
  readonly status: Status;
  readonly units: UnitSystem;
  /** Unix ms where the tray is. */
  readonly nowUnixMs: number;
}

export function statusAhead({ lives, profiles, status, units, nowUnixMs }: Answered): FoundAhead {
  const life = lives.at(-1);
  const last = life?.entries.at(-1);
  const { first, next } = status.journal;
  if (status.stage === null) return { ok: false, why: 'not-sown' };
  if (life === undefined || last === undefined || last.sequence >= next) {
    return { ok: false, why: 'no-journal' };
  }
  if (last.sequence < Math.max(first, next - BEHIND_MOST)) return { ok: false, why: 'journal-old' };
  const dated = withSoundTimes(dateEntries(life.entries.slice(-ENTRIES), life.life));
  const stand = standOf(recordOf(dated, profiles));
  const found = forecastOf(stand, stand.record.toMs, status);
  if (!found.ok) return found;
  const asked = { askedH: 1, nowMs: stand.record.toMs, nowUnixMs, units };
  const { nextDose, limits } = answerOf(stand, found.forecast, obstaclesNow(status), asked);
  const reservoir = limits.find(({ kind }) => kind === 'reservoir');
  const task = limits.find((limit): limit is HandsLimit => limit.by === 'hands');
  return {
    ok: true,
    ahead: {
      nextDose,
      reservoirUntil:
        reservoir === undefined ? null : { inH: reservoir.inH, unixMs: reservoir.unixMs },
      nextTask: task === undefined ? null : withoutBy(task),
      lidToMove: lidToMove(stand.record, status.stage.lid, stand.record.toMs),
    },
  };
}

const withoutBy = ({ kind, says, inH, unixMs }: HandsLimit): Omit<HandsLimit, 'by'> => ({
  kind,
  says,
  inH,
  unixMs,
});

/** The same as lines of `status`; where nothing can be told, why, and how to get it. */
export function aheadFacts(found: FoundAhead, { status, nowUnixMs, units }: Answered): Fact[] {
  const options = { nowUnixMs, units };
  if (found.ok) return knownFacts(found.ahead, options);
  const held = status.stage === null ? null : heldDose(obstaclesNow(status));
  return [
    ...(held === null ? [] : [doseFact(held, options)]),
    ...(found.why === 'not-sown' ? [] : [{ label: 'Days ahead', value: whyText(found.why) }]),
  ];
}

function whyText(why: NoAhead): string {
  switch (why) {
    case 'no-journal':
      return 'not told: its journal is not kept here; `trayward journal pull` fetches it';
    case 'journal-old':
      return 'not told: the journal kept here is old; `trayward journal pull` fetches the rest';
    default:
      return `not told. ${WHY_NOT[why].join(' ')}`;
  }
}

function knownFacts(
  { nextDose, reservoirUntil, nextTask, lidToMove: place }: StatusAhead,
  options: { readonly nowUnixMs: number; readonly units: UnitSystem },
): Fact[] {
  return [
    ...(place === null
      ? []
      : [{ label: 'For hands now', value: capitalised(lidToMoveText(place)) }]),
    doseFact(nextDose, options),
    ...(reservoirUntil === null
      ? []
      : [
          {
            label: 'Reservoir until',
            value: capitalised(dueText(reservoirUntil, options)),
            note: 'with 90 % certainty; `trayward away 6d` says more',
          },
        ]),
    ...(nextTask === null
      ? []
      : [
          {
            label: 'Next for hands',
            value: capitalised(
              `${dueText({ ...nextTask, by: 'hands' }, options)}: ${nextTask.says}`,
            ),
          },
        ]),
  ];
}
