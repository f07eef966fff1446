/** What a tray lost while nobody could weigh it is water, though board or scale fail once more before it is told. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, HOUR_MS, MINUTE_MS, SECOND_MS } from '../../shared/units/time';
import { runToDose, wateredTray } from './scenes';
import { expectToldTruly, trueDryBack } from './told-truly';

describe('a tray that nobody could weigh for hours', () => {
  it.each([
    ['its scale has weighed', 0],
    ['what that weighs has stood still for two minutes', 40 * SECOND_MS],
  ])('has dried in a power cut, though the board starts twice more before %s', (_what, atMs) => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(2 * HOUR_MS);
    bench.fault('mains-cut', true, 15 * HOUR_MS);
    bench.run(15 * HOUR_MS);
    for (const afterMs of [atMs, atMs + 3 * SECOND_MS]) {
      bench.run(afterMs);
      bench.reset('watchdog');
    }
    bench.run(10 * MINUTE_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.035);
    expectToldTruly(grower);
    runToDose(grower, DAY_MS);
  });

  it.each([
    ['its scale is silent once more', 'scale-unplugged'],
    ['its power fails', 'mains-cut'],
    ['the board hangs', 'board-hung'],
  ] as const)(
    'has lost what a cloth drew, though %s before what it weighs again has stood still for two minutes',
    (_what, fault) => {
      const grower = wateredTray();
      const { bench } = grower;
      bench.run(2 * HOUR_MS);
      bench.fault('scale-unplugged', true, 4 * HOUR_MS);
      bench.run(HOUR_MS);
      bench.fault('wick', true, HOUR_MS);
      bench.run(3 * HOUR_MS + 40 * SECOND_MS);
      bench.fault(fault, true, 20 * SECOND_MS);
      bench.run(10 * MINUTE_MS);
      expect(trueDryBack(grower)).toBeGreaterThan(0.1);
      expectToldTruly(grower);
    },
  );
});

describe('a tray whose board hangs, and starts again and again before it has weighed it', () => {
  it('is as dry as a cloth drew it meanwhile, once the weight that was put on it is taken off', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(2 * HOUR_MS);
    bench.fault('wick', true, HOUR_MS);
    bench.run(35 * MINUTE_MS);
    bench.fault('board-hung', true, 15 * MINUTE_MS);
    bench.run(12 * MINUTE_MS);
    bench.hand.leaveInTray(477);
    bench.run(8 * MINUTE_MS);
    bench.hand.clearTray();
    bench.run(HOUR_MS);
    expect(trueDryBack(grower)).toBeGreaterThan(0.1);
    expectToldTruly(grower);
  });
});
