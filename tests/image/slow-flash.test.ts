/**
 * A flash chip that takes as long as its data sheet allows, nine times what is usual. A W25Q lets others in while it erases;
 * another maker's may not: interrupts are off for so long then, and nothing may come of it but a moment's delay.
 */
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import type { Chip } from '../../firmware/bench/chip/chip';
import { causeOf } from '../../firmware/bench/chip/chip-bench';
import { SLOWEST_FLASH, STUBBORN_FLASH } from '../../firmware/bench/chip/rom';
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
  heardLines,
  misbehaving,
  onTimer,
  powered,
  takenOver,
  trayward,
} from './images';
import { inService, type TrayInHeat } from './link-scene';
import { sendChunks } from './talk';
import { fillJournalSector, sameEntries, startsAndWrites, WRITTEN, wear } from './wear';

/** Time that the pin itself and the runtime's own work take. */
const BESIDE_MS = 5;
/** Nothing is wired to it. */
const UNUSED_IRQ = 26;
const ON_TIME_MS = SAFETY_STEP_MS + BESIDE_MS;
/** The mat's switch closes a little later than its lease begins. */
const CLOSES_MS = (MAT_LOOK.feedSteps + 1) * SAFETY_STEP_MS;

const program = misbehaving('slow-flash');

const eraseBegins = (chip: Chip): void =>
  expect(chip.runUntil(() => chip.flash.operations > 0, 5000)).toBe(true);

describe.skipIf(cannotBuild).each([
  { name: 'W25Q', times: SLOWEST_FLASH, lateMs: 0 },
  { name: 'stubborn', times: STUBBORN_FLASH, lateMs: STUBBORN_FLASH.eraseSectorMs },
])('while a slow $name flash erases', { timeout: BUILD_LIMIT_MS }, ({ times, lateMs }) => {
  it(`a lease that runs out ends ${lateMs === 0 ? 'on time' : 'with the erase'}, and the next one on time`, async () => {
    const chip = powered(await program('leases, and erases'), 1, times);
    const [matOnMs, pumpOnMs] = [onTimer(chip, 'mat'), onTimer(chip, 'pump')];
    const last = (ms: number, leastMs: number, leasedMs: number): void => {
      expect(ms).toBeGreaterThan(leastMs);
      expect(ms).toBeLessThan(leasedMs + ON_TIME_MS);
    };
    chip.run(3000);
    const [matBeforeMs, pumpBeforeMs] = [matOnMs(chip.nowMs), pumpOnMs(chip.nowMs)];
    // From the second tick on the erase: a tenth of a second is left of the mat's lease, and of the pump's.
    last(matBeforeMs - 1000, Math.max(100, lateMs) - CLOSES_MS, Math.max(100, lateMs));
    last(pumpBeforeMs, Math.max(100, lateMs) - BESIDE_MS, Math.max(100, lateMs));
    chip.run(2000);
    last(matOnMs(chip.nowMs) - matBeforeMs, 300 - CLOSES_MS - BESIDE_MS, 300);
    last(pumpOnMs(chip.nowMs) - pumpBeforeMs, 300 - BESIDE_MS, 300);
    expect(chip.starts).toHaveLength(1);
  });

  it('the limiter opens the mat of a probe that breaks meanwhile', async () => {
    const chip = powered(await program('heats, and erases'), 1, times);
    eraseBegins(chip);
    const begunMs = chip.nowMs;
    chip.adcCodes[0] = LIMITER.openCode + 20;
    expect(chip.runUntil(() => !chip.outputsOn.has('mat'), times.eraseSectorMs + ON_TIME_MS)).toBe(
      true,
    );
    expect(chip.nowMs - begunMs).toBeLessThan(lateMs + ON_TIME_MS);
  });

  it('the sector is erased in the end, and the board runs on', async () => {
    const chip = powered(await program('erases twice'), 1, times);
    const lines = heardLines(chip);
    chip.run(9000);
    expect(lines).toEqual(['true', 'true']);
    expect([...chip.complaints, ...chip.faults]).toEqual([]);
  });
});

