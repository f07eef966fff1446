/** Alarms that nothing found so far explains: told in their own words. Pure. */
import { ADVICE } from '../../shared/alarms/advice';
import { ALARMS, type AlarmName } from '../../shared/alarms/catalogue';
import { ALARM_PRIORITY } from '../../shared/alarms/priority';
import { keptOffText, measuredText } from '../words/alarm';
import type { AlarmSpan } from './alarm-spans';
import type { CauseName } from './causes';
import { claim, type Finding, piece, rank } from './finding';
import { STORY_LIMITS } from './limits';
import { hoursOf, spanFinding } from './span-finding';
import type { Stand } from './stand';

/** Told by what needs no explanation: they ask for feed or time, and are in `status`. */
const NOTICES: readonly AlarmName[] = ['reservoir-low', 'feed-unlike', 'calibration-old'];

/** What an alarm that stands alone says by itself of its cause. */
const ALONE: Partial<Readonly<Record<AlarmName, CauseName>>> = {
  'mat-no-effect': 'mat-dead',
  'band-out-of-reach': 'mat-weak',
  'too-warm': 'warm-room',
  'tray-away': 'tray-lifted',
};

/** Whether one of `findings` tells of this alarm. */
export function isExplained(span: AlarmSpan, findings: readonly Finding[]): boolean {
  return findings.some(
    ({ alarms, fromMs, toMs }) =>
      alarms.includes(span.alarm) &&
      span.fromMs >= fromMs - STORY_LIMITS.alarmBeforeMs &&
      span.fromMs <= toMs + STORY_LIMITS.alarmAfterMs,
  );
}

export function otherAlarms({ spans }: Stand, findings: readonly Finding[]): readonly Finding[] {
  return spans.filter((span) => !isNotice(span) && !isExplained(span, findings)).map(finding);
}

/** One that only asks for something. */
export const isNotice = ({ alarm }: AlarmSpan): boolean => NOTICES.includes(alarm);

export const notices = ({ spans }: Stand): readonly AlarmSpan[] => spans.filter(isNotice);

function finding(span: AlarmSpan): Finding {
  const { alarm, raised } = span;
  const { title } = ADVICE[alarm];
  const priority = ALARM_PRIORITY[alarm];
  const measured = measuredText(raised.entry, 'metric');
  const stands = piece(true, 1, 'its alarm stands alone', [raised]);
  return spanFinding(span, {
    kind: 'alarm',
    // When it was stands in the headline.
    what: claim(measured === '' ? title : `${title} (${measured})`, [raised]),
    causes: rank([{ cause: ALONE[alarm] ?? 'not-told', weigh: () => [stands] }], null),
    did: heldClaims(span),
    alarms: [alarm],
    weight:
      (priority === 'high' ? 3 : priority === 'medium' ? 1 : 0.2) +
      (ALARMS[alarm].latched ? hoursOf(span) / 4 : 0),
  });
}

/** What it held off meanwhile; an alarm that holds nothing off is no act. */
function heldClaims({ alarm, fromMs, toMs, standing, raised }: AlarmSpan): Finding['did'] {
  const kept = keptOffText(alarm);
  if (kept === '') return [];
  return [
    claim(
      ({ range, time }) =>
        `It ${standing ? `holds ${kept} off since ${time(fromMs)}` : `held ${kept} off, ${range(fromMs, toMs)}`}`,
      [raised],
    ),
  ];
}
