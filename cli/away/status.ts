/** What `status` tells of the days ahead, where a fresh journal of the controller is kept here. Pure. */
import type { Status } from '../../shared/link/status';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { recordOf } from '../explain/record';
import { standOf } from '../explain/stand';
import { withSoundTimes } from '../explain/time-line';
import { forecastOf } from '../forecast/forecast';
import { dateEntries } from '../journal/dating';
import type { KnownProfiles } from '../journal/profiles';
import type { StoredLife } from '../journal/store';
import type { Fact } from '../terminal/output';
import { capitalised } from '../words/capitalised';
import { answerOf } from './answer';
import type { HandsLimit, Limit, NextDose } from './model';
import { dueText } from './text';

export interface StatusAhead {
  readonly nextDose: NextDose | null;
  readonly reservoirUntil: Pick<Limit, 'inH' | 'unixMs'> | null;
  readonly nextTask: Omit<HandsLimit, 'by'> | null;
}

/** Entries behind which the kept journal may be for a forecast: two hours. */
const BEHIND_MOST = 24;
/** Entries that are enough for one: a week. */
const ENTRIES = 2_500;

/** Null where what is kept is of another life or too old, or tells too little. */
export function statusAhead(
  lives: readonly StoredLife[],
  profiles: KnownProfiles,
  status: Status,
  units: UnitSystem,
): StatusAhead | null {
  const life = lives.at(-1);
  const last = life?.entries.at(-1);
  if (life === undefined || last === undefined) return null;
  const { first, next } = status.journal;
  if (last.sequence < Math.max(first, next - BEHIND_MOST) || last.sequence >= next) return null;
  const dated = withSoundTimes(dateEntries(life.entries.slice(-ENTRIES), life.life));
  const stand = standOf(recordOf(dated, profiles));
  const found = forecastOf(stand, stand.record.toMs, status);
  if (!found.ok) return null;
  const asked = { askedH: 1, nowMs: stand.record.toMs, units };
  const { nextDose, limits } = answerOf(stand, found.forecast, [], asked);
  const reservoir = limits.find(({ kind }) => kind === 'reservoir');
  const task = limits.find((limit): limit is HandsLimit => limit.by === 'hands');
  return {
    nextDose,
    reservoirUntil:
      reservoir === undefined ? null : { inH: reservoir.inH, unixMs: reservoir.unixMs },
    nextTask: task === undefined ? null : withoutBy(task),
  };
}

const withoutBy = ({ kind, says, inH, unixMs }: HandsLimit): Omit<HandsLimit, 'by'> => ({
  kind,
  says,
  inH,
  unixMs,
});

/** The same as lines of `status`. */
export function aheadFacts(ahead: StatusAhead, nowUnixMs: number, units: UnitSystem): Fact[] {
  const { nextDose, reservoirUntil, nextTask } = ahead;
  const due = (one: Parameters<typeof dueText>[0]): string => dueText(one, { nowUnixMs });
  return [
    ...(nextDose === null
      ? []
      : [
          {
            label: 'Next dose',
            value: due(nextDose),
            note: `about ${formatQuantity('volume', nextDose.ml, units)}, as it is drying now`,
          },
        ]),
    ...(reservoirUntil === null
      ? []
      : [
          {
            label: 'Reservoir until',
            value: due(reservoirUntil),
            note: 'with 90 % certainty; `trayward away 6d` says more',
          },
        ]),
    ...(nextTask === null
      ? []
      : [
          {
            label: 'Next for hands',
            value: `${due({ ...nextTask, by: 'hands' })}: ${nextTask.says}`,
          },
        ]),
  ].map((fact) => ({ ...fact, value: capitalised(fact.value) }));
}
