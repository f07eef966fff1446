/** Whether the journal lets the tray be left again: what stands, what is due, and what is in the reservoir. Pure. */
import { ADVICE } from '../../shared/alarms/advice';
import { ALARM_PRIORITY } from '../../shared/alarms/priority';
import { waters } from '../../shared/profile/profile';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { HOUR_MS } from '../../shared/units/time';
import type { Account } from '../explain/account';
import type { AlarmSpan } from '../explain/alarm-spans';
import { type Reservoir, reservoirAt } from '../explain/given';
import type { Stand } from '../explain/stand';
import { headline } from '../explain/text';
import { keptOffText } from '../words/alarm';
import { aheadOf } from './ahead';
import { type Asked, firstOf, plain, stageAt } from './asked';
import type { Answers, Leave, Line } from './model';
import { alarmId, incidentId } from './plot/of-stand';

/** A journal that ends so long before now says little of now. */
const FRESH_MS = HOUR_MS;
/** Who leaves wants the reservoir to last at least so long, d. */
const RESERVOIR_DAYS = 2;

/** Of what stands against it, and of what is due: what is in the reservoir stands below them. */
const REASONS_MOST = 2;

type Leaving = Pick<Answers, 'leave' | 'leaveWhy'>;

export function leaveOf(
  stand: Stand,
  { incidents }: Account,
  standing: readonly AlarmSpan[],
  asked: Asked,
): Leaving {
  const { record } = stand;
  const against = againstOf(incidents, standing);
  const reservoir = reservoirAt(record, asked.toMs);
  const doubted = standing.some(({ alarm }) => alarm === 'dose-not-seen');
  const stored = reservoirLine(reservoir, doubted, asked.units);
  const stale = asked.goesOn || asked.nowMs - record.toMs > FRESH_MS;
  const isLow =
    reservoir === null
      ? waters(stageAt(record, asked.toMs))
      : reservoir.days !== null && reservoir.days < RESERVOIR_DAYS;
  const ahead = aheadOf(stand, asked);
  const looks = isLow || stale || record.readings.length === 0 || ahead.due.length > 0;
  const leave: Leave = against.some(({ grave }) => grave)
    ? 'not-yet'
    : ahead.isSown
      ? against.length > 0 || looks
        ? 'look-first'
        : 'nothing-against'
      : 'not-sown';
  return {
    leave,
    leaveWhy: [
      ...firstOf(
        against.map(({ says, id }) => ({ says, id })),
        REASONS_MOST,
      ),
      ...ahead.due.slice(0, REASONS_MOST).map(plain),
      stored,
      ...(stale
        ? [
            plain(
              asked.goesOn
                ? 'This is how it stood then: the journal goes on after it.'
                : 'The journal ends well before now: look at `trayward status` first.',
            ),
          ]
        : []),
      ...(leave === 'not-yet'
        ? []
        : [plain('What the room, the lid and the mains will do, no journal knows.')]),
    ],
  };
}

/** What speaks against leaving, the gravest first. */
function againstOf(
  incidents: Account['incidents'],
  standing: readonly AlarmSpan[],
): readonly (Line & { grave: boolean })[] {
  const alarms = standing.map(({ alarm }): Line & { grave: boolean } => {
    const kept = keptOffText(alarm);
    return {
      says: `${ADVICE[alarm].title}${kept === '' ? '' : `: ${kept} held off`}.`,
      id: alarmId(alarm),
      grave: kept !== '' || ALARM_PRIORITY[alarm] === 'high',
    };
  });
  const open = incidents.flatMap((incident, i) =>
    incident.open
      ? [
          {
            says: `${headline(incident)}: not over, or the tray has not come back from it yet.`,
            id: incidentId(i + 1),
            grave: true,
          },
        ]
      : [],
  );
  return [...alarms, ...open].sort((a, b) => Number(b.grave) - Number(a.grave));
}

function reservoirLine(reservoir: Reservoir | null, doubted: boolean, units: UnitSystem): Line {
  if (reservoir === null)
    return plain('Nobody has told what is in the reservoir: `trayward mark refilled`.');
  const left = formatQuantity('volume', reservoir.leftMl, units);
  // It is an account of doses, and the last one did not come.
  if (doubted)
    return plain(
      `By account of doses ${left} are left in the reservoir, but the last one did not come: look whether it is so.`,
    );
  const lasts =
    reservoir.days === null
      ? 'How long it lasts does not show in the last three days, without a dose for what had dried: `trayward away` reckons it.'
      : `At the pace of the last three days it lasts ${daysText(reservoir.days)}; larger plants take more.`;
  return plain(`By account of doses ${left} are left in the reservoir. ${lasts}`);
}

const daysText = (days: number): string =>
  days < 1 ? 'less than a day' : days > 30 ? 'more than a month' : `about ${Math.floor(days)} d`;
