/**
 * A flash chip that takes as long as its data sheet allows, nine times what is usual: interrupts are off
 * for so long, and nothing may come of it but a moment's delay.
 */
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { SLOWEST_FLASH } from '../../firmware/bench/chip/rom';
import type { BuiltImage } from '../../firmware/image/build';
import { openJournal } from '../../firmware/storage/journal';
import { DOOR, FLASH_MAP, LIMITER, MAT_LOOK, SAFETY_STEP_MS } from '../../shared/board/map';
import { crc32 } from '../../shared/bytes';
import { RPC_ERROR } from '../../shared/link/methods';
import { encodeProfile } from '../../shared/profile/image';
import { MINUTE_MS } from '../../shared/units/time';
import { TEST_PROFILE } from '../simulation/grower';
import { sownTray } from '../simulation/scenes';
import {
  BUILD_LIMIT_MS,
  cannotBuild,
  misbehaving,
  onTimer,
  powered,
  takenOver,
  trayward,
} from './images';
import { inService, type TrayInHeat } from './link-scene';
import { sendChunks } from './talk';
import { fillJournalSector, sameEntries, wear } from './wear';

const ERASE_MS = SLOWEST_FLASH.eraseSectorMs;
/** Time that the pin itself and the runtime's own work take. */
const BESIDE_MS = 5;
const LATE_MS = ERASE_MS + SAFETY_STEP_MS + BESIDE_MS;

describe.skipIf(cannotBuild)('while a slow flash erases', { timeout: BUILD_LIMIT_MS }, () => {
  const erases = `board.flashErase(${FLASH_MAP.journal.offset});`;
  const program = misbehaving('slow-flash', {
    'leases, and erases': {
      tick: `if (ticks === 1) board.leaseMat(1100);
       if (ticks === 2) { board.leasePump(100); ${erases} }
       if (ticks === 4) { board.leaseMat(300); board.leasePump(300); }`,
    },
    'heats, and erases': { tick: `board.leaseMat(10000); if (ticks === 3) ${erases}` },
  });

  it('a lease that runs out ends with the erase, and the next one on time again', async () => {
    const chip = powered(await program('leases, and erases'), 1, SLOWEST_FLASH);
    const [matOnMs, pumpOnMs] = [onTimer(chip, 'mat'), onTimer(chip, 'pump')];
    chip.run(3000);
    // The mat's switch closes a little later than its lease begins.
    const closesMs = (MAT_LOOK.feedSteps + 1) * SAFETY_STEP_MS;
    const [matBeforeMs, pumpBeforeMs] = [matOnMs(chip.nowMs), pumpOnMs(chip.nowMs)];
    for (const [onMs, lateMs] of [
      [matBeforeMs - 1000, closesMs],
      [pumpBeforeMs, 0],
    ] as const) {
      expect(onMs).toBeGreaterThan(ERASE_MS - lateMs);
      expect(onMs).toBeLessThan(LATE_MS);
    }
    chip.run(2000);
    for (const [onMs, lateMs] of [
      [matOnMs(chip.nowMs) - matBeforeMs, closesMs],
      [pumpOnMs(chip.nowMs) - pumpBeforeMs, 0],
    ] as const) {
      expect(onMs).toBeGreaterThan(300 - lateMs - BESIDE_MS);
      expect(onMs).toBeLessThan(300 + SAFETY_STEP_MS + BESIDE_MS);
    }
    expect(chip.starts).toHaveLength(1);
  });

  it('the limiter opens the mat of a probe that breaks meanwhile, with the end of the erase', async () => {
    const chip = powered(await program('heats, and erases'), 1, SLOWEST_FLASH);
    expect(chip.runUntil(() => chip.flash.operations > 0, 5000)).toBe(true);
    const erasedMs = chip.nowMs;
    chip.adcCodes[0] = LIMITER.openCode + 20;
    expect(chip.runUntil(() => !chip.outputsOn.has('mat'), LATE_MS)).toBe(true);
    expect(chip.nowMs - erasedMs).toBeLessThan(LATE_MS);
  });
});

