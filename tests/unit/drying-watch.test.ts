import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DryingWatch } from '../../firmware/guard/drying-watch';
import type { LidPlace } from '../../shared/profile/profile';
import { holds } from '../properties';

/** Dries at `gPerH` for `minutes`; what is present at the end. */
class Tray {
  readonly watch = new DryingWatch();
  grams = 4_500;
  stopped = false;
  rootZoneC = 24;
  /** It holds the band against what dries off. */
  matOn = true;
  /** By which the root zone warms, K/h. */
  warmsKPerH = 0;

  dry(gPerH: number, minutes: number, lid: LidPlace = 'closed'): boolean {
    let present = false;
    for (let i = 0; i < minutes; i++) {
      this.grams -= gPerH / 60;
      this.rootZoneC += this.warmsKPerH / 60;
      for (const { alarm, is } of this.watch.minute(this.grams, lid, this)) {
        if (alarm === 'drying-fast') present = is === 'present';
        else this.stopped = is === 'present';
      }
    }
    return present;
  }
}

describe('drying', () => {
  it('as without a lid shows within half an hour where the lid should be closed', () => {
    const tray = new Tray();
    expect(tray.dry(0.12, 120)).toBe(false);
    expect(tray.dry(15, 27)).toBe(true);
    expect(tray.dry(0.12, 40)).toBe(false);
  });

  it('as without a lid for a quarter of an hour, an airing, is told neither then nor afterwards', () => {
    const tray = new Tray();
    tray.dry(0.12, 120);
    for (let minute = 0; minute < 15; minute++) expect(tray.dry(15, 1)).toBe(false);
    for (let minute = 0; minute < 40; minute++) expect(tray.dry(0.12, 1)).toBe(false);
  });

  it.each([true, false])(
    'in the sun, which suddenly warms a tray with its mat on (%s), is told neither then nor when it has gone',
    (matOn) => {
      const tray = new Tray();
      Object.assign(tray, { matOn, warmsKPerH: -1 });
      tray.dry(0.12, 120);
      tray.warmsKPerH = 2.5;
      expect(tray.dry(9, 30)).toBe(false);
      // In the end it takes up no more.
      tray.warmsKPerH = 0;
      expect(tray.dry(9, 90)).toBe(false);
      tray.warmsKPerH = -3;
      for (let minute = 0; minute < 60; minute++) expect(tray.dry(0.12, 1)).toBe(false);
    },
  );

  it('in the sun that came just before the mat went off is not told', () => {
    const tray = new Tray();
    tray.warmsKPerH = 1.6;
    tray.dry(0.12, 120);
    tray.warmsKPerH = 4;
    tray.dry(5, 3);
    Object.assign(tray, { warmsKPerH: 1.2, matOn: false });
    expect(tray.dry(5, 60)).toBe(false);
  });

  it('without a lid in the sun is told all the same', () => {
    const tray = new Tray();
    tray.dry(0.12, 120);
    Object.assign(tray, { warmsKPerH: 2.5, matOn: false });
    expect(tray.dry(25, 27)).toBe(true);
  });

  it('as in the sun is told where nothing but the mat begins to warm the tray, or a room by and by', () => {
    const tray = new Tray();
    Object.assign(tray, { warmsKPerH: -1, matOn: false });
    tray.dry(0.12, 120);
    Object.assign(tray, { warmsKPerH: 2.5, matOn: true });
    expect(tray.dry(9, 30)).toBe(true);
    const other = new Tray();
    other.matOn = false;
    other.dry(0.12, 120);
    other.warmsKPerH = 0.6;
    expect(other.dry(9, 30)).toBe(true);
  });

  it('as in the sun is told when it goes on for longer than the sun stays', () => {
    const tray = new Tray();
    tray.dry(0.12, 120);
    tray.warmsKPerH = 2.5;
    tray.dry(9, 20);
    tray.warmsKPerH = 0;
    expect(tray.dry(9, 200)).toBe(true);
  });

  it('that was told before the sun came stays told', () => {
    const tray = new Tray();
    tray.dry(0.12, 120);
    Object.assign(tray, { warmsKPerH: -2, matOn: false });
    expect(tray.dry(15, 30)).toBe(true);
    tray.warmsKPerH = 2;
    expect(tray.dry(12, 60)).toBe(true);
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

  it('is unknown until the tray was left alone for 25 minutes', () => {
    holds(
      fc.property(fc.integer({ min: 0, max: 24 }), (minutes) => {
        const tray = new Tray();
        tray.dry(50, minutes);
        tray.watch.interrupt();
        tray.dry(50, minutes);
        expect(tray.watch.gPerH).toBeNaN();
      }),
    );
  });
});

describe('a tray that dries no more', () => {
  const HOUR = 60;

  it.each([1.8, 4.3, 15])(
    'where it lost %d g/h is told within a day, and until it dries again',
    (gPerH) => {
      const tray = new Tray();
      tray.dry(gPerH, 24 * HOUR, 'loose');
      tray.dry(0, 12 * HOUR, 'loose');
      expect(tray.stopped).toBe(false);
      tray.dry(0, 10 * HOUR, 'loose');
      expect(tray.stopped).toBe(true);
      tray.dry(gPerH, 3 * HOUR, 'loose');
      expect(tray.stopped).toBe(false);
    },
  );

  it.each([
    ['under a closed lid', 'closed', 0.12],
    ['with open vents', 'vents-open', 0.8],
  ] as const)('%s is no news', (_, lid, gPerH) => {
    const tray = new Tray();
    tray.dry(gPerH, 24 * HOUR, lid);
    tray.dry(0, 48 * HOUR, lid);
    expect(tray.stopped).toBe(false);
  });

  it('as much at night, or in a cool humid spell, dries on', () => {
    const tray = new Tray();
    tray.dry(4, 24 * HOUR, 'propped');
    for (let day = 0; day < 3; day++) {
      tray.dry(0.05, 12 * HOUR, 'propped');
      tray.dry(5, 12 * HOUR, 'propped');
      expect(tray.stopped).toBe(false);
    }
    tray.dry(0.3, 48 * HOUR, 'propped');
    expect(tray.stopped).toBe(false);
  });

  it('is another tray when the lid is another, and is told through doses and hands as well', () => {
    const tray = new Tray();
    tray.dry(4, 24 * HOUR, 'propped');
    for (let hour = 0; hour < 19; hour++) {
      tray.dry(0, HOUR, 'propped');
      tray.watch.interrupt();
      tray.grams += 50;
    }
    expect(tray.stopped).toBe(true);
    tray.dry(0, 1, 'loose');
    expect(tray.stopped).toBe(false);
  });
});
