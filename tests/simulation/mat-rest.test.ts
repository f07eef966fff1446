/** A mat over the crop's maximum rests: what that tells of a probe in a warm room, and what it costs a cold one. */
import { describe, expect, it } from 'vitest';
import { MAT } from '../../firmware/bench/plant/thermal';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower, TEST_PROFILE } from './grower';
import { changesOf, profileWith, sownTray } from './scenes';

describe('a probe that has fallen out into a room as warm as its band', () => {
  for (const [how, contactWM2K] of [
    ['flat on its mat', MAT.contactWM2K],
    ['on ribs', 10],
  ] as const) {
    it(`reads what it should: the mat rests, and tells before the root zone is too warm, the tray ${how}`, () => {
      const room = { meanC: 26.5, swingK: 0, weatherK: 0 };
      const grower = sownTray({}, { room, mat: { contactWM2K } });
      const { bench } = grower;
      // The tray is aired, which cools it, and the probe comes out with that: what it reads neither asks for heat nor ends it.
      bench.hand.setLid('off');
      expect(bench.runUntil(() => bench.state().outputs.mat, 12 * HOUR_MS)).toBe(true);
      bench.fault('probe-out');
      bench.hand.setLid('closed');
      expect(bench.runUntil(() => grower.alarms().includes('probe-suspect'), DAY_MS)).toBe(true);
      expect(bench.state().rootZoneC).toBeLessThan(TEST_PROFILE.rootZoneMaxC);
      expect(grower.alarms()).not.toContain('probe-jumped');
      bench.run(2000);
      expect(bench.state().outputs.mat).toBe(false);
    });
  }
});

describe('a probe in its plug, in a room of 10 C', () => {
  /** Minutes of two days in which the mat rests. */
  function restMin(contactWM2K: number): number {
    const grower = new Grower({ room: { meanC: 10 }, mat: { contactWM2K } });
    grower.commission(profileWith());
    let minutes = 0;
    for (let minute = 0; minute < (2 * DAY_MS) / MINUTE_MS; minute++) {
      grower.bench.run(MINUTE_MS);
      if (grower.status().heat.heldBy === 'mat-rests') minutes += 1;
    }
    expect(changesOf(grower, 'probe-suspect')).toEqual([]);
    return minutes;
  }

  it('has all of its heat, where the tray lies flat on its mat', () => {
    expect(restMin(MAT.contactWM2K)).toBe(0);
  });

  it('has all but three quarters of an hour of it, where the tray stands on ribs', () => {
    expect(restMin(10)).toBeLessThanOrEqual(45);
  });
});