const DOORS = [
  { name: 'USB', door: DOOR.usb, other: DOOR.uart },
  { name: 'UART0', door: DOOR.uart, other: DOOR.usb },
] as const;

describe.skipIf(cannotBuild).each(DOORS)(
  'a tray at work with a slow flash, on $name,',
  { timeout: BUILD_LIMIT_MS },
  ({ door, other }) => {
    let tray: TrayInHeat;
    beforeAll(async () => {
      tray = await inService(door, SLOWEST_FLASH);
    }, BUILD_LIMIT_MS);
    afterEach(() => tray.expectUnharmed());
    afterAll(() => tray.expectNothingKept(), BUILD_LIMIT_MS);

    it('takes a profile, whose slot is two erases, and answers whoever asks at the other door', () => {
      const [loader, asker] = [tray.talk(), tray.talk(other)];
      const image = encodeProfile({ ...TEST_PROFILE, title: 'Loaded slowly' });
      const slots = loader.call('profile.slots');
      const { operations } = tray.chip.flash;
      const begun = loader.ask('profile.begin', {
        token: 1,
        bytes: image.length,
        crc: crc32(image),
      });
      // The first erase is over, and the second begins: the request comes in the middle of it.
      expect(tray.chip.runUntil(() => tray.chip.flash.operations > operations, 2 * ERASE_MS)).toBe(
        true,
      );
      const asked = asker.ask('status.read');
      expect(loader.await(begun).result).toBeDefined();
      tray.digest();
      // UART0 keeps 32 bytes while nobody listens: then the line costs an error, and is sent again.
      if (other === DOOR.usb) expect(asker.replyTo(asked)?.result).toBeDefined();
      expect(asker.insist('status.read')).toHaveProperty('stage');
      const errors = asker.replies.flatMap(({ error }) => (error ? [error.code] : []));
      expect(new Set(errors)).toEqual(new Set(other === DOOR.usb ? [] : [RPC_ERROR.parse]));
      expect([...asker.damaged, ...loader.damaged]).toEqual([]);
      sendChunks(loader, image);
      expect(loader.call('profile.slots')).toEqual(slots);
    });
  },
);

describe.skipIf(cannotBuild)('a slow flash', { timeout: BUILD_LIMIT_MS }, () => {
  let image: BuiltImage;
  beforeAll(async () => {
    image = await trayward();
  }, BUILD_LIMIT_MS);

  it('loses no entry when the journal comes to its next sector', () => {
    const before = sownTray();
    fillJournalSector(before);
    const entries = before.journal();
    const next = openJournal(before.bench.flash).next();
    const grower = takenOver(before, image, DOOR.usb, SLOWEST_FLASH);
    grower.bench.run(11 * MINUTE_MS);
    const now = grower.journal();
    sameEntries(now, entries);
    const newer = now.filter(({ sequence }) => sequence >= next);
    expect(newer.map(({ kind }) => kind)).toEqual(['boot', 'reading', 'reading', 'reading']);
    expect(newer.map(({ sequence }) => sequence - next)).toEqual([0, 1, 2, 3]);
    expect(grower.bench.chip.starts).toHaveLength(1);
  });

  it('that is worn as well is an alarm: the board does not take it for a script that hangs', () => {
    const before = sownTray();
    fillJournalSector(before);
    wear(before, FLASH_MAP.journal);
    const entries = before.journal();
    const grower = takenOver(before, image, DOOR.usb, SLOWEST_FLASH);
    grower.bench.run(10 * MINUTE_MS);
    expect(grower.bench.chip.starts).toHaveLength(1);
    expect(grower.alarms()).toEqual(['storage-failing']);
    sameEntries(grower.journal(), entries);
    expect(grower.status().heat.heldBy).toBe(null);
  });
});
