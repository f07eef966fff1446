import { describe, expect, it } from 'vitest';
import type { Finding } from '../../firmware/guard/finding';
import { GUARD_LIMITS as LIMITS } from '../../firmware/guard/limits';
import { PresenceWatch } from '../../firmware/guard/presence-watch';
import { MINUTE_MS } from '../../shared/units/time';
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

const during = (forMs: number, minute: Minute): Minute[] =>
  new Array<Minute>(Math.round(forMs / MINUTE_MS)).fill(minute);

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