describe.skipIf(cannotBuild)('an erase that is suspended', { timeout: BUILD_LIMIT_MS }, () => {
  it('keeps the second switch closed: its pin turns over at every step', async () => {
    const chip = powered(await program('heats, and erases'), 1, SLOWEST_FLASH);
    eraseBegins(chip);
    const movedMs = [chip.nowMs];
    chip.onOutput = ({ output, atMs }) => {
      if (output === 'feed') movedMs.push(atMs);
    };
    chip.run(SLOWEST_FLASH.eraseSectorMs);
    const gaps = movedMs.slice(1).map((atMs, i) => atMs - (movedMs[i] ?? 0));
    expect(gaps.length).toBeGreaterThanOrEqual(SLOWEST_FLASH.eraseSectorMs / SAFETY_STEP_MS - 1);
    expect(Math.max(...gaps)).toBeLessThan(ON_TIME_MS);
  });

  it('is brought to its end by a chip that suspends so late that nobody looks any more', async () => {
    const late = { ...SLOWEST_FLASH, suspendUs: 500 };
    const chip = powered(await program('erases twice'), 1, late);
    const lines = heardLines(chip);
    chip.run(9000);
    expect(lines).toEqual(['true', 'true']);
    expect([...chip.complaints, ...chip.faults]).toEqual([]);
  });

  it('is ended at the next start when a fault restarts the board meanwhile', async () => {
    const chip = powered(await program('erases twice'), 1, SLOWEST_FLASH);
    const lines = heardLines(chip);
    eraseBegins(chip);
    chip.run(100);
    chip.interrupt(UNUSED_IRQ);
    chip.run(20_000);
    expect(chip.starts.map(causeOf)).toEqual(['power-on', 'fault']);
    // What was cut says nothing; both of the second start do, and neither found the first one in its way.
    expect(lines).toEqual(['true', 'true']);
  });
});

const TRAYS = [
  { name: 'W25Q, on USB', times: SLOWEST_FLASH, door: DOOR.usb, other: DOOR.uart },
  { name: 'W25Q, on UART0', times: SLOWEST_FLASH, door: DOOR.uart, other: DOOR.usb },
  { name: 'stubborn, on USB', times: STUBBORN_FLASH, door: DOOR.usb, other: DOOR.uart },
] as const;

describe.skipIf(cannotBuild).each(TRAYS)(
  'a tray at work with a slow flash, $name,',
  { timeout: BUILD_LIMIT_MS },
  ({ times, door, other }) => {
    let tray: TrayInHeat;
    beforeAll(async () => {
      tray = await inService(door, times);
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
      expect(
        tray.chip.runUntil(() => tray.chip.flash.operations > operations, 2 * times.eraseSectorMs),
      ).toBe(true);
      // In the middle of the first erase.
      const asked = asker.ask('status.read');
      expect(loader.await(begun).result).toBeDefined();
      tray.digest();
      // UART0 keeps 32 bytes while nobody listens: then the line costs an error, and is sent again.
      const isLost = times === STUBBORN_FLASH;
      expect(asker.replyTo(asked)?.result === undefined).toBe(isLost);
      expect(asker.insist('status.read')).toHaveProperty('stage');
      const errors = asker.replies.flatMap(({ error }) => (error ? [error.code] : []));
      expect(new Set(errors)).toEqual(new Set(isLost ? [RPC_ERROR.parse] : []));
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
    startsAndWrites(grower);
    const now = grower.journal();
    sameEntries(now, entries);
    const newer = now.filter(({ sequence }) => sequence >= next);
    expect(newer.map(({ kind }) => kind)).toEqual(WRITTEN);
    expect(newer.map(({ sequence }) => sequence - next)).toEqual([0, 1, 2, 3]);
    expect(grower.bench.chip.starts).toHaveLength(1);
  });

  it('that is worn as well is an alarm: the board does not take it for a script that hangs', () => {
    const before = sownTray();
    fillJournalSector(before);
    wear(before, FLASH_MAP.journal);
    const entries = before.journal();
    const grower = takenOver(before, image, DOOR.usb, SLOWEST_FLASH);
    grower.bench.run(1.5 * MINUTE_MS);
    expect(grower.bench.chip.starts).toHaveLength(1);
    expect(grower.alarms()).toEqual(['storage-failing']);
    sameEntries(grower.journal(), entries);
    expect(grower.status().heat.heldBy).toBe(null);
  });
});
