/** What a running tray waits for, by its status: in the words that `status` has for it. */
import { ADVICE } from '../../shared/alarms/advice';
import type { Status } from '../../shared/link/status';
import type { UnitSystem } from '../../shared/units';
import { stateText } from './alarm';
import { capitalised } from './capitalised';
import { feedAheadText, feedWantedText, reservoirText } from './feed';
import { nextStep } from './next-steps';
import { stageNotes } from './stage';

/** In the order they are told. */
export const TRAY_TASK_KINDS = ['alarm', 'stage', 'feed', 'reservoir'] as const;
export type TrayTaskKind = (typeof TRAY_TASK_KINDS)[number];

export interface TrayTask {
  readonly kind: TrayTaskKind;
  readonly title: string;
  readonly why: string;
}

/** What there is to do or to know now; `nowMs`, Unix ms, gives alarms their times of day. */
export function trayTasks(status: Status, units: UnitSystem, nowMs: number): readonly TrayTask[] {
  const alarms = status.alarms.map((report): TrayTask => {
    return { kind: 'alarm', title: ADVICE[report.alarm].title, why: stateText(report, nowMs) };
  });
  const { stage } = status;
  if (stage === null) {
    return [...alarms, { kind: 'stage', title: 'Not sown yet', why: nextStep('not-sown') }];
  }
  const ahead = feedAheadText(status, units);
  return [
    ...alarms,
    { kind: 'stage', title: `Stage ${stage.name}`, why: stageNotes(stage, units) },
    ...(ahead === ''
      ? []
      : [{ kind: 'feed' as const, title: capitalised(ahead), why: feedWantedText(status, units) }]),
    ...reservoirTask(status, units),
  ];
}

/** Only where it is empty of news: not told, or of another strength than the stage wants. */
function reservoirTask(status: Status, units: UnitSystem): TrayTask[] {
  const { reservoirLeftMl, otherFeedWaitS } = status.water;
  if (reservoirLeftMl !== null && otherFeedWaitS === null) return [];
  const wanted = feedWantedText(status, units);
  return [
    {
      kind: 'reservoir',
      title: `Reservoir: ${reservoirText(status, units)}`,
      why: [wanted, '`trayward mark refilled`'].filter((text) => text !== '').join('; '),
    },
  ];
}
