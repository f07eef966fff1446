/** A flash chip too small for the flash map, or none that can be told: refused, and left as it is. */
import { beforeAll, describe, expect, it } from 'vitest';
import { BOOT_STAGE_BYTES } from '../../firmware/bench/chip/boot-stage';
import { Chip, flashWithImage, type OutputChange } from '../../firmware/bench/chip/chip';
import { type FlashChip, W25Q16, W25Q80 } from '../../firmware/bench/flash';
import type { BuiltImage } from '../../firmware/image/build';
import { DOOR, DOORS, FLASH_BYTES } from '../../shared/board/map';
import { refusalSentence } from '../../shared/link/host/refusals';
import { RPC_ERROR } from '../../shared/link/methods';
import { BUILD_LIMIT_MS, cannotBuild, trayward } from './images';
import { Talk } from './talk';

const KB = 1024;

const UNFIT: readonly {
  readonly name: string;
  readonly chip: FlashChip;
  readonly holdsKb: number;
}[] = [
  { name: 'of 1 MB', chip: W25Q80, holdsKb: 1024 },
  { name: 'of 1 MB that says it has two', chip: { ...W25Q80, jedec: W25Q16.jedec }, holdsKb: 1024 },
  {
    name: 'that does not say what it is',
    chip: { ...W25Q16, jedec: [0xff, 0xff, 0xff] },
    holdsKb: 0,
  },
];

describe.skipIf(cannotBuild).each(UNFIT)('a flash chip $name', ({ chip: kind, holdsKb }) => {
  let chip: Chip;
  let image: BuiltImage;
  const changes: OutputChange[] = [];
  beforeAll(async () => {
    image = await trayward();
    chip = new Chip({ flash: flashWithImage(image.bytes, 1, kind) });
    chip.onOutput = (change) => changes.push(change);
    chip.powerOn();
    chip.run(5000);
  }, BUILD_LIMIT_MS);

  it('is neither erased nor written, and its boot stage is whole', () => {
    expect(chip.flash.operations).toBe(0);
    const stage = (bytes: Uint8Array) => bytes.subarray(0, BOOT_STAGE_BYTES);
    expect(stage(chip.flash.bytes)).toEqual(stage(image.bytes));
  });

  it('switches nothing on, and the lamp flashes three times, then is dark for as long', () => {
    expect(changes.filter(({ on, output }) => on && output !== 'lamp')).toEqual([]);
    const flashes = changes.filter(({ on, output }) => on && output === 'lamp').slice(0, 6);
    const gapsMs = flashes
      .slice(1)
      .map(({ atMs }, i) => Math.round((atMs - (flashes[i]?.atMs ?? 0)) / 100));
    expect(gapsMs).toEqual([5, 5, 20, 5, 5]);
    expect(chip.starts).toHaveLength(1);
    expect([...chip.faults, ...chip.complaints]).toEqual([]);
  });

  it.each(DOORS)('is what everybody is told who asks at door %d', (door) => {
    const talk = new Talk(chip, door);
    if (door === DOOR.usb) chip.runUntil(() => chip.usb?.isReady === true, 500);
    const { error } = talk.await(talk.ask('controller.hello'));
    const facts = [holdsKb, FLASH_BYTES / KB, Buffer.from(kind.jedec).toString('hex')];
    expect(error).toEqual({ code: RPC_ERROR.refused, message: 'flash-unfit', data: facts });
    expect(refusalSentence('flash-unfit', facts)).toMatch(
      holdsKb === 0
        ? /does not say how much it holds .* \(it calls itself ffffff\), and 2048 KB are needed/
        : /2048 KB are needed, and it holds 1024 KB/,
    );
    expect(talk.damaged).toEqual([]);
  });
});
