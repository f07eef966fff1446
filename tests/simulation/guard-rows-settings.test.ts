/** What the guard says of flash that keeps nothing any more, and of settings that are lost. */
import { describe, expect, it } from 'vitest';
import type { Board } from '../../firmware/board';
import { createController } from '../../firmware/main';
import { openSettings } from '../../firmware/storage/settings';
import { SETTING } from '../../firmware/tray/setting-keys';
import { FLASH_BYTES, FLASH_MAP, FLASH_SECTOR_BYTES } from '../../shared/board/map';
import { DAY_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower } from './grower';
import { sownTray, wateredTray } from './scenes';

describe('flash that no longer keeps what is written', () => {
  const wear = (grower: Grower, from: number, bytes: number) => {
    for (let at = from; at < from + bytes; at += FLASH_SECTOR_BYTES) {
      grower.bench.flash.setWorn(at, true);
    }
  };

  it('is an alarm, and the tray is looked after all the same', () => {
    const grower = sownTray();
    wear(grower, 0, FLASH_BYTES);
    grower.bench.run(10 * MINUTE_MS);
    expect(grower.alarms()).toContain('storage-failing');
    grower.bench.run(DAY_MS);
    const { rootZoneC, heldBy } = grower.status().heat;
    expect(heldBy).toBe(null);
    expect(rootZoneC).toBeGreaterThan(25.5);
    expect(rootZoneC).toBeLessThan(27.6);
  });

  it('a journal that fails alone is told as well', () => {
    const grower = sownTray();
    wear(grower, FLASH_MAP.journal.offset, FLASH_MAP.journal.bytes);
    grower.bench.run(10 * MINUTE_MS);
    expect(grower.alarms()).toContain('storage-failing');
  });

  it('gives no dose that it could not write down: a power cut would forget it', () => {
    const grower = wateredTray();
    wear(grower, 0, FLASH_BYTES);
    grower.bench.run(3 * DAY_MS);
    expect(grower.bench.state().pump.ranS).toBe(0);
  });
});

/** More than a start on erased settings writes and erases until its first checkpoint. */
const FIRST_OPERATIONS = 10;

/**
 * Firmware on a board whose supply fails once, at an operation of the flash counted from a start, and whose clock shows
 * `clockAheadMs` there: on the chip it goes on through erases and the pause after faults.
 */
function failing(clockAheadMs = 0) {
  let failNow = () => {};
  const firmware = (board: Board) => {
    failNow();
    failNow = () => {};
    return createController(
      clockAheadMs === 0
        ? board
        : Object.assign(Object.create(board), { clockMs: () => board.clockMs() + clockAheadMs }),
    );
  };
  const restoreFor = ({ bench }: Grower, operations: number) => {
    failNow = () => bench.flash.cutPowerAt(operations);
    bench.restorePower();
    bench.run(MINUTE_MS);
  };
  return { firmware, restoreFor };
}

describe('a board that has lost its settings', () => {
  const erase = (grower: Grower) => {
    const { offset, bytes } = FLASH_MAP.settings;
    grower.bench.flash.bytes.fill(0xff, offset, offset + bytes);
  };
  const powerCycle = (grower: Grower) => {
    grower.bench.cutPower();
    grower.bench.run(MINUTE_MS);
    grower.bench.restorePower();
    grower.bench.run(MINUTE_MS);
  };

  it('says so until somebody has seen to it, over power cuts too, and goes on counting its starts', () => {
    const grower = sownTray();
    const { boot } = grower.call('controller.hello', {}, false);
    erase(grower);
    powerCycle(grower);
    expect(grower.alarms()).toEqual(['settings-lost']);
    expect(grower.bench.state().outputs).toMatchObject({ mat: false, pump: false, sounder: true });
    expect(grower.call('controller.hello', {}, false).boot).toBe(boot + 1);
    powerCycle(grower);
    expect(grower.alarms()).toEqual(['settings-lost']);
    grower.call('alarm.clear', { alarm: 'settings-lost' });
    powerCycle(grower);
    expect(grower.alarms()).toEqual([]);
  });

  it('says so when what is left of the run makes no sense', () => {
    const grower = sownTray();
    openSettings(grower.bench.flash).set(SETTING.run, Uint8Array.of(1, 2, 3));
    powerCycle(grower);
    expect(grower.alarms()).toEqual(['settings-lost']);
  });

  it('says nothing on a new board, nor after power cuts in its first moments', () => {
    const grower = new Grower();
    powerCycle(grower);
    expect(grower.alarms()).toEqual([]);
    for (const clockAheadMs of [0, 500]) {
      for (let cut = 1; cut <= FIRST_OPERATIONS; cut++) {
        const { firmware, restoreFor } = failing(clockAheadMs);
        const fresh = new Grower({ firmware });
        fresh.bench.cutPower();
        fresh.bench.flash.bytes.fill(0xff, FLASH_MAP.settings.offset);
        restoreFor(fresh, cut);
        powerCycle(fresh);
        expect(fresh.alarms(), `cut at operation ${cut}`).toEqual([]);
      }
    }
  });

  it('says so though the power fails again in the start that finds it out', () => {
    for (let cut = 1; cut <= FIRST_OPERATIONS; cut++) {
      const { firmware, restoreFor } = failing();
      const grower = sownTray({}, { firmware });
      grower.bench.cutPower();
      erase(grower);
      restoreFor(grower, cut);
      powerCycle(grower);
      expect(grower.alarms(), `cut at operation ${cut}`).toEqual(['settings-lost']);
    }
  });
});
