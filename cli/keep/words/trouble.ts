/** What each trouble is called, what it means and what to do: an alarm in the words it has everywhere, the keeper's own here. */
import { ADVICE, nextSteps } from '../../../shared/alarms/advice';
import { ALARMS, type AlarmSpec } from '../../../shared/alarms/catalogue';
import { isAlarm, type KeeperTrouble, type Trouble } from '../decide/model';

interface Words {
  readonly title: string;
  readonly meaning: string;
  readonly next: readonly string[];
}

const KEEPERS: Readonly<Record<KeeperTrouble, Words>> = {
  unheard: {
    title: 'Tray not heard',
    meaning:
      'The keeper hears nothing from this tray. If its controller has power it goes on by itself; if it has none, there is neither heat nor water. From here nobody can tell which.',
    next: [
      'Look at the lamp of the controller. One second on, four off: it runs, and only the cable or the port is wrong. Dark: it has no power.',
      'Without power: plug, fuse, residual-current device. The tray goes on by itself when it is back.',
      'With power: push both ends of the cable in; try another cable, another port.',
    ],
  },
  'disk-failing': {
    title: 'The disk of the keeper is full or broken',
    meaning:
      'What is to be told can no longer be written down. Messages still go out; after a restart some may come twice, and some never.',
    next: ['Free some space on the computer that runs the keeper, or put in another disk.'],
  },
  'door-failing': {
    title: 'Messages do not get out',
    meaning:
      'One of the ways by which messages leave has failed for a while. What waits there is kept and tried again.',
    next: [
      'Look at `trayward keep status FILE`: it says what the server answers.',
      '`trayward keep test FILE` sends one message by each way.',
    ],
  },
};

export const titleOf = (trouble: Trouble): string =>
  isAlarm(trouble) ? ADVICE[trouble].title : KEEPERS[trouble].title;

export const meaningOf = (trouble: Trouble): string =>
  isAlarm(trouble) ? ADVICE[trouble].meaning : KEEPERS[trouble].meaning;

export const stepsOf = (trouble: Trouble): readonly string[] =>
  isAlarm(trouble) ? nextSteps(trouble) : KEEPERS[trouble].next;

export const likelyCauses = (trouble: Trouble): readonly string[] =>
  isAlarm(trouble) ? ADVICE[trouble].causes : [];

/** Whether it keeps water off the tray, or may do so. */
export function withoutWater(trouble: Trouble): boolean {
  if (!isAlarm(trouble)) return trouble === 'unheard';
  const { dropsPump }: AlarmSpec = ALARMS[trouble];
  return dropsPump || trouble === 'water-held' || trouble === 'feed-late';
}

/** Inside a sentence; names keep their capitals. */
export const lowered = (text: string): string =>
  /^[A-Z][a-z]/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text;
