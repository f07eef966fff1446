/** `board image`: the flash image on to the drive of a board that waits for it. */
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { readImage } from '../../cli/bench/image';
import { bootDrives, mountPlaces } from '../../cli/board/boot-drive';
import { LinkError } from '../../cli/link/client';
import { BootDrive } from '../../firmware/bench/boot-drive';
import { withBootStageCrc } from '../../firmware/bench/chip/boot-stage';
import { SimulatedFlash } from '../../firmware/bench/flash';
import { version } from '../../package.json';
import { fromUf2, toUf2, UF2_BLOCK_BYTES } from '../../shared/board/uf2';
import { sha256 } from '../../shared/host/sha256';
import { holds } from '../properties';
import { Grower } from '../simulation/grower';
import { json, unwrapped } from './program';
import { clientOf, runIn, worldOf } from './worlds';

/** As the boot ROM writes it (RP2040 data sheet 2.8.4; text from memory). */
const INFO = 'UF2 Bootloader v3.0\nModel: Raspberry Pi RP2\nBoard-ID: RPI-RP2\n';

const IMAGE = withBootStageCrc(new Uint8Array(1000).fill(7));
/** Where the file has bytes of the second page: behind the head of its first block. */
const SECOND_PAGE_AT = 32;
/** It comes last. */
const BOOT_STAGE_AT = 3 * UF2_BLOCK_BYTES + 40;

let folder = '';
let drive = '';
let image = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'trayward-boot-'));
  drive = join(folder, 'drive');
  mkdirSync(drive);
  writeFileSync(join(drive, 'INFO_UF2.TXT'), INFO);
  image = join(folder, 'trayward.uf2');
  writeFileSync(image, toUf2(IMAGE, version, sha256));
});
afterEach(() => rmSync(folder, { recursive: true }));

/** Nobody waits in the real world: time goes by at once. */
const put = (words: readonly string[], changes: Parameters<typeof worldOf>[0] = {}) =>
  runIn(worldOf({ findControllers: async () => [], ...changes }), [
    ...['--json', 'board', 'image'],
    ...words,
  ]);

/** A board that took its image shows no drive any more. */
const taken = async (): Promise<void> => rmSync(join(drive, 'INFO_UF2.TXT'), { force: true });

