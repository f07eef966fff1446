/**
 * Counts of emergence as they were made, kept on this laptop: a file of JSON lines beside the tray's journal, or of a
 * lot of seed that stands on no tray of ours. Lines are only ever added.
 */
import { appendFileSync, existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import * as z from 'zod';
import { DAY_MS } from '../../shared/units/time';
import { shortened } from '../arguments/options';
import { invalid, refused } from '../failure';
import { makeFolder } from '../files/folder';
import { controllerFolder } from '../journal/places';
import { storedControllers } from '../journal/store';
import { SAME_SOWING_MS, SEED_LIMITS } from './limits';

/** Whose seed it is. */
export type SeedPlace =
  | { readonly kind: 'tray'; readonly boardId: string }
  | { readonly kind: 'lot'; readonly name: string };

const record = z.object({
  /** When it was counted, and when the seed was sown, Unix ms. */
  unixMs: z.number(),
  sownMs: z.number(),
  /** So many stood, of so many sown. */
  standing: z.number(),
  of: z.number(),
  /** When the count was made that this one takes the place of: it was a slip. */
  insteadMs: z.number().optional(),
});
export type KeptCount = z.infer<typeof record>;

/** The counts of one sowing, in the order of their time. */
export interface Sowing {
  readonly sownMs: number;
  readonly of: number;
  readonly counts: readonly KeptCount[];
}

/** What a lot may be called: it becomes the name of a file. */
export function lotNamed(name: string, flag = '--lot'): SeedPlace {
  const plain = name.trim();
  if (/^[\p{L}\p{N}][\p{L}\p{N} _-]*$/u.test(plain) && plain.length <= SEED_LIMITS.lotNameMost) {
    return { kind: 'lot', name: plain };
  }
  throw invalid(
    'no-lot-name',
    `${flag} ${shortened(plain)} is no name for a lot of seed.`,
    `Letters, digits, spaces, "-" and "_", at most ${SEED_LIMITS.lotNameMost}, such as --lot "basil 2026".`,
  );
}

function fileOf(store: string, place: SeedPlace): string {
  return place.kind === 'tray'
    ? join(controllerFolder(store, place.boardId), 'counts.jsonl')
    : join(store, 'lots', `${place.name.toLowerCase()}.jsonl`);
}

/** How it is called in a sentence. */
export const placeText = (place: SeedPlace): string =>
  place.kind === 'tray' ? `the tray of controller ${place.boardId}` : `lot "${place.name}"`;

/** One line, or null for what a crash has torn, or a hand has spoilt. */
function readLine(line: string): KeptCount | null {
  try {
    const parsed = record.safeParse(JSON.parse(line));
    return parsed.success ? parsed.data : null;
  } catch {
    return null;
  }
}

/** Every sowing that was counted at this place, oldest first; none where none was. */
export function readSowings(store: string, place: SeedPlace): readonly Sowing[] {
  const file = fileOf(store, place);
  if (!existsSync(file)) return [];
  const lines = readFileSync(file, 'utf8')
    .split('\n')
    .map(readLine)
    .filter((one) => one !== null);
  const counts = lines
    .filter((one, i) => !lines.slice(i + 1).some((later) => replaces(later, one)))
    .sort((a, b) => a.unixMs - b.unixMs);
  const sowings: { sownMs: number; of: number; counts: KeptCount[] }[] = [];
  for (const count of counts) {
    const same = sowings.find(({ sownMs }) => isSameSowing(sownMs, count.sownMs));
    if (same === undefined) sowings.push({ sownMs: count.sownMs, of: count.of, counts: [count] });
    else same.counts.push(count);
  }
  return sowings.sort((a, b) => a.sownMs - b.sownMs);
}

/** Whether a count that was written down later takes the place of `one`. */
const replaces = (later: KeptCount, one: KeptCount): boolean =>
  later.insteadMs === one.unixMs && isSameSowing(later.sownMs, one.sownMs);

/** Whether two times of sowing are one. */
export const isSameSowing = (a: number, b: number): boolean => Math.abs(a - b) <= SAME_SOWING_MS;

/** Keeps one more count. Throws what the disk throws. */
export function keepCount(store: string, place: SeedPlace, count: KeptCount): void {
  const file = fileOf(store, place);
  makeFolder(dirname(file));
  // A line that a crash has torn must not spoil this one as well.
  const isTorn = existsSync(file) && !/(^|\n)$/.test(readFileSync(file, 'utf8'));
  appendFileSync(file, `${isTorn ? '\n' : ''}${JSON.stringify(count)}\n`);
}

/** The sowing asked for: the newest of the lot, of the tray, or of the tray that was counted last. */
export function keptSowing(
  store: string,
  lot: string | null,
  controller: string | null,
): { readonly place: SeedPlace; readonly sowing: Sowing } {
  const places: SeedPlace[] =
    lot === null
      ? storedControllers(store)
          .filter(({ boardId }) => controller === null || boardId === controller)
          .map(({ boardId }) => ({ kind: 'tray', boardId }))
      : [lotNamed(lot)];
  const found = places
    .flatMap((place) => {
      const sowing = readSowings(store, place).at(-1);
      return sowing === undefined ? [] : [{ place, sowing }];
    })
    .sort((a, b) => (a.sowing.counts.at(-1)?.unixMs ?? 0) - (b.sowing.counts.at(-1)?.unixMs ?? 0))
    .at(-1);
  if (found !== undefined) return found;
  throw refused(
    'nothing-counted',
    `No counts ${lot === null ? 'of a tray' : `of lot "${lot}"`} are kept in ${store}.`,
    'Count what stands, and keep it: `trayward seed count 41 of 98`.',
  );
}

/** For programs, and for people. */
export function sowingResult(place: SeedPlace, { sownMs, of, counts }: Sowing) {
  return {
    place,
    sownMs,
    of,
    counts: counts.map(({ unixMs, standing }) => ({
      unixMs,
      day: (unixMs - sownMs) / DAY_MS,
      standing,
    })),
  };
}
export type SowingResult = ReturnType<typeof sowingResult>;
