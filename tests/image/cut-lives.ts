/**
 * The life of a board whose power goes in the middle of page programs and sector erases, again and again.
 * Each time it starts again with outputs off and has everything but what was just being written.
 */
import { expect } from 'vitest';
import { SimulatedFlash } from '../../firmware/bench/flash';
import { fillJournal } from '../../firmware/bench/full-journal';
import { Random } from '../../firmware/bench/random';
import type { BuiltImage } from '../../firmware/image/build';
import { profileSlots } from '../../firmware/storage/profile-slots';
import { openSettings } from '../../firmware/storage/settings';
import { CHECKPOINT_BYTES, unpackCheckpoint } from '../../firmware/tray/checkpoint';
import { emptyRunState } from '../../firmware/tray/run-state';
import { SETTING } from '../../firmware/tray/setting-keys';
import { FLASH_MAP, FLASH_SECTOR_BYTES } from '../../shared/board/map';
import { fromBase64 } from '../../shared/bytes';
import { ENTRY_BYTES, entrySequence, isEntrySound } from '../../shared/journal/codec';
import { decodeProfile, encodeProfile } from '../../shared/profile/image';
import { replayWith } from '../properties';
import { sownTray } from '../simulation/scenes';
import { type Cut, type CutPlan, KEPT_THINGS, OPERATIONS } from './cut-flash';
import { isUnheard, LongLife, PROFILES } from './long-life';

type Cuts = Readonly<Record<`${CutPlan['thing']}-${CutPlan['operation']}`, number>>;
/** How many cuts of each kind in a life: more than fifty. */
export const MANY_CUTS: Cuts = {
  'journal-program': 13,
  'journal-erase': 5,
  'settings-program': 15,
  'settings-erase': 3,
  'profile-program': 10,
  'profile-erase': 6,
};
/** Of a life that is another one in each run: those of many runs add up. */
export const SOME_CUTS: Cuts = {
  'journal-program': 7,
  'journal-erase': 3,
  'settings-program': 8,
  'settings-erase': 2,
  'profile-program': 5,
  'profile-erase': 3,
};
/** For one life, on a machine that does other things as well. */
export const CUTS_LIMIT_MS = 900_000;
/** Entries of the journal looked at over the link after each cut: the newest ones. */
const ENTRIES_READ = 24;
const TRIES = 3;
/** Sectors erased from the cut to the end of the checks: the torn one again, and one ahead. */
const ERASED_MAX = 2;

const IMAGES = PROFILES.map((profile) => encodeProfile(profile));
const IDS = IMAGES.map((image) => {
  const decoded = decodeProfile(image);
  return decoded.ok ? decoded.id : 0;
});

const SECTORS = FLASH_MAP.journal.bytes / FLASH_SECTOR_BYTES;
const sectorAt = (index: number): number => FLASH_MAP.journal.offset + index * FLASH_SECTOR_BYTES;

/** Sound journal entries in the sector at `start`, as text by their sequence, each once. */
function entriesIn(bytes: Uint8Array, start: number): Map<number, string> {
  const found = new Map<number, string>();
  for (let at = start + ENTRY_BYTES; at < start + FLASH_SECTOR_BYTES; at += ENTRY_BYTES) {
    if (!isEntrySound(bytes, at)) continue;
    expect(found.has(entrySequence(bytes, at)), 'an entry is there once').toBe(false);
    found.set(entrySequence(bytes, at), String(bytes.subarray(at, at + ENTRY_BYTES)));
  }
  return found;
}

/** Sequence of the first entry of each journal sector, 0 for an empty one. */
const firstSequences = (bytes: Uint8Array): number[] =>
  Array.from({ length: SECTORS }, (_, index) => {
    const at = sectorAt(index) + ENTRY_BYTES;
    return isEntrySound(bytes, at) ? entrySequence(bytes, at) : 0;
  });

/** The newest entries on a chip: those of the two sectors written last. */
function newestEntries(bytes: Uint8Array): Map<number, string> {
  const last = firstSequences(bytes)
    .map((sequence, index) => ({ sequence, index }))
    .sort((a, b) => b.sequence - a.sequence)
    .slice(0, 2);
  return new Map(last.flatMap(({ index }) => [...entriesIn(bytes, sectorAt(index))]));
}

const settingsOn = (bytes: Uint8Array) => openSettings(new SimulatedFlash({ contents: bytes }));
const textOf = (value: Uint8Array | null): string => (value === null ? 'none' : String(value));

/** What the checkpoint on a chip says. */
function runOn(bytes: Uint8Array) {
  const run = emptyRunState();
  const packed = settingsOn(bytes).get(SETTING.run);
  expect(packed?.length).toBe(CHECKPOINT_BYTES);
  if (packed !== null) expect(unpackCheckpoint(packed, run)).toBe(true);
  return run;
}

/** Every setting is the one of before or the one being written. */
function checkSettings(whole: readonly Uint8Array[], torn: Uint8Array): void {
  const allowed = whole.map(settingsOn);
  const found = settingsOn(torn);
  for (const key of Object.values(SETTING)) {
    const texts = allowed.map((settings) => textOf(settings.get(key)));
    expect(texts, `setting ${key}`).toContain(textOf(found.get(key)));
  }
}

