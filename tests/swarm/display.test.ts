/** What the swarm's hunt sees of a board is what it answers over the link. */
import { expect, it } from 'vitest';
import { Bench } from '../../firmware/bench/bench';
import { GrowerAt } from '../../firmware/bench/grower';
import { trayOf } from '../../firmware/bench/tray-of';
import { MINUTE_MS } from '../../shared/units/time';
import { Display } from './display';
import { shippedProfile } from './vary';

/** A sown tray whose root-zone probe has just broken, and the display beside it. */
function alarmed() {
  const profile = shippedProfile('pepper');
  const display = new Display();
  const bench = new Bench({ seed: 3, ...trayOf(profile), firmware: display.firmware });
  const grower = new GrowerAt(bench);
  grower.commission(profile);
  bench.fault('probe-open');
  bench.run(MINUTE_MS);
  return { display, bench, grower };
}

it('is the same stage, the same alarms and the same status', () => {
  const { display, bench, grower } = alarmed();
  const told = grower.status();
  expect(told.alarms.map(({ alarm }) => alarm)).toContain('probe-open');
  expect(display.status(bench)).toEqual(told);
  expect(display.shown(bench)).toEqual({
    stage: { index: told.stage?.index },
    alarms: told.alarms,
  });
});

it.each(['mains-cut', 'board-hung'] as const)('is nothing with %s', (fault) => {
  const { display, bench } = alarmed();
  bench.fault(fault);
  expect(display.shown(bench)).toBeNull();
  expect(display.status(bench)).toBeNull();
});

it('is the new start of the board after a restart', () => {
  const { display, bench, grower } = alarmed();
  bench.reset('brown-out');
  expect(display.status(bench)?.uptimeMs).toBe(0);
  expect(display.status(bench)).toEqual(grower.status());
});
