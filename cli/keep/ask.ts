/** Asks the keeper that runs under a name how it does. */
import { connect } from 'node:net';
import { keeperSocket, meetingPlace } from '../../shared/host/keepers';
import { CommandError } from '../failure';
import { type KeeperState, keeperState } from './state';

const ANSWER_MOST_MS = 3_000;
/** Two hundred trays take a twentieth of this. */
const ANSWER_MOST_BYTES = 4_194_304;

const noKeeper = (name: string, why: string): CommandError =>
  new CommandError(
    'no-controller',
    'no-keeper',
    `No keeper of "${name}" answers on this computer${why}.`,
    '`trayward keep start FILE` starts one; it is met only by the user who started it.',
  );

/** All that comes through the socket before its other end closes. */
function heard(path: string): Promise<string> {
  return new Promise((resolve, reject) => {
    const socket = connect(path);
    let text = '';
    socket.setTimeout(ANSWER_MOST_MS, () => socket.destroy(new Error('no answer in time')));
    socket.on('data', (bytes) => {
      text += bytes.toString();
      if (text.length > ANSWER_MOST_BYTES) socket.destroy(new Error('too long an answer'));
    });
    socket.once('error', reject);
    socket.once('end', () => resolve(text));
  });
}

/** How the keeper does. Throws `CommandError` where none answers. */
export async function askKeeper(name: string): Promise<KeeperState> {
  const place = meetingPlace();
  if (place === null) throw noKeeper(name, '');
  try {
    return keeperState.parse(JSON.parse(await heard(keeperSocket(place, name))));
  } catch (error) {
    const { code } = Object(error);
    const why = code === 'ENOENT' || code === 'ECONNREFUSED' ? '' : ` (${Object(error).message})`;
    throw noKeeper(name, why);
  }
}
