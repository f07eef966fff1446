/**
 * Where a keeper is met by the other commands of the same user: a folder that only that user can open, in it a socket
 * for each port that is kept, and one that tells how the keeper does.
 */
import { createHash } from 'node:crypto';
import { chmodSync, lstatSync, mkdirSync, realpathSync } from 'node:fs';
import { tmpdir, userInfo } from 'node:os';
import { join } from 'node:path';

const folder = (): string => join(tmpdir(), `trayward-keep-${userInfo().username}`);

/** Whether the folder is ours alone: another user could have made one of that name, to listen. */
function isOurs(path: string): boolean {
  const found = lstatSync(path, { throwIfNoEntry: false });
  if (found === undefined || !found.isDirectory()) return false;
  return (
    process.getuid === undefined || (found.uid === process.getuid() && (found.mode & 0o077) === 0)
  );
}

/** The folder, where it is there and safe; null: there is no keeper to be met. */
export const meetingPlace = (): string | null => (isOurs(folder()) ? folder() : null);

/** Makes the folder. Throws where another user has one of its name. */
export function makeMeetingPlace(): string {
  const path = folder();
  mkdirSync(path, { recursive: true, mode: 0o700 });
  if (lstatSync(path).uid === process.getuid?.()) chmodSync(path, 0o700);
  if (isOurs(path)) return path;
  throw new Error(`${path} belongs to another user: no keeper can be met there.`);
}

const shortHash = (text: string): string =>
  createHash('sha256').update(text).digest('hex').slice(0, 16);

/** A port under one name, however it is written: `/dev/serial/by-id/...` is a link to the device. */
export function plainPort(port: string): string {
  if (port.startsWith('tcp://')) {
    return port.replace(/^tcp:\/\/(localhost|\[::1\]):/, 'tcp://127.0.0.1:').replace(/\/$/, '');
  }
  try {
    return realpathSync(port);
  } catch {
    return port;
  }
}

/** Windows has sockets of this kind in a place of their own. */
const socketPath = (place: string, name: string): string =>
  process.platform === 'win32'
    ? `\\\\.\\pipe\\trayward-keep-${userInfo().username}-${name}`
    : join(place, `${name}.sock`);

export const portSocket = (place: string, port: string): string =>
  socketPath(place, `port-${shortHash(plainPort(port))}`);
export const keeperSocket = (place: string, name: string): string =>
  socketPath(place, `keeper-${name}`);

/** What a keeper holds, so that a second one finds it taken. */
export const portLock = (place: string, port: string): string =>
  join(place, `port-${shortHash(plainPort(port))}.lock`);
export const boardLock = (place: string, boardId: string): string =>
  join(place, `board-${shortHash(boardId)}.lock`);
export const keeperLock = (place: string, name: string): string =>
  join(place, `keeper-${name}.lock`);
