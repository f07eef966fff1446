/** Where pulled journals are kept on this laptop. */
import { platform, userInfo } from 'node:os';
import { isAbsolute, join } from 'node:path';

type Env = Readonly<Record<string, string | undefined>>;

/**
 * The folder of all pulled journals: `given` (--store), else TRAYWARD_STORE, else the place the
 * system has for a program's data (XDG Base Directory specification; LOCALAPPDATA; Library).
 */
export function storeFolder(given: string | null, env: Env, system: string = platform()): string {
  const chosen = given ?? env.TRAYWARD_STORE ?? '';
  if (chosen !== '') return chosen;
  // An empty HOME, as some services have, is none: journals would lie wherever the program was started.
  const home = env.HOME || env.USERPROFILE || userInfo().homedir;
  if (system === 'win32')
    return join(env.LOCALAPPDATA || join(home, 'AppData', 'Local'), 'trayward');
  if (system === 'darwin') return join(home, 'Library', 'Application Support', 'trayward');
  return join(absolute(env.XDG_DATA_HOME) || join(home, '.local', 'share'), 'trayward');
}

/** The specification has relative paths ignored. */
const absolute = (path = ''): string => (isAbsolute(path) ? path : '');

/** The folder of one controller inside the store. Board ids are hex digits, so they are safe names. */
export function controllerFolder(store: string, boardId: string): string {
  if (!/^[0-9a-f]{1,32}$/.test(boardId)) throw new Error(`not a board id: ${boardId}`);
  return join(store, boardId);
}
