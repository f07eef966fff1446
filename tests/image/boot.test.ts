/** The image starts as it must: outputs safe first, soon ready, nothing done that silicon forbids. */
import { beforeAll, describe, expect, it } from 'vitest';
import type { OutputChange } from '../../firmware/bench/chip/chip';
import { Chip, flashWithImage } from '../../firmware/bench/chip/chip';
import { IMAGE_BUDGETS } from '../../firmware/image/budgets';
import type { BuiltImage } from '../../firmware/image/build';
import { DOOR, UART_BAUD } from '../../shared/board/map';
import { fromUf2, toUf2 } from '../../shared/board/uf2';
import {
  BUILD_LIMIT_MS,
  cannotBuild,
  figures,
  firstTickMs,
  powered,
  trayward,
  usedFlash,
} from './images';
import { Talk } from './talk';

describe.skipIf(cannotBuild)('the image at start', () => {
  let image: BuiltImage;
  beforeAll(async () => {
    image = await trayward();
  }, BUILD_LIMIT_MS);

  it('drives mat, pump and sounder low within 5 ms, and never high before the first tick', () => {
    const changes: OutputChange[] = [];
    const chip = new Chip({ flash: flashWithImage(image.bytes) });
    chip.onOutput = (change) => changes.push(change);
    chip.powerOn();
    expect(chip.runUntil(() => chip.drives('mat') && chip.drives('pump'), 5, 0.01)).toBe(true);
    firstTickMs(chip, image);
    expect(changes.filter((change) => change.on && change.output !== 'lamp')).toEqual([]);
  });

  it('makes its first control tick within 1.5 s of power-up on a new board', () => {
    const chip = powered(image);
    expect(firstTickMs(chip, image)).toBeLessThan(IMAGE_BUDGETS.firstTickMs);
  });

  it('makes it in that time with settings and journal full, and knows everything again', () => {
    const chip = new Chip({ flash: usedFlash(image) });
    chip.powerOn();
    expect(firstTickMs(chip, image)).toBeLessThan(IMAGE_BUDGETS.firstTickMs);
    const talk = new Talk(chip, DOOR.uart);
    // The first tick is followed by erasing ahead of need, in which UART0 loses what is said to it.
    expect(talk.insist('controller.hello')).toMatchObject({ boot: 2 });
    expect(talk.call('status.read')).toMatchObject({
      profile: { title: 'Test tray' },
      stage: { name: 'germinate' },
    });
    expect(chip.starts).toHaveLength(1);
  });

  it('breaks none of the strict rules in ten seconds, and ticks once a second', () => {
    const chip = powered(image);
    chip.run(10_700);
    expect(chip.faults).toEqual([]);
    expect(chip.complaints).toEqual([]);
    expect(chip.starts).toHaveLength(1);
    const { ticks, startUs } = figures(chip, image);
    expect(ticks).toBe(1 + Math.floor((10_700 - startUs / 1000) / 1000));
  });

  it('sets UART0 to the speed that the laptop opens it with', () => {
    const chip = powered(image);
    firstTickMs(chip, image);
    // A start bit and half the stop bit apart, a receiver bears 5 %; two clocks share it.
    expect(Math.abs((chip.uart?.baud ?? 0) / UART_BAUD - 1)).toBeLessThan(0.02);
  });

  it('waits as a USB drive when the boot stage is damaged', () => {
    const damaged = Uint8Array.from(image.bytes);
    damaged[10] = (damaged[10] ?? 0) ^ 1;
    const chip = new Chip({ flash: flashWithImage(damaged) });
    chip.powerOn();
    chip.run(1000);
    expect(chip.bootDrive).not.toBeNull();
    expect([...chip.outputsOn]).toEqual([]);
  });

  it('comes back whole from its UF2 file', () => {
    const file = toUf2(image.bytes);
    expect(fromUf2(file).subarray(0, image.bytes.length)).toEqual(image.bytes);
  });

  it('tells its USB name and serial number in a complete enumeration', () => {
    const chip = powered(image);
    chip.runUntil(() => chip.usb?.isReady === true, 1000);
    expect(chip.usb?.found?.product).toBe('Trayward');
    expect(chip.usb?.found?.serialNumber).toBe(chip.boardId);
    expect(chip.usb?.found?.configuration).toHaveLength(75);
    // Functions with an association descriptor each: else Windows may load no driver (USB ECN, IAD).
    expect([...(chip.usb?.found?.device ?? [])].slice(4, 7)).toEqual([0xef, 2, 1]);
    const refused = chip.usb?.transfers.filter(({ reply }) => reply === null) ?? [];
    // Only the qualifier, which a full-speed device does not have (USB 2.0 section 9.6.2).
    expect(refused.map(({ transfer }) => transfer.value >> 8)).toEqual([6]);
  });
});
