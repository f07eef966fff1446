/** What the image takes of the board: flash, memory and time, each within its budget. */
import { beforeAll, describe, expect, it } from 'vitest';
import { fillJournal } from '../../firmware/bench/full-journal';
import { IMAGE_BUDGETS } from '../../firmware/image/budgets';
import type { BuiltImage } from '../../firmware/image/build';
import { readArena } from '../../firmware/image/figures';
import { LINK_LIMITS } from '../../shared/link/methods';
import { MINUTE_MS } from '../../shared/units/time';
import { Grower } from '../simulation/grower';
import { wateredTray } from '../simulation/scenes';
import { BUILD_LIMIT_MS, cannotBuild, figures, takenOver, trayward } from './images';

/** Long enough for several collections, a reading and a checkpoint; a whole day is in the figures. */
const MINUTES = 6;

describe.skipIf(cannotBuild)('the image', { timeout: BUILD_LIMIT_MS }, () => {
  let image: BuiltImage;
  beforeAll(async () => {
    image = await trayward();
  }, BUILD_LIMIT_MS);

  it('leaves room in its part of the flash', () => {
    expect(image.bytes.length).toBeLessThanOrEqual(IMAGE_BUDGETS.imageBytes);
  });

  it('leaves memory and time to spare, with a tray growing, a full journal and a program that asks', () => {
    const grower = new Grower({ seed: 1 });
    grower.commission();
    fillJournal(grower.bench.flash);
    const served = takenOver(grower, image);
    const { chip } = served.bench;
    for (let minute = 0; minute < MINUTES; minute += 1) {
      served.bench.run(MINUTE_MS);
      expect(served.status().stage?.name).toBe('germinate');
      const { first } = served.call('journal.info', {}, false);
      const asked = { from: first, count: LINK_LIMITS.pageEntries };
      expect(served.call('journal.page', asked, false).count).toBe(LINK_LIMITS.pageEntries);
    }
    expect(chip.starts).toHaveLength(1);
    const { tickMaxUs, collections } = figures(chip, image);
    expect(collections).toBeGreaterThan(1);
    const { bytes, takenBytes } = readArena(chip, image.symbols);
    expect(bytes - takenBytes).toBeGreaterThanOrEqual(IMAGE_BUDGETS.arenaNeverTakenBytes);
    expect(tickMaxUs / 1000).toBeLessThan(IMAGE_BUDGETS.tickMs);
  });

  it('ticks in time with a tray that is watered, and in the tick that raises an alarm', () => {
    const grower = takenOver(wateredTray(), image);
    const { bench } = grower;
    bench.run(MINUTES * MINUTE_MS);
    bench.fault('probe-open', true, MINUTE_MS / 2);
    bench.run(2 * MINUTE_MS);
    expect(grower.alarms()).toEqual(['probe-open']);
    const { chip } = bench;
    expect(chip.starts).toHaveLength(1);
    expect(figures(chip, image).tickMaxUs / 1000).toBeLessThan(IMAGE_BUDGETS.tickMs);
  });
});
