import { describe, expect, it } from 'vitest';
import { PowerCut, SimulatedFlash } from '../../firmware/bench/flash';
import { openJournal } from '../../firmware/storage/journal';
import { profileSlots } from '../../firmware/storage/profile-slots';
import { openSettings } from '../../firmware/storage/settings';
import { crc32 } from '../../shared/bytes';
import { ENTRY_BYTES, unpackEntry } from '../../shared/journal/codec';
import { SEEDS } from '../properties';

const IMAGE = Uint8Array.from({ length: 700 }, (_, i) => (i * 31) & 0xff);

/** What the writer knows it was told had been written. */
interface Known {
  settings: Map<number, number>;
  /** Key and value being written when the power went. */
  torn: { key: number; value: number } | null;
  entries: number;
  sealed: boolean;
}

const filled = (n: number): Uint8Array => new Uint8Array(300).fill(n & 0xff);

/** Checkpoints, journal entries and a profile load, as a tray writes them; `known` follows along. */
function scenario(flash: SimulatedFlash, known: Known): void {
  const settings = openSettings(flash);
  const journal = openJournal(flash);
  const slots = profileSlots(flash);
  for (let round = 1; round <= 40; round++) {
    const key = 1 + (round % 3);
    known.torn = { key, value: round };
    if (settings.set(key, filled(round))) known.settings.set(key, round);
    known.torn = null;
    const body = { kind: 'fault', code: round, detail: 0 } as const;
    if (journal.append(1, round * 1000, body)) known.entries++;
    journal.prepare();
    settings.prepare();
    if (round === 20) {
      slots.begin(1, IMAGE.length);
      slots.write(1, 0, IMAGE);
      known.sealed = slots.seal(1, IMAGE.length, crc32(IMAGE));
    }
  }
}

const nothing = (): Known => ({ settings: new Map(), torn: null, entries: 0, sealed: false });

/** Operations of the whole scenario on a fresh chip. */
function operations(): number {
  const flash = new SimulatedFlash({ seed: 1 });
  let count = 0;
  const counting = {
    flashRead: (offset: number, into: Uint8Array) => flash.flashRead(offset, into),
    flashProgram: (offset: number, bytes: Uint8Array) => {
      count++;
      return flash.flashProgram(offset, bytes);
    },
    flashErase: (offset: number) => {
      count++;
      return flash.flashErase(offset);
    },
  };
  scenario(counting as SimulatedFlash, nothing());
  return count;
}

describe('power cut at every flash operation', () => {
  it('leaves the old or the new value, loses at most the entry being written, and goes on', () => {
    const total = operations();
    expect(total).toBeGreaterThan(100);
    for (const seed of [1, ...SEEDS]) {
      for (let k = 1; k <= total; k++) {
        const where = `cut at operation ${k}, seed ${seed}`;
        const flash = new SimulatedFlash({ seed: seed + k });
        const known = nothing();
        flash.cutPowerAt(k);
        expect(() => scenario(flash, known), where).toThrow(PowerCut);
        flash.restore();

        const settings = openSettings(flash);
        for (const [key, value] of known.settings) {
          const found = settings.get(key)?.[0];
          const allowed = known.torn?.key === key ? [value, known.torn.value] : [value];
          expect(allowed, where).toContain(found);
        }
        const journal = openJournal(flash);
        const page = new Uint8Array(64 * ENTRY_BYTES);
        const read = journal.readPacked(journal.first(), 64, page);
        const sequences = Array.from({ length: read.count }, (_, i) =>
          unpackEntry(page, i * ENTRY_BYTES),
        )
          .filter((entry) => entry !== null)
          .map(({ sequence }) => sequence);
        expect(sequences.length, where).toBeGreaterThanOrEqual(known.entries);
        expect(new Set(sequences).size, where).toBe(sequences.length);
        const image = profileSlots(flash).load(1);
        if (known.sealed) expect(image, where).toEqual(IMAGE);
        else if (image !== null) expect(image, where).toEqual(IMAGE);

        // The board goes on: the same scenario again, uncut.
        const after = nothing();
        scenario(flash, after);
        const last = openSettings(flash);
        for (const [key, value] of after.settings) expect(last.get(key)?.[0], where).toBe(value);
        expect(after.entries, where).toBe(40);
      }
    }
  });
});
