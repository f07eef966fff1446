/**
 * Times as silicon has them, with the misses of the flash's cache in the clock. Every instruction is interpreted for it, so
 * a few seconds of a board are all: its start, a tick that raises alarms, and a page of the journal.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { Chip } from '../../firmware/bench/chip/chip';
import { IMAGE_BUDGETS } from '../../firmware/image/budgets';
import type { BuiltImage } from '../../firmware/image/build';
import { ADC_FULL_SCALE, DOOR } from '../../shared/board/map';
import { LINK_LIMITS } from '../../shared/link/methods';
import { BUILD_LIMIT_MS, cannotBuild, figures, firstTickMs, trayward, usedFlash } from './images';
import { Talk } from './talk';

const BUDGETS = IMAGE_BUDGETS.withMisses;
/** A broken wire is an alarm by then. */
const ALARMED_MS = 4000;

describe.skipIf(cannotBuild)(
  'an image whose flash is read through its cache',
  { timeout: BUILD_LIMIT_MS },
  () => {
    let image: BuiltImage;
    let chip: Chip;
    beforeAll(async () => {
      image = await trayward();
      chip = new Chip({ flash: usedFlash(image), cache: true });
      chip.powerOn();
    }, BUILD_LIMIT_MS);

    it('makes its first tick in time, settings and journal full', () => {
      const tickMs = firstTickMs(chip, image);
      expect(tickMs).toBeLessThan(BUDGETS.firstTickMs);
      expect(tickMs).toBeGreaterThan(IMAGE_BUDGETS.firstTickMs);
    });

    it('ticks in time, also when alarms are raised', () => {
      chip.adcCodes.fill(ADC_FULL_SCALE);
      chip.run(ALARMED_MS);
      const talk = new Talk(chip, DOOR.usb);
      expect(chip.runUntil(() => chip.usb?.isReady === true, 1000, 10)).toBe(true);
      expect(talk.call('status.read')).toMatchObject({
        alarms: [{ alarm: 'probe-open' }, { alarm: 'mat-probe-failed' }],
      });
      const { tickMaxUs } = figures(chip, image);
      expect(tickMaxUs / 1000).toBeLessThan(BUDGETS.tickMs);
      expect(tickMaxUs / 1000).toBeGreaterThan(IMAGE_BUDGETS.tickMs);
    });

    it('answers with a full page of the journal in time', () => {
      const talk = new Talk(chip, DOOR.usb);
      const { first } = talk.call('journal.info');
      const askedMs = chip.nowMs;
      const { count } = talk.call('journal.page', { from: first, count: LINK_LIMITS.pageEntries });
      expect(count).toBe(LINK_LIMITS.pageEntries);
      expect(chip.nowMs - askedMs).toBeLessThan(BUDGETS.pageMs);
      expect(chip.starts).toHaveLength(1);
      expect([...chip.complaints, ...chip.faults]).toEqual([]);
    });
  },
);
