import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { GUARD_LIMITS } from '../../firmware/guard/limits';
import { SupplyWatch } from '../../firmware/guard/supply-watch';
import { OUTPUT } from '../../shared/board/words';
import { holds } from '../properties';

const IDLE = 0;
const HEATS = OUTPUT.matOn;
const DOSES = OUTPUT.pumpOn;
const LIVE = OUTPUT.loadsLive;
const FEW_TICKS = 5;

/** What was said at the end of so many ticks of each of these. */
function said(watch: SupplyWatch, outputs: number, ticks = FEW_TICKS): string {
  let last = 'nothing';
  for (let i = 0; i < ticks; i++) {
    const [finding] = watch.tick({ outputs });
    if (finding === undefined) last = 'nothing';
    else last = finding.is === 'present' ? `wrong, ${finding.value}` : finding.is;
  }
  return last;
}

describe('the supply of mat and pump', () => {
  it('is right when it is there while one is on, and gone while neither is', () => {
    const watch = new SupplyWatch();
    for (const outputs of [IDLE, HEATS | LIVE, DOSES | LIVE, IDLE]) {
      expect(said(watch, outputs)).toBe('absent');
    }
  });

  it('is dead when the mat or the pump is asked for in vain', () => {
    for (const leased of [HEATS, DOSES]) {
      expect(said(new SupplyWatch(), leased)).toBe('wrong, 0');
    }
  });

  it('is live when nothing is asked for: the second switch has welded', () => {
    expect(said(new SupplyWatch(), LIVE)).toBe('wrong, 1');
  });

  it('is not judged in the seconds after a change', () => {
    const watch = new SupplyWatch();
    said(watch, HEATS | LIVE);
    expect(said(watch, LIVE, 2)).toBe('nothing');
    expect(said(watch, IDLE)).toBe('absent');
    expect(said(watch, HEATS, 2)).toBe('nothing');
  });

  it('stays wrong until the same thing is seen to be right again', () => {
    const watch = new SupplyWatch();
    said(watch, LIVE);
    expect(said(watch, HEATS | LIVE)).toBe('wrong, 1');
    expect(said(watch, IDLE)).toBe('absent');
    said(watch, HEATS);
    expect(said(watch, IDLE)).toBe('wrong, 0');
    expect(said(watch, HEATS | LIVE)).toBe('absent');
  });
});

describe('over any course of leases', () => {
  const lease = fc.record({
    leased: fc.constantFrom(IDLE, HEATS, DOSES, HEATS | DOSES),
    ticks: fc.integer({ min: 1, max: 12 }),
  });
  const course = fc.array(lease, { maxLength: 30 });

  it('a supply that follows each within its seconds is never wrong', () => {
    holds(
      fc.property(course, fc.nat(GUARD_LIMITS.supplyTicks), (leases, lateTicks) => {
        const watch = new SupplyWatch();
        const wanted = new Array<number>(lateTicks).fill(IDLE);
        for (const { leased, ticks } of leases) {
          for (let i = 0; i < ticks; i++) {
            wanted.push(leased);
            const live = wanted.shift() === IDLE ? 0 : LIVE;
            expect(said(watch, leased | live, 1)).not.toContain('wrong');
          }
        }
      }),
    );
  });

  it('one that never comes, or never goes, is wrong as soon as it can be judged, and said in no tick before', () => {
    holds(
      fc.property(course, fc.constantFrom(0, LIVE), (leases, always) => {
        const watch = new SupplyWatch();
        let [since, before] = [0, false];
        for (const { leased, ticks } of leases) {
          const on = leased !== IDLE;
          since = on === before ? since : -1;
          before = on;
          for (let i = 0; i < ticks; i++) {
            since++;
            const told = said(watch, leased | always, 1);
            if (since < GUARD_LIMITS.supplyTicks) expect(told).toBe('nothing');
            else if (on !== (always === LIVE)) expect(told).toBe(`wrong, ${on ? 0 : 1}`);
          }
        }
      }),
    );
  });
});
