/**
 * The laptop's copy of the journals: a folder for each controller, in it one segment file for each
 * life of its journal (a controller whose flash was erased starts again at sequence 1).
 */
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { tryLock } from '../../shared/host/lock';
import type { JournalEntry } from '../../shared/journal/kinds';
import { refused } from '../failure';
import { makeFolder } from '../files/folder';
import { openEntryFile } from './entry-file';
import { controllerFolder } from './places';
import { openSegment, readSegment, type Segment } from './segment';

const SEGMENT_NAME = /^life-(\d{4})\.entries$/;
const segmentName = (life: number): string => `life-${String(life).padStart(4, '0')}.entries`;

/** One life of a journal as stored. */
export interface StoredLife {
  readonly life: number;
  readonly entries: readonly JournalEntry[];
  readonly damaged: number;
}

export interface StoredController {
  readonly boardId: string;
  /** When it was last pulled, Unix ms. */
  readonly pulledMs: number | null;
}

/** A controller's folder, locked for writing. */
export interface OpenStore {
  /** The segment of the newest life. */
  readonly segment: Segment;
  /** Starts the next life, because the controller's journal began anew. */
  startLife(): Segment;
  close(): void;
}

function lives(folder: string): number[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder)
    .map((name) => SEGMENT_NAME.exec(name)?.[1])
    .filter((digits) => digits !== undefined)
    .map(Number)
    .sort((a, b) => a - b);
}

/** Keeps two pulls apart. Returns the way to give the lock back; refuses while another pull holds it. */
function lockOrRefuse(folder: string): () => void {
  const locking = tryLock(join(folder, 'lock'));
  if (locking.taken) return locking.release;
  const who = locking.holder === null ? '' : ` (process ${locking.holder})`;
  throw refused(
    'pull-under-way',
    `Another pull of this journal is under way${who}.`,
    'Wait until it has finished, then run the command again.',
  );
}

/** Opens a controller's folder for writing, making it when needed. Refused while another pull runs. */
export function openStore(store: string, boardId: string): OpenStore {
  const folder = controllerFolder(store, boardId);
  makeFolder(folder);
  const unlock = lockOrRefuse(folder);
  const openLife = (life: number): Segment =>
    openSegment(openEntryFile(join(folder, segmentName(life)), true));
  try {
    let life = lives(folder).at(-1) ?? 1;
    let segment = openLife(life);
    return {
      get segment() {
        return segment;
      },
      startLife() {
        segment.close();
        life += 1;
        segment = openLife(life);
        return segment;
      },
      close() {
        segment.close();
        unlock();
      },
    };
  } catch (error) {
    unlock();
    throw error;
  }
}

/** Everything stored of one controller, oldest life first. */
export function readStore(store: string, boardId: string): readonly StoredLife[] {
  const folder = controllerFolder(store, boardId);
  return lives(folder).map((life) => {
    const file = openEntryFile(join(folder, segmentName(life)), false);
    try {
      return { life, ...readSegment(file) };
    } finally {
      file.close();
    }
  });
}

/** The last `most` entries of a controller's newest life; null where none is stored. */
export function readStoreEnd(store: string, boardId: string, most: number): StoredLife | null {
  const folder = controllerFolder(store, boardId);
  const life = lives(folder).at(-1);
  if (life === undefined) return null;
  const file = openEntryFile(join(folder, segmentName(life)), false);
  try {
    return { life, ...readSegment(file, most) };
  } finally {
    file.close();
  }
}

/** The segment files of a controller, oldest life first, for who reads them piece by piece. */
export function segmentFiles(
  store: string,
  boardId: string,
): readonly { readonly life: number; readonly path: string }[] {
  const folder = controllerFolder(store, boardId);
  return lives(folder).map((life) => ({ life, path: join(folder, segmentName(life)) }));
}

/** The controllers that have a journal in the store. */
export function storedControllers(store: string): readonly StoredController[] {
  if (!existsSync(store)) return [];
  return readdirSync(store)
    .filter((name) => /^[0-9a-f]{1,32}$/.test(name) && statSync(join(store, name)).isDirectory())
    .map((boardId) => ({ boardId, pulledMs: pulledMs(join(store, boardId)) }))
    .sort((a, b) => (b.pulledMs ?? 0) - (a.pulledMs ?? 0));
}

function pulledMs(folder: string): number | null {
  const path = join(folder, 'pulled');
  const value = existsSync(path) ? Number(readFileSync(path, 'utf8')) : Number.NaN;
  return Number.isFinite(value) && value > 0 ? value : null;
}

/** Notes the time of a finished pull. */
export function notePulled(store: string, boardId: string, unixMs: number): void {
  writeFileSync(join(controllerFolder(store, boardId), 'pulled'), `${Math.round(unixMs)}\n`);
}
