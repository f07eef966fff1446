/** What is wrong with a tray already: nobody leaves before that is put right. Pure. */
import { ADVICE, nextSteps } from '../../shared/alarms/advice';
import { ALARMS, type AlarmName } from '../../shared/alarms/catalogue';
import { ALARM_PRIORITY } from '../../shared/alarms/priority';
import { HELD_REASONS, type HeldReason } from '../../shared/link/held';
import type { Status } from '../../shared/link/status';
import type { Stand } from '../explain/stand';
import { keptOffText } from '../words/alarm';
import { heldText } from '../words/held';
import type { Obstacle } from './model';

/** An alarm that stands, and whether somebody has seen it. */
interface Standing {
  readonly alarm: AlarmName;
  readonly seen: boolean;
}

/** What holds water off for good, until somebody does something; all other reasons pass by themselves. */
const NOT_BY_ITSELF: Partial<Readonly<Record<HeldReason, string>>> = {
  storage: 'See `trayward alarm list`.',
  scale: '`trayward scale check` shows what the scale sees.',
  'pump-not-calibrated': 'Do `trayward pump calibrate`.',
  'capacity-unknown': 'Soak the tray, let it drain, then `trayward mark soaked`.',
  'tray-off': 'Put the tray back on the scale.',
};

/** Alarms first, the gravest before the others; `status` where the controller has just answered, else by the journal. */
export function obstaclesOf(stand: Stand, status: Status | null): readonly Obstacle[] {
  const standing = status === null ? fromJournal(stand) : fromStatus(status);
  const alarms = standing
    .filter(isObstacle)
    .sort((a, b) => RANK.indexOf(ALARM_PRIORITY[a.alarm]) - RANK.indexOf(ALARM_PRIORITY[b.alarm]))
    .map(({ alarm }) => obstacleOf(alarm));
  return [...alarms, ...heldObstacles(status)];
}
const RANK: readonly string[] = ['high', 'medium', 'low'];

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
  };
}

function heldObstacles(status: Status | null): readonly Obstacle[] {
  const heldBy = status?.water.heldBy ?? null;
  const reason = HELD_REASONS.find((word) => word === heldBy);
  const next = reason === undefined ? undefined : NOT_BY_ITSELF[reason];
  if (heldBy === null || next === undefined) return [];
  return [
    { kind: 'held', alarm: null, says: `Water is held off: ${heldText(heldBy)}`, next: [next] },
  ];
}

/** The account of the reservoir is what a forecast begins with. */
export const RESERVOIR_UNKNOWN: Obstacle = {
  kind: 'reservoir-unknown',
  alarm: null,
  says: 'Nobody has told what is in the reservoir',
  next: ['`trayward mark refilled --volume 4l --ec 0.9mS/cm`, with what is in it.'],
};
