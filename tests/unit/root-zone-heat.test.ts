import { describe, expect, it } from 'vitest';
import { AlarmBank } from '../../firmware/guard/alarm-bank';
import { ProbeWatch } from '../../firmware/guard/probe-watch';
import { OUTPUT } from '../../shared/board/words';
import { readings } from './readings';

const MINUTE_MS = 60_000;
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
  it('holds the heat off while a warm room makes it so, and is over with it', () => {
    expect(stateAfter({ rootZoneC: 22 }, { rootZoneC: 25.5 })).toBe('unaccepted');
    expect(stateAfter({ rootZoneC: 22 }, { rootZoneC: 25.5 }, { rootZoneC: 23 })).toBe('normal');
  });

  it.each<[string, Hour, Hour]>([
    ['was on shortly before', { rootZoneC: 24, matC: 30, matOn: true }, { rootZoneC: 25.5 }],
    ['is warm though it is off', { rootZoneC: 22 }, { rootZoneC: 25.5, matC: 31 }],
    ['cannot be read', { rootZoneC: 22 }, { rootZoneC: 25.5, matC: Number.NaN }],
  ])('waits for a person where the mat %s', (_, before, hot) => {
    expect(stateAfter(before, hot, { rootZoneC: 23 })).toBe('latched-unaccepted');
  });
});
