/** An image on its way to a board: what its blocks say, and what a cut leaves, whenever it comes. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BootDrive } from '../../firmware/bench/boot-drive';
import { bootStageIsSound, withBootStageCrc } from '../../firmware/bench/chip/boot-stage';
import { PowerCut, SimulatedFlash } from '../../firmware/bench/flash';
import { FLASH_BYTES } from '../../shared/board/map';
import {
  digestInUf2,
  fromUf2,
  toUf2,
  UF2_BLOCK_BYTES,
  UF2_PAYLOAD_BYTES,
  uf2Parts,
  versionInUf2,
} from '../../shared/board/uf2';
import { holds } from '../properties';

const PAGES = 70;

/** An image of its own for each `mark`; all of a length. */
const imageOf = (mark: number): Uint8Array =>
  withBootStageCrc(
    Uint8Array.from({ length: PAGES * UF2_PAYLOAD_BYTES }, (_, at) => (at * 7 + mark) & 0x7f),
  );
const OLD = imageOf(1);
const NEW = imageOf(2);

const sectorsOf = (bytes: Uint8Array): Uint8Array[] =>
  Array.from({ length: bytes.length / UF2_BLOCK_BYTES }, (_, at) =>
    bytes.subarray(at * UF2_BLOCK_BYTES, (at + 1) * UF2_BLOCK_BYTES),
  );
/** What the host writes for an image. */
const written = (image: Uint8Array): Uint8Array[] => uf2Parts(toUf2(image)).flatMap(sectorsOf);

function flashOf(image: Uint8Array, seed = 1): SimulatedFlash {
  const contents = new Uint8Array(FLASH_BYTES).fill(0xff);
  contents.set(image);
  return new SimulatedFlash({ seed, contents });
}

const has = (flash: SimulatedFlash, image: Uint8Array): boolean =>
  image.every((byte, at) => flash.bytes[at] === byte);

function copy(drive: BootDrive, sectors: readonly Uint8Array[]): void {
  for (const sector of sectors) drive.take(sector);
}

describe('a UF2 file', () => {
  it('gives the image back, and says the version of its firmware', () => {
    for (const version of ['0.1.0', '10.20.30', '1.0.0-rc.1']) {
      const file = toUf2(NEW, version);
      expect(fromUf2(file)).toEqual(NEW);
      expect(versionInUf2(file)).toBe(version);
    }
    expect(versionInUf2(toUf2(NEW))).toBeNull();
  });

  it('says what its pages come to, and the last one is filled up', () => {
    const digest = Uint8Array.from({ length: 32 }, (_, i) => i);
    let pages = new Uint8Array();
    const file = toUf2(NEW.subarray(0, -100), '1.2.3', (bytes) => {
      pages = Uint8Array.from(bytes);
      return digest;
    });
    expect(digestInUf2(file)).toEqual(digest);
    expect(versionInUf2(file)).toBe('1.2.3');
    expect(pages).toEqual(fromUf2(file));
    expect(digestInUf2(toUf2(NEW, '1.2.3'))).toBeNull();
  });

  it('is none where a block is of a kind that the chip passes over: it would never be complete', () => {
    for (const flags of [0x0000, 0x2001, 0x1000]) {
      const file = toUf2(NEW);
      new DataView(file.buffer).setUint32(UF2_BLOCK_BYTES + 8, flags, true);
      expect(() => fromUf2(file)).toThrow(
        'Block 1 of this UF2 file is one that the chip passes over',
      );
    }
  });

  it('is whole in any order of its blocks, and not with one twice or missing', () => {
    const blocks = sectorsOf(toUf2(NEW));
    const joined = (all: readonly Uint8Array[]) => Uint8Array.from(all.flatMap((one) => [...one]));
    expect(fromUf2(joined([...blocks].reverse()))).toEqual(NEW);
    const [first, ...others] = blocks;
    expect(() => fromUf2(joined(others))).toThrow('does not go with the others');
    expect(() => fromUf2(joined([first, ...blocks.slice(0, -1)].flatMap((b) => b ?? [])))).toThrow(
      'does not go with the others',
    );
  });

  it('is none where a block says another place in the flash than its number', () => {
    const file = toUf2(NEW);
    const view = new DataView(file.buffer);
    // The address of its third block ("block format"), a page further.
    const at = 2 * UF2_BLOCK_BYTES + 12;
    view.setUint32(at, view.getUint32(at, true) + UF2_PAYLOAD_BYTES, true);
    expect(() => fromUf2(file)).toThrow('Block 2 of this UF2 file says another place');
  });
});

