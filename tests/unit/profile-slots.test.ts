import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SimulatedFlash } from '../../firmware/bench/flash';
import { profileSlots, SLOT_IMAGE_BYTES } from '../../firmware/storage/profile-slots';
import { FLASH_MAP } from '../../shared/board/map';
import { crc32 } from '../../shared/bytes';
import { holds } from '../properties';
import { stepsAsking } from './step';

const REGIONS = [FLASH_MAP.profileA, FLASH_MAP.profileB] as const;
const imageOf = (length: number, seed: number): Uint8Array =>
  Uint8Array.from({ length }, (_, i) => (i * 31 + seed) & 0xff);

interface Slot {
  /** What has been written since `begin`, and where the next piece goes. */
  readonly image: Uint8Array;
  next: number;
  sealed: boolean;
}
type Model = [Slot | null, Slot | null];
const empty = (): Model => [null, null];
interface Real {
  readonly flash: SimulatedFlash;
}

const step = stepsAsking<Model, Real>((model, { flash }) => {
  // Opened anew each time: the slots are on the flash or nowhere.
  const slots = profileSlots(flash);
  for (const slot of [0, 1] as const) {
    const image = model[slot]?.sealed === true ? model[slot].image : null;
    expect(slots.load(slot)).toEqual(image);
    expect(slots.size(slot)).toBe(image?.length ?? 0);
  }
});

const begin = (slot: 0 | 1, length: number, seed: number) =>
  step(`begin slot ${slot}, ${length} bytes`, (model, { flash }) => {
    expect(profileSlots(flash).begin(slot, length)).toBe(true);
    model[slot] = { image: imageOf(length, seed), next: 0, sealed: false };
  });
const write = (slot: 0 | 1, length: number) =>
  step(`write ${length} bytes to slot ${slot}`, (model, { flash }) => {
    const to = model[slot];
    if (to === null || to.sealed) return;
    const piece = to.image.subarray(to.next, to.next + length);
    expect(profileSlots(flash).write(slot, to.next, piece)).toBe(true);
    to.next += piece.length;
  });
const seal = (slot: 0 | 1) =>
  step(`seal slot ${slot}`, (model, { flash }) => {
    const to = model[slot];
    if (to === null || to.sealed) return;
    const whole = to.next === to.image.length;
    const sealed = profileSlots(flash).seal(slot, to.image.length, crc32(to.image));
    // An image that ends in erased bytes is whole without them.
    expect(sealed || !whole).toBe(true);
    if (!whole && sealed) expect(to.image.subarray(to.next).every((b) => b === 0xff)).toBe(true);
    to.sealed = sealed;
  });

const anySlot = fc.constantFrom<0 | 1>(0, 1);
const anyLength = fc.integer({ min: 1, max: SLOT_IMAGE_BYTES });
const steps = [
  fc.tuple(anySlot, anyLength, fc.nat(255)).map((args) => begin(...args)),
  fc.tuple(anySlot, fc.integer({ min: 1, max: 512 })).map((args) => write(...args)),
  fc.tuple(anySlot, fc.constant(SLOT_IMAGE_BYTES)).map((args) => write(...args)),
  anySlot.map(seal),
];

/** A slot with an image in it, on a chip of its own. */
function loaded(slot: 0 | 1, image: Uint8Array): SimulatedFlash {
  const flash = new SimulatedFlash();
  const slots = profileSlots(flash);
  slots.begin(slot, image.length);
  slots.write(slot, 0, image);
  expect(slots.seal(slot, image.length, crc32(image))).toBe(true);
  return flash;
}

describe('the profile slots', () => {
  it('load exactly the images that were sealed whole, each slot by itself', () => {
    holds(
      fc.property(fc.commands(steps, { maxCommands: 40, size: 'max' }), (commands) => {
        fc.modelRun(() => ({ model: empty(), real: { flash: new SimulatedFlash() } }), commands);
      }),
      { numRuns: 60 },
    );
  });

  it('hold nothing on a new chip', () => {
    const slots = profileSlots(new SimulatedFlash());
    expect([slots.load(0), slots.load(1), slots.size(0), slots.size(1)]).toEqual([
      null,
      null,
      0,
      0,
    ]);
  });

  it('refuse an image that does not fit', () => {
    const slots = profileSlots(new SimulatedFlash());
    expect(slots.begin(0, SLOT_IMAGE_BYTES + 1)).toBe(false);
    expect(slots.write(0, SLOT_IMAGE_BYTES - 1, new Uint8Array(2))).toBe(false);
    expect(slots.seal(0, SLOT_IMAGE_BYTES + 1, 0)).toBe(false);
  });

  it('are not sealed when the image is not the one that was promised', () => {
    const flash = new SimulatedFlash();
    const slots = profileSlots(flash);
    const image = imageOf(600, 1);
    slots.begin(1, image.length);
    slots.write(1, 0, image);
    expect(slots.seal(1, image.length, crc32(image) ^ 1)).toBe(false);
    expect(slots.load(1)).toBe(null);
  });

  it('with any bit of the image or its header changed, load nothing', () => {
    const image = imageOf(600, 1);
    const { offset } = REGIONS[1];
    const headerBits = 16 * 8;
    const good = loaded(1, image).bytes;
    holds(
      fc.property(fc.nat(headerBits + image.length * 8 - 1), (pick) => {
        const flash = new SimulatedFlash({ contents: good });
        const bit = pick < headerBits ? pick : pick - headerBits + 256 * 8;
        const at = offset + (bit >> 3);
        flash.bytes[at] = (flash.bytes[at] ?? 0) ^ (1 << (bit & 7));
        expect(profileSlots(flash).load(1)).toBe(null);
      }),
    );
  });

  it('on a worn-out sector refuse, and the other slot keeps its image', () => {
    const image = imageOf(900, 3);
    const flash = loaded(0, image);
    flash.setWorn(REGIONS[1].offset, true);
    const slots = profileSlots(flash);
    expect(slots.begin(1, 900)).toBe(false);
    expect(slots.load(0)).toEqual(image);
    expect(slots.load(1)).toBe(null);
  });
});
