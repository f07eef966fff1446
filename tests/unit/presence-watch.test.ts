import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../firmware/guard/finding';
import { GUARD_LIMITS as LIMITS } from '../../firmware/guard/limits';
import { PresenceWatch } from '../../firmware/guard/presence-watch';
import type { AlarmName } from '../../shared/alarms/catalogue';
import { MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { said } from './findings';
import { readings } from './readings';

interface Minute {
  readonly away?: boolean;
  readonly sown?: boolean;
  readonly thingG?: number;
}

/** What the last of these minutes has found. */
function foundAfter(...minutes: readonly Minute[]): readonly Finding[] {
  const watch = new PresenceWatch();
  let found: readonly Finding[] = [];
  for (const { away = false, sown = true, thingG = 0 } of minutes) {
    found = watch.minute(readings({ away }), sown, thingG, MINUTE_MS);
  }
  return found;
}

const during = <Of extends Minute>(forMs: number, minute: Of): Of[] =>
  new Array<Of>(Math.round(forMs / MINUTE_MS)).fill(minute);

describe('a tray that is away from its scale', () => {
  const AWAY = { away: true };

  it('is told when it has been away for longer than soaking takes, and not before', () => {
    const minutes = during(LIMITS.trayOffMs, AWAY);
    expect(said(foundAfter(...minutes.slice(1)), 'tray-away')).toBe('absent');
    expect(said(foundAfter(...minutes), 'tray-away')).toBe('present');
  });

  it('is over in the minute it is back, and its time then begins anew', () => {
    const minutes = during(LIMITS.trayOffMs, AWAY);
    expect(said(foundAfter(...minutes, {}), 'tray-away')).toBe('absent');
    expect(said(foundAfter(...minutes.slice(1), {}, AWAY), 'tray-away')).toBe('absent');
  });

  it('is nobody’s business before it is sown', () => {
    const minutes = during(2 * LIMITS.trayOffMs, { ...AWAY, sown: false });
    expect(said(foundAfter(...minutes), 'tray-away')).toBe('absent');
  });
});

describe('a thing that stands on the tray', () => {
  it('is told when it has been left there, and over when it is taken off', () => {
    const minutes = during(LIMITS.thingOnMs, { thingG: 500 });
    expect(said(foundAfter(...minutes.slice(1)), 'thing-on-tray')).toBe('absent');
    expect(said(foundAfter(...minutes), 'thing-on-tray')).toBe('present');
    expect(said(foundAfter(...minutes, {}), 'thing-on-tray')).toBe('absent');
  });
});

describe('over any course of minutes', () => {
  it('each is told from its time on without a break, and in no other minute', () => {
    const stretch = fc.record({
      lasts: fc.integer({ min: 1, max: 90 }),
      away: fc.boolean(),
      sown: fc.oneof(fc.constant(true), fc.boolean()),
      thingG: fc.constantFrom(0, 500),
    });
    holds(
      fc.property(fc.array(stretch, { maxLength: 8 }), (course) => {
        const minutes = course.flatMap(({ lasts, ...minute }) => during(lasts * MINUTE_MS, minute));
        const watch = new PresenceWatch();
        const wrongly = minutes.filter(({ away, sown, thingG }, now) => {
          const found = watch.minute(readings({ away }), sown, thingG, MINUTE_MS);
          const isSo = (alarm: AlarmName) => said(found, alarm) === 'present';
          /** All of the last minutes were so, and there were as many. */
          const lasted = (forMs: number, so: (minute: (typeof minutes)[number]) => boolean) => {
            const from = now + 1 - forMs / MINUTE_MS;
            return from >= 0 && minutes.slice(from, now + 1).every((one) => one.sown && so(one));
          };
          const isAway = lasted(LIMITS.trayOffMs, (one) => one.away);
          const isThingOn = lasted(LIMITS.thingOnMs, (one) => one.thingG > 0);
          return isSo('tray-away') !== isAway || isSo('thing-on-tray') !== isThingOn;
        });
        expect(wrongly).toEqual([]);
      }),
    );
  });
});