describe('board image', () => {
  it('copies every byte to the drive, and tells which board answers then', async () => {
    const { hello } = clientOf(new Grower());
    const other = { port: 'other', hello: { ...hello, boardId: 'e6616408432f0000' } };
    let asked = 0;
    // Another board is there all along; the new one comes a little later.
    const findControllers = async () => (++asked < 3 ? [other] : [other, { port: 'bench', hello }]);
    const said = await put(['--to', drive, '--image', image], { findControllers });
    expect(said.code).toBe(0);
    expect(onTheBoard()).toEqual(fromUf2(readFileSync(image)));
    expect(json(said).result).toMatchObject({ drive, boardId: hello.boardId, firmware: version });
  });

  it('says that a drive which stays was not taken by its board', async () => {
    const said = await put(['--to', drive, '--image', image]);
    expect(json(said).error).toMatchObject({ kind: 'failed', reason: 'image-not-taken' });
  });

  it('takes the image that lies beside the program', async () => {
    mkdirSync(join(folder, 'dist'));
    const script = join(folder, 'dist', 'trayward.mjs');
    const said = await put(['--to', drive], { script, pause: taken });
    expect(json(said).result).toMatchObject({ image, boardId: null });
  });

  it('tells why a board does not run the image, where it says so', async () => {
    const findControllers = () =>
      Promise.reject(new LinkError('refused', 'The flash is too small.'));
    const said = await runIn(worldOf({ findControllers }), [
      ...['board', 'image', '--to', drive, '--image', image],
    ]);
    expect(unwrapped(said.stdout)).toContain('does not run it: The flash is too small.');
  });

  it('says that nobody answers yet, and that the image is there all the same', async () => {
    const alone = worldOf({ findControllers: async () => [], pause: taken });
    const said = await runIn(alone, ['board', 'image', '--to', drive, '--image', image]);
    expect(said.code).toBe(0);
    expect(unwrapped(said.stdout)).toContain('No new controller has answered yet');
  });

  it.each([
    ['a folder that is no boot drive', () => rmSync(join(drive, 'INFO_UF2.TXT')), 'no-boot-drive'],
    [
      'the drive of another chip',
      () => writeFileSync(join(drive, 'INFO_UF2.TXT'), 'Board-ID: OTHER\n'),
      'no-boot-drive',
    ],
    [
      'an image cut short',
      () => writeFileSync(image, readFileSync(image).subarray(0, 700)),
      'bad-image',
    ],
    ['an image whose boot stage is damaged', () => spoil(BOOT_STAGE_AT), 'bad-image'],
    ['an image that is damaged anywhere else', () => spoil(SECOND_PAGE_AT), 'bad-image'],
    ['no image', () => rmSync(image), 'no-such-file'],
  ])('refuses %s, and writes nothing', async (_, happens, reason) => {
    happens();
    const said = await put(['--to', drive, '--image', image]);
    expect(said.code).toBeGreaterThan(0);
    expect(json(said).error.reason).toBe(reason);
    expect(json(said).error.next).not.toBe('');
    expect(existsSync(join(drive, 'trayward.uf2'))).toBe(false);
  });

  it('takes an image without a checksum, as older builds made them', async () => {
    writeFileSync(image, toUf2(IMAGE));
    const said = await put(['--to', drive, '--image', image], { pause: taken });
    expect(said.code).toBe(0);
  });

  it('never takes a damaged file for another image', () => {
    const sound = readImage(image);
    const file = readFileSync(image);
    holds(
      fc.property(fc.nat(file.length - 1), fc.integer({ min: 1, max: 255 }), (at, change) => {
        const damaged = Uint8Array.from(file);
        damaged[at] = (damaged[at] ?? 0) ^ change;
        writeFileSync(image, damaged);
        let read: Uint8Array | null = null;
        try {
          read = readImage(image);
        } catch (error) {
          expect(String(error)).toContain('cannot be run');
        }
        // Nothing depends on what fills a block up.
        if (read !== null) expect(read).toEqual(sound);
      }),
    );
  });

  it('says what to press where no board waits', async () => {
    const { error } = json(await put(['--image', image, '--to', join(folder, 'nowhere')]));
    expect(error.message).toContain('is not there');
    expect(error.next).toContain('BOOTSEL');
  });

  /** What the boot ROM makes of the drive's file. */
  function onTheBoard(): Uint8Array {
    const flash = new SimulatedFlash();
    const boot = new BootDrive(flash);
    const file = readFileSync(join(drive, 'trayward.uf2'));
    for (let at = 0; at < file.length; at += UF2_BLOCK_BYTES)
      boot.take(file.subarray(at, at + UF2_BLOCK_BYTES));
    expect(boot.isComplete).toBe(true);
    return flash.bytes.slice(0, fromUf2(readFileSync(image)).length);
  }

  /** Turns a bit of the file over. */
  function spoil(at: number): void {
    const bytes = readFileSync(image);
    bytes[at] = (bytes[at] ?? 0) ^ 1;
    writeFileSync(image, bytes);
  }
});

describe('boot drives', () => {
  it('are found where systems put them, and nothing else is taken for one', () => {
    expect(bootDrives([folder])).toEqual([drive]);
    expect(bootDrives([drive])).toEqual([drive]);
    expect(bootDrives([join(folder, 'nowhere'), join(folder, 'trayward.uf2')])).toEqual([]);
  });

  it('are looked for in the places of each system', () => {
    expect(mountPlaces('darwin', 'ann')).toEqual(['/Volumes']);
    expect(mountPlaces('win32', undefined)).toContain('E:\\');
    expect(mountPlaces('linux', 'ann')).toContain('/run/media/ann');
  });
});
