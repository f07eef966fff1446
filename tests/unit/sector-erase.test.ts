import { describe, expect, it } from 'vitest';
import { SLOWEST_FLASH, STUBBORN_FLASH } from '../../firmware/bench/chip/rom';
import { SectorErase } from '../../firmware/bench/chip/sector-erase';
import { SimulatedFlash } from '../../firmware/bench/flash';
import { FLASH_MAP } from '../../shared/board/map';

const MS = 1e6;
/** Longer than the chip takes to suspend, or wants to go on before it does so again. */
const A_WHILE = 0.1 * MS;
const ERASE = SLOWEST_FLASH.eraseSectorMs * MS;

function begun(times = SLOWEST_FLASH) {
  const flash = new SimulatedFlash();
  let nanos = 0;
  const erase = new SectorErase(flash, times, () => nanos);
  const pass = (delta: number): void => {
    nanos += delta;
  };
  erase.begin(FLASH_MAP.journal.offset, pass);
  return { erase, pass };
}

describe('a flash chip that erases a sector', () => {
  it('is busy for as long as that takes, by itself', () => {
    const { erase, pass } = begun();
    pass(ERASE - 1);
    expect(erase.isBusy).toBe(true);
    pass(1);
    expect(erase.isBusy).toBe(false);
    expect(erase.isSuspended).toBe(false);
  });

  it('stands still while it is suspended, and has as much to do afterwards as before', () => {
    const { erase, pass } = begun();
    pass(ERASE / 2);
    erase.suspend();
    expect(erase.isBusy).toBe(true);
    pass(A_WHILE);
    expect(erase.suspendedOffset).toBe(FLASH_MAP.journal.offset);
    pass(10 * ERASE);
    erase.resume();
    pass(ERASE / 2 - A_WHILE);
    expect(erase.isBusy).toBe(true);
    pass(A_WHILE);
    expect(erase.isBusy).toBe(false);
  });

  it('takes no notice when it is done, nor of a command that its maker has not', () => {
    const { erase, pass } = begun();
    pass(ERASE);
    erase.suspend();
    pass(A_WHILE);
    expect(erase.isSuspended).toBe(false);
    const stubborn = begun(STUBBORN_FLASH);
    stubborn.pass(A_WHILE);
    stubborn.erase.suspend();
    stubborn.pass(A_WHILE);
    expect(stubborn.erase.isBusy).toBe(true);
  });

  it('may be suspended as soon as it was resumed by no image, and erases one sector at a time', () => {
    const { erase, pass } = begun();
    pass(A_WHILE);
    erase.suspend();
    pass(A_WHILE);
    expect(() => erase.begin(FLASH_MAP.journal.offset, pass)).toThrow(/in the middle of another/);
    erase.resume();
    expect(() => erase.suspend()).toThrow(/as soon as it was begun or resumed/);
  });

  it('is cut in the middle by a power cut', () => {
    const flash = new SimulatedFlash();
    flash.cutPowerAt(1);
    let nanos = 0;
    const erase = new SectorErase(flash, SLOWEST_FLASH, () => nanos);
    const pass = (delta: number): void => {
      nanos += delta;
    };
    expect(() => erase.begin(FLASH_MAP.journal.offset, pass)).toThrow('power cut');
    expect(nanos).toBe(ERASE / 2);
    expect(erase.isBusy).toBe(false);
  });
});