describe('a board that is given an image', () => {
  it('has all of it, and starts then and not before', () => {
    const flash = flashOf(OLD);
    const drive = new BootDrive(flash);
    const sectors = written(NEW);
    copy(drive, sectors.slice(0, -1));
    expect(drive.isComplete).toBe(false);
    copy(drive, sectors.slice(-1));
    expect(drive.isComplete).toBe(true);
    expect(has(flash, NEW)).toBe(true);
  });

  it('cut at any write of its flash has the old image, the new one, or waits as a drive', () => {
    const seen = new Set<string>();
    holds(
      fc.property(fc.nat(), fc.integer({ min: 1, max: 2 * PAGES }), (seed, cutAt) => {
        const flash = flashOf(OLD, seed);
        flash.cutPowerAt(cutAt);
        try {
          copy(new BootDrive(flash), written(NEW));
        } catch (error) {
          if (!(error instanceof PowerCut)) throw error;
        }
        const left = has(flash, OLD) ? 'old' : has(flash, NEW) ? 'new' : 'torn';
        seen.add(left);
        // The first erase, cut after a thousandth of its time, may leave the stage and hurt what is behind it.
        if (cutAt > 1) expect(bootStageIsSound(flash.bytes)).toBe(left !== 'torn');
        // And takes it again.
        flash.restore();
        copy(new BootDrive(flash), written(NEW));
        expect(has(flash, NEW)).toBe(true);
      }),
    );
    expect(seen).toContain('torn');
  });

  it('has all of it however the system turns the blocks of a part around, though another copy was begun', () => {
    const parts = uf2Parts(toUf2(NEW)).map(sectorsOf);
    const orders = fc.tuple(
      ...parts.map((part) => fc.shuffledSubarray([...part.keys()], { minLength: part.length })),
    );
    holds(
      fc.property(orders, fc.nat(PAGES), (turned, begun) => {
        const flash = flashOf(OLD);
        const drive = new BootDrive(flash);
        copy(drive, written(OLD).slice(0, begun));
        parts.forEach((part, at) => {
          copy(drive, turned[at]?.map((place) => part[place] ?? new Uint8Array()) ?? []);
        });
        expect(drive.isComplete).toBe(true);
        expect(has(flash, NEW)).toBe(true);
      }),
    );
  });

  it('cut between two blocks is no mixture, whatever image comes then', () => {
    const sectors = written(OLD);
    for (const copied of [2, sectors.length >> 1, sectors.length - 1]) {
      const flash = flashOf(OLD);
      const drive = new BootDrive(flash);
      copy(drive, sectors.slice(0, copied));
      expect(bootStageIsSound(flash.bytes)).toBe(false);
      // The program was killed, and the board has waited on.
      copy(drive, written(NEW));
      expect(drive.isComplete).toBe(true);
      expect(has(flash, NEW)).toBe(true);
    }
  });

  it('leaves what it is written to otherwise alone', () => {
    const flash = flashOf(OLD);
    const drive = new BootDrive(flash);
    copy(drive, [new Uint8Array(UF2_BLOCK_BYTES), new Uint8Array(UF2_BLOCK_BYTES).fill(0x41)]);
    expect(drive.isBegun).toBe(false);
    expect(has(flash, OLD)).toBe(true);
  });
});
