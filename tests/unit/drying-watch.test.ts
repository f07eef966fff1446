import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DryingWatch } from '../../firmware/guard/drying-watch';
import type { LidPlace } from '../../shared/profile/profile';
import { holds } from '../properties';

/** Dries at `gPerH` for `minutes`; what is present at the end. */
class Tray {
  readonly watch = new DryingWatch();
  grams = 4_500;

  dry(gPerH: number, minutes: number, lid: LidPlace = 'closed'): boolean {
    let present = false;
    for (let i = 0; i < minutes; i++) {
      this.grams -= gPerH / 60;
      for (const { is } of this.watch.minute(this.grams, lid)) present = is === 'present';
    }
    return present;
  }
}

describe('drying', () => {
  it('as without a lid shows within half an hour where the lid should be closed', () => {
    const tray = new Tray();
    expect(tray.dry(0.12, 120)).toBe(false);
    expect(tray.dry(15, 20)).toBe(true);
    expect(tray.dry(0.12, 40)).toBe(false);
  });

  it('as with open vents is not told under a closed lid: an airing is an ordinary day', () => {
    const tray = new Tray();
    tray.dry(0.12, 120);
    expect(tray.dry(0.8, 240)).toBe(false);
  });

  it('of a canopy in the light is usual where it was so yesterday', () => {
    const tray = new Tray();
    for (let day = 0; day < 3; day++) {
      expect(tray.dry(5, 8 * 60, 'propped')).toBe(false);
      expect(tray.dry(40, 16 * 60, 'propped')).toBe(false);
    }
  });

  it('of a leak of 0.05 g/s is told from any lid but a dry room’s', () => {
    const tray = new Tray();
    tray.dry(4, 600, 'propped');
    expect(tray.dry(4 + 180, 35, 'propped')).toBe(true);
  });

  it('that is told is not learnt as usual', () => {
    const tray = new Tray();
    tray.dry(0.12, 120);
    expect(tray.dry(15, 5 * 24 * 60)).toBe(true);
    expect(tray.watch.usualGPerH).toBeLessThan(1);
  });

  it('is unknown until the tray was left alone for half an hour', () => {
    holds(
      fc.property(fc.integer({ min: 0, max: 29 }), (minutes) => {
        const tray = new Tray();
        tray.dry(50, minutes);
        tray.watch.interrupt();
        tray.dry(50, minutes);
        expect(tray.watch.gPerH).toBeNaN();
      }),
    );
  });
});
