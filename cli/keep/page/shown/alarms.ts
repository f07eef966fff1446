/** Alarms of a tray as its page tells them: what, why, what to do, and which words are wanted. Pure but for the zone of time. */
import { ADVICE, nextSteps } from '../../../../shared/alarms/advice';
import { ALARMS, type AlarmName } from '../../../../shared/alarms/catalogue';
import { ALARM_PRIORITY, type AlarmPriority } from '../../../../shared/alarms/priority';
import type { AlarmReport } from '../../../../shared/link/status';
import { measuredText, standsText } from '../../../words/alarm';
import { nowText } from '../../../words/alarm-now';
import { capitalised } from '../../../words/capitalised';
import type { Detail } from '../../tray/detail';
import { byButton } from './by-button';
import { alarmsOf, type TrayNow, timeThere } from './tray';

export interface AlarmShown {
  readonly alarm: AlarmName;
  readonly priority: AlarmPriority;
  readonly title: string;
  readonly meaning: string;
  /** How it stands, what was measured, what it likely comes of: a line each. */
  readonly facts: readonly string[];
  readonly steps: readonly string[];
  /** Nobody has said yet that they have seen it. */
  readonly unseen: boolean;
  /** It holds something off until somebody says that it is mended. */
  readonly latched: boolean;
}

const UNSEEN: readonly AlarmReport['state'][] = ['unaccepted', 'returned', 'latched-unaccepted'];

/** `detail`: what the journal says of causes; null where it is not known yet. */
export function alarmsShown(now: TrayNow, detail: Detail | null): readonly AlarmShown[] {
  const { live, units } = now;
  const { status } = live;
  const thereMs = timeThere(now);
  if (status === null) return [];
  return alarmsOf(now).map((report): AlarmShown => {
    const { alarm, state } = report;
    const { title, meaning, causes } = ADVICE[alarm];
    const why = detail?.whyOf([alarm]) ?? null;
    const measured = measuredText(report, units);
    const { latched } = ALARMS[alarm];
    return {
      ...{ alarm, priority: ALARM_PRIORITY[alarm], title, meaning, latched },
      facts: [
        capitalised(`${standsText(report, thereMs)}.`),
        ...(measured === '' ? [] : [`Measured when it came: ${measured}.`]),
        ...nowText(report, status, thereMs, units).map((one) => `${capitalised(one)}.`),
        ...(why === null
          ? causes.length === 0
            ? []
            : [`Likely: ${causes.join('; ')}.`]
          : [`Likely: ${why.says}.`, ...why.evidence.map((one) => `For it speaks: ${one}.`)]),
      ],
      steps: (why !== null && why.next.length > 0 ? why.next : nextSteps(alarm)).map(byButton),
      unseen: UNSEEN.includes(state),
    };
  });
}