/** Nothing is lost on the chip itself but what the cut operation was about. */
function checkChip({ thing, operation, offset, before, completed, torn }: Cut): void {
  const sector = offset - (offset % FLASH_SECTOR_BYTES);
  if (thing === 'journal' && operation === 'program') {
    const after = entriesIn(torn, sector);
    for (const [sequence, text] of entriesIn(before, sector)) {
      expect(after.get(sequence), `entry ${sequence}`).toBe(text);
    }
  }
  if (thing === 'settings') checkSettings([before, completed], torn);
  const run = runOn(torn);
  const image = profileSlots(new SimulatedFlash({ contents: torn })).load(run.program.slot);
  expect(IDS).toContain(run.program.profileId);
  expect(textOf(image), 'the profile in use is whole').toBe(
    textOf(IMAGES[IDS.indexOf(run.program.profileId)] ?? null),
  );
}

/** The board tells the same over its link: the profile, the weights and its newest entries. */
function checkTold({ grower }: LongLife, cut: Cut): void {
  const status = asked(() => grower.status());
  const run = runOn(cut.torn);
  expect(status.profile?.id).toBe(run.program.profileId);
  expect(status.stage?.index).toBe(run.progress.stage);
  expect(status.water.capacityG).toBeCloseTo(run.weights.capacityG, 0);
  expect(status.water.scale).not.toBe('uncalibrated');
  const kept = newestEntries(cut.torn);
  const newest = Math.max(...kept.keys());
  const { next } = asked(() => grower.call('journal.info', {}, false));
  const told = new Map<number, string>();
  let last = 0;
  for (let from = newest - ENTRIES_READ; from < next; ) {
    const page = asked(() => grower.call('journal.page', { from, count: ENTRIES_READ }, false));
    const bytes = fromBase64(page.data) ?? new Uint8Array();
    for (let at = 0; at < page.count * ENTRY_BYTES; at += ENTRY_BYTES) {
      const sequence = entrySequence(bytes, at);
      expect(sequence, 'entries come in order').toBeGreaterThan(last);
      last = sequence;
      told.set(sequence, String(bytes.subarray(at, at + ENTRY_BYTES)));
    }
    from = page.from + Math.max(1, page.count);
  }
  for (const [sequence, text] of kept) {
    if (sequence >= newest - ENTRIES_READ) expect(told.get(sequence)).toBe(text);
  }
}

function asked<T>(ask: () => T): T {
  for (let tries = 1; ; tries += 1) {
    try {
      return ask();
    } catch (error) {
      if (tries >= TRIES || !isUnheard(error)) throw error;
    }
  }
}

/** Since the cut only the oldest sectors were erased, and nothing was written over. */
function checkUntouched({ torn }: Cut, now: Uint8Array): void {
  const firsts = firstSequences(torn);
  const erased: number[] = [];
  for (let index = 0; index < SECTORS; index += 1) {
    const [start, end] = [sectorAt(index), sectorAt(index + 1)];
    const isKept = (at: number) => torn[at] === 0xff || torn[at] === now[at];
    let at = start;
    while (at < end && isKept(at)) at += 1;
    if (at < end) erased.push(firsts[index] ?? 0);
  }
  const oldest = firsts.filter((sequence) => sequence > 0).sort((a, b) => a - b);
  const mayGo = oldest.slice(0, erased.length);
  expect(erased.length).toBeLessThanOrEqual(ERASED_MAX);
  for (const sequence of erased) if (sequence > 0) expect(mayGo).toContain(sequence);
}

/** Every kind as often as wanted, in an order and at operations that the seed decides. */
function plans(seed: number, cuts: Cuts): CutPlan[] {
  const random = new Random(seed ^ 0xc07);
  const all = KEPT_THINGS.flatMap((thing) =>
    OPERATIONS.flatMap((operation) =>
      Array.from({ length: cuts[`${thing}-${operation}`] }, (): CutPlan => {
        const most = operation === 'erase' ? (thing === 'profile' ? 3 : 1) : 5;
        return { thing, operation, nth: 1 + Math.floor(random.between(0, most)) };
      }),
    ),
  );
  return all
    .map((plan) => ({ plan, order: random.bits() }))
    .sort((a, b) => a.order - b.order)
    .map(({ plan }) => plan);
}

/** A tray that has been sown, with a journal that has gone round its ring. */
function livedIn(): Uint8Array {
  const { bench } = sownTray();
  fillJournal(bench.flash);
  return bench.flash.bytes;
}

/** Lives through all the cuts of this seed, and finds after each that nothing else is lost. */
export function liveThrough(image: BuiltImage, seed: number, cuts: Cuts): void {
  const life = new LongLife(image, livedIn(), seed);
  life.start();
  plans(seed, cuts).forEach((plan, index) => {
    const where = `cut ${index + 1}: ${plan.thing} ${plan.operation} ${plan.nth}`;
    try {
      const cut = life.cutOnce(plan);
      life.start();
      checkChip(cut);
      checkTold(life, cut);
      checkUntouched(cut, life.flash.bytes);
      const { faults, complaints } = life.bench.chip;
      expect([...faults, ...complaints].join('; ')).toBe('');
    } catch (error) {
      throw new Error(
        `${replayWith(seed)}, ${where}: ${error instanceof Error ? error.message : error}`,
        {
          cause: error,
        },
      );
    }
  });
  expect(Object.fromEntries(life.hits)).toEqual(cuts);
}
