/** What is wrong with a tray already: nobody leaves before that is put right. Pure. */
import { ADVICE, nextSteps } from '../../shared/alarms/advice';
import { ALARMS, type AlarmName } from '../../shared/alarms/catalogue';
import { ALARM_PRIORITY, rankOf } from '../../shared/alarms/priority';
import { HELD_REASONS, type HeldReason } from '../../shared/link/held';
import type { Status } from '../../shared/link/status';
import type { Stand } from '../explain/stand';
import { keptOffText } from '../words/alarm';
import { heldText } from '../words/held';
import type { Freed, Obstacle } from './model';

/** An alarm that stands, and whether somebody has seen it. */
interface Standing {
  readonly alarm: AlarmName;
  readonly seen: boolean;
}

/** What holds water off until somebody does something, and what that is; all other reasons pass by themselves. */
const NOT_BY_ITSELF: Partial<Readonly<Record<HeldReason, { next: string; water: Freed }>>> = {
  storage: {
    next: 'See `trayward alarm list`.',
    water: { until: 'the board can store its state again', command: null },
  },
  scale: {
    next: '`trayward scale check` shows what the scale sees.',
    water: { until: 'the scale is in order', command: null },
  },
  'pump-not-calibrated': {
    next: 'Do `trayward pump calibrate`.',
    water: { until: 'the pump is calibrated', command: 'trayward pump calibrate' },
  },
  'capacity-unknown': {
    next: 'Soak the tray, let it drain, then `trayward mark soaked`.',
    water: { until: 'the tray is soaked and has drained', command: 'trayward mark soaked' },
  },
  'tray-off': {
    next: 'Put the tray back on the scale.',
    water: { until: 'the tray is back on the scale', command: null },
  },
};

/** `status` where the controller has just answered, else by the journal. */
export const obstaclesOf = (stand: Stand, status: Status | null): readonly Obstacle[] =>
  status === null ? alarmObstacles(fromJournal(stand)) : obstaclesNow(status);

/** What a controller that has just answered tells of them by itself. */
export const obstaclesNow = (status: Status): readonly Obstacle[] => [
  ...alarmObstacles(fromStatus(status)),
  ...heldObstacles(status),
];

/** The gravest first. */
const alarmObstacles = (standing: readonly Standing[]): readonly Obstacle[] =>
  standing
    .filter(isObstacle)
    .sort((a, b) => rankOf(ALARM_PRIORITY[a.alarm]) - rankOf(ALARM_PRIORITY[b.alarm]))
    .map(({ alarm }) => obstacleOf(alarm));

function fromStatus({ alarms }: Status): readonly Standing[] {
  return alarms
    .filter(({ state }) => state !== 'normal' && state !== 'returned')
    .map(({ alarm, state }) => ({ alarm, seen: state === 'accepted' }));
}

function fromJournal({ spans }: Stand): readonly Standing[] {
  return spans
    .filter(({ standing }) => standing)
    .map(({ alarm, notes }) => ({
      alarm,
      seen: notes.some(({ entry }) => entry.change === 'accepted'),
    }));
}

/** What the reservoir's account tells comes with the forecast; a notice that somebody has seen was weighed by them. */
function isObstacle({ alarm, seen }: Standing): boolean {
  if (BY_FORECAST.includes(alarm)) return false;
  const { dropsMat, dropsPump } = ALARMS[alarm];
  const priority = ALARM_PRIORITY[alarm];
  return dropsMat || dropsPump || priority === 'high' || (priority === 'medium' && !seen);
}
const BY_FORECAST: readonly AlarmName[] = ['reservoir-low', 'feed-unlike'];

function obstacleOf(alarm: AlarmName): Obstacle {
  const kept = keptOffText(alarm);
  return {
    kind: 'alarm',
    alarm,
    says: `${ADVICE[alarm].title}${kept === '' ? '' : `: ${kept} held off`}`,
    next: nextSteps(alarm),
    water: freedOf(alarm),
  };
}

/** One that latches waits for a word of somebody. */
function freedOf(alarm: AlarmName): Freed | null {
  const { dropsPump, latched } = ALARMS[alarm];
  if (!dropsPump) return null;
  const { title } = ADVICE[alarm];
  return latched
    ? { until: `alarm "${title}" is put right`, command: `trayward alarm mended ${alarm}` }
    : { until: `alarm "${title}" is over`, command: null };
}

function heldObstacles({ water: { heldBy } }: Status): readonly Obstacle[] {
  const reason = HELD_REASONS.find((word) => word === heldBy);
  const freed = reason === undefined ? undefined : NOT_BY_ITSELF[reason];
  if (heldBy === null || freed === undefined) return [];
  const says = `Water is held off: ${heldText(heldBy)}`;
  return [{ kind: 'held', alarm: null, says, next: [freed.next], water: freed.water }];
}

/** The account of the reservoir is what a forecast begins with. */
export const RESERVOIR_UNKNOWN: Obstacle = {
  kind: 'reservoir-unknown',
  alarm: null,
  says: 'Nobody has told what is in the reservoir',
  next: ['`trayward mark refilled --volume 4l --ec 0.9mS/cm`, with what is in it.'],
  water: null,
};
