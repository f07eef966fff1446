import { describe, expect, it } from 'vitest';
import { AlarmBank } from '../../firmware/guard/alarm-bank';
import { ProbeWatch } from '../../firmware/guard/probe-watch';
import { OUTPUT } from '../../shared/board/words';
import { MINUTE_MS } from '../../shared/units/time';
import { readings } from './readings';

const HOUR = 60;
/** Profile's limit for a cool crop. */
const MAX_C = 25;

interface Hour {
  readonly rootZoneC: number;
  readonly matC?: number;
  readonly matOn?: boolean;
}

/** The alarm's state after these hours, one after the other. */
function stateAfter(...hours: readonly Hour[]): string {
  const watch = new ProbeWatch();
  const bank = new AlarmBank(() => {});
  let uptimeMs = 0;
  for (const { rootZoneC, matC = rootZoneC, matOn = false } of hours) {
    for (let i = 0; i < HOUR; i++) {
      uptimeMs += MINUTE_MS;
      const outputs = matOn ? OUTPUT.matOn : 0;
      const now = readings({
        rootZone: { celsius: rootZoneC },
        mat: { celsius: matC },
        uptimeMs,
        outputs,
      });
      bank.apply(watch.tick(now, true, MAX_C, false), uptimeMs);
    }
  }
  return bank.record('root-zone-hot').state;
}

describe("a root zone above the profile's limit", () => {
  it('by a warm room or the sun is none of the mat, and holds no heat off', () => {
    expect(stateAfter({ rootZoneC: 22 }, { rootZoneC: 27 })).toBe('normal');
    expect(stateAfter({ rootZoneC: 27, matC: 27.9 })).toBe('normal');
  });

  it.each<[string, Hour]>([
    ['is on', { rootZoneC: 25.5, matOn: true }],
    ['is warm though it is off', { rootZoneC: 25.5, matC: 26.6 }],
    ['cannot be read', { rootZoneC: 25.5, matC: Number.NaN }],
    ['is told by a probe that lies elsewhere', { rootZoneC: 25.5, matC: 22 }],
  ])('holds the heat off where the mat %s, and waits for a person', (_, hot) => {
    expect(stateAfter({ rootZoneC: 24 }, hot)).toBe('unaccepted');
    expect(stateAfter({ rootZoneC: 24 }, hot, { rootZoneC: 23 })).toBe('latched-unaccepted');
  });

  it('is not judged by a cool soaked tray that was just put on a warm mat, nor by a probe in a hand', () => {
    const watch = new ProbeWatch();
    const bank = new AlarmBank(() => {});
    let uptimeMs = 0;
    const minutes = (count: number, rootZoneC: number, matC: number, away: boolean): void => {
      for (let i = 0; i < count; i++) {
        uptimeMs += MINUTE_MS;
        const now = readings({
          rootZone: { celsius: rootZoneC },
          mat: { celsius: matC },
          uptimeMs,
          away,
        });
        bank.apply(watch.tick(now, true, MAX_C, true), uptimeMs);
      }
    };
    minutes(30, 33, 26, true);
    minutes(4, 25.2, 27, false);
    minutes(60, 25.2, 25.3, false);
    expect(bank.record('root-zone-hot').state).toBe('normal');
    minutes(6, 25.2, 27, false);
    expect(bank.record('root-zone-hot').state).toBe('unaccepted');
  });
});

describe('a root zone that no plant bears', () => {
  it('is said at once and waits for a person, whoever gave the heat', () => {
    expect(stateAfter({ rootZoneC: 38.5 }, { rootZoneC: 23 })).toBe('latched-unaccepted');
  });
});
