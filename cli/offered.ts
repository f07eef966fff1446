/** Names that a shell offers where one is typed that the help does not list: each is loaded only when it is asked for. */
import type { World } from './context';

type Names = (env: World['env']) => Promise<readonly string[]>;

const alarms: Names = async () => (await import('../shared/alarms/catalogue')).ALARM_NAMES;
const crops: Names = async () =>
  (await import('../shared/crops/library/library')).crops().map(({ name }) => name);

/** By the command and the place of its argument, from 0 on. */
export const ARGUMENT_NAMES: Readonly<Record<string, Names | undefined>> = {
  'alarm seen 0': alarms,
  'alarm mended 0': alarms,
  'alarm shelve 0': alarms,
  'bench fault 0': async () => (await import('../firmware/bench/faults')).FAULT_NAMES,
  'bench hand 0': async () => (await import('../firmware/bench/hand-actions')).HAND_ACTION_NAMES,
  'crop show 0': crops,
  'crop compare 0': crops,
  'crop compare 1': crops,
  'plan make 0': crops,
  'mark 0': async () => [
    ...(await import('../shared/profile/profile')).MARKS,
    ...(await import('./commands/mark-note')).NOTE_WORDS,
  ],
  'profile new 0': async () => (await import('../shared/profile/host/crops')).CROP_FILE_NAMES,
};

const keptControllers: Names = async (env) => {
  const { storeFolder } = await import('./journal/places');
  const { storedControllers } = await import('./journal/store');
  return storedControllers(storeFolder(null, env)).map(({ boardId }) => boardId);
};

/** By the option, whatever the command. */
export const OPTION_NAMES: Readonly<Record<string, Names | undefined>> = {
  '--controller': keptControllers,
  '--like': keptControllers,
  '--bench': async () => {
    const { benchName, runningBenches } = await import('../shared/host/benches');
    return runningBenches().map(benchName);
  },
};
