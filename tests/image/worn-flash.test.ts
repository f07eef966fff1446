/** Flash that wears out under the image: passed over where possible, told, and never a danger. */
import { beforeAll, describe, expect, it } from 'vitest';
import type { ChipBench } from '../../firmware/bench/chip/chip-bench';
import { SimulatedFlash } from '../../firmware/bench/flash';
import type { GrowerAt } from '../../firmware/bench/grower';
import type { BuiltImage } from '../../firmware/image/build';
import { ENTRIES_PER_SECTOR, openJournal } from '../../firmware/storage/journal';
import { openSettings } from '../../firmware/storage/settings';
import { SETTING } from '../../firmware/tray/setting-keys';
import { FLASH_MAP, FLASH_SECTOR_BYTES, type FlashRegion } from '../../shared/board/map';
import { MINUTE_MS } from '../../shared/units/time';
import type { Grower } from '../simulation/grower';
import { sownTray, wateredTray } from '../simulation/scenes';
import { BUILD_LIMIT_MS, cannotBuild, takenOver, trayward } from './images';
import { fillJournalSector, sameEntries, startsAndWrites, WRITTEN, wear } from './wear';

type AtChip = GrowerAt<ChipBench>;

/** Long enough for the dose that a sound board gives here. */
const DOSE_WAIT_MS = 9 * MINUTE_MS;

/** The sector of `region` that is erased next when `write` goes on writing. */
function nextErased({ bench }: Grower, write: (flash: SimulatedFlash) => void): FlashRegion {
  const trial = new SimulatedFlash({ contents: bench.flash.bytes });
  write(trial);
  const sector = trial.eraseCounts.findIndex((count) => count > 0);
  expect(sector).toBeGreaterThan(0);
  return { offset: sector * FLASH_SECTOR_BYTES, bytes: FLASH_SECTOR_BYTES };
}

const writeJournal = (flash: SimulatedFlash): void => {
  const journal = openJournal(flash);
  for (let i = 0; i < ENTRIES_PER_SECTOR; i += 1) {
    journal.append(1, 0, { kind: 'fault', code: 1, detail: i });
  }
};

const writeSettings = (flash: SimulatedFlash): void => {
  const settings = openSettings(flash);
  const run = settings.get(SETTING.run) ?? new Uint8Array();
  while (flash.eraseCounts.every((count) => count === 0)) settings.set(SETTING.run, run);
};

function restarted({ bench }: AtChip): void {
  bench.cutPower();
  bench.run(MINUTE_MS);
  bench.restorePower();
  bench.run(5000);
}

/** Dry enough that a dose is due within minutes. */
function aboutToDose(): Grower {
  const grower = wateredTray();
  const dryBack = () => grower.status().water.dryBackShare ?? 0;
  while (dryBack() < 0.04) grower.bench.run(MINUTE_MS);
  return grower;
}

describe.skipIf(cannotBuild)('worn flash', { timeout: BUILD_LIMIT_MS }, () => {
  let image: BuiltImage;
  beforeAll(async () => {
    image = await trayward();
  }, BUILD_LIMIT_MS);

  it('a journal sector that will not erase is passed over, and loses nothing', () => {
    const before = sownTray();
    fillJournalSector(before);
    const worn = nextErased(before, writeJournal);
    wear(before, worn);
    const entries = before.journal();
    const next = openJournal(before.bench.flash).next();
    const grower = takenOver(before, image);
    startsAndWrites(grower);
    const now = grower.journal();
    sameEntries(now, entries);
    const newer = now.filter(({ sequence }) => sequence >= next);
    expect(newer.map(({ kind }) => kind)).toEqual(WRITTEN);
    expect(before.bench.flash.eraseCounts[worn.offset / FLASH_SECTOR_BYTES]).toBeGreaterThan(0);
    expect(grower.status().heat).toMatchObject({ heldBy: null });
    expect(grower.alarms()).toEqual([]);
  });

  it('a journal that is worn altogether is an alarm; what it holds stays, and heat goes on', () => {
    const before = sownTray();
    fillJournalSector(before);
    wear(before, FLASH_MAP.journal);
    const entries = before.journal();
    const grower = takenOver(before, image);
    grower.bench.run(1.5 * MINUTE_MS);
    expect(grower.alarms()).toEqual(['storage-failing']);
    sameEntries(grower.journal(), entries);
    const { heldBy, rootZoneC } = grower.status().heat;
    expect(heldBy).toBe(null);
    expect(rootZoneC).toBeGreaterThan(25.5);
    expect(grower.bench.chip.starts).toHaveLength(1);
    grower.call('stage.next', {});
    grower.bench.run(2000);
    restarted(grower);
    expect(grower.status().stage?.index).toBe(1);
    sameEntries(grower.journal(), entries);
  });

  it('a settings sector that will not erase is passed over: the next one keeps the change', () => {
    const before = sownTray();
    const worn = nextErased(before, writeSettings);
    wear(before, worn);
    const grower = takenOver(before, image);
    const erases = before.bench.flash.eraseCounts;
    for (let i = 0; erases[worn.offset / FLASH_SECTOR_BYTES] === 0; i += 1) {
      expect(i).toBeLessThan(20);
      grower.bench.run(1000);
      grower.call('stage.stay', { stay: i % 2 === 0 });
    }
    grower.call('stage.stay', { stay: true });
    grower.bench.run(2000);
    const { profile, water } = grower.status();
    restarted(grower);
    const after = grower.status();
    expect(after.stage).toMatchObject({ index: 0, staying: true });
    expect(after.profile).toEqual(profile);
    expect(after.water.capacityG).toBe(water.capacityG);
    expect(grower.alarms()).toEqual([]);
  });

  it('a tray that is dry enough gets its dose from a board with sound flash', () => {
    const grower = takenOver(aboutToDose(), image);
    expect(grower.bench.runUntil((bench) => bench.state().outputs.pump, DOSE_WAIT_MS)).toBe(true);
  });

  it('and none where the dose could not be written down: an alarm, and heat goes on', () => {
    const before = aboutToDose();
    wear(before, FLASH_MAP.settings);
    const grower = takenOver(before, image);
    const { ranS } = grower.bench.state().pump;
    grower.bench.run(DOSE_WAIT_MS + MINUTE_MS);
    expect(grower.bench.state().pump.ranS).toBe(ranS);
    expect(grower.alarms()).toEqual(['storage-failing']);
    const { heat, water, profile } = grower.status();
    expect(water).toMatchObject({ heldBy: 'storage', dayMl: 0 });
    expect(heat.heldBy).toBe(null);
    expect(heat.rootZoneC).toBeGreaterThan(23.5);
    expect(grower.bench.chip.starts).toHaveLength(1);
    restarted(grower);
    expect(grower.status()).toMatchObject({ profile, stage: { index: 1 } });
  });
});
