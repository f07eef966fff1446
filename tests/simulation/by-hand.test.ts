/** Outputs that a grower tries by hand, before anything is sown: the mat and the sounder. */
import { describe, expect, it } from 'vitest';
import { BY_HAND_MAX_MS } from '../../shared/link/methods';
import { MINUTE_MS, SECOND_MS } from '../../shared/units/time';
import { EVERY_TICK, Grower, TEST_PROFILE } from './grower';

function newBoard(): Grower {
  const grower = new Grower({ seed: 4, room: { meanC: 20 }, ...EVERY_TICK });
  grower.bench.run(2 * MINUTE_MS);
  return grower;
}
const heats = ({ bench }: Grower): boolean => bench.state().outputs.mat;

describe('a mat that is tried by hand', () => {
  it('heats for as long as it is asked again and again, and is off then', () => {
    const grower = newBoard();
    for (let again = 0; again < 3; again++) {
      grower.call('mat.run', { ms: BY_HAND_MAX_MS.mat });
      grower.bench.run(BY_HAND_MAX_MS.mat - 5 * SECOND_MS);
      expect(heats(grower)).toBe(true);
    }
    // Nobody asks again: the cable was pulled.
    grower.bench.run(8 * SECOND_MS);
    expect(heats(grower)).toBe(false);
    expect(grower.status().heat.heldBy).toBe('not-sown');
  });

  it('is off as soon as that is said', () => {
    const grower = newBoard();
    grower.call('mat.run', { ms: BY_HAND_MAX_MS.mat });
    grower.bench.run(5 * SECOND_MS);
    grower.call('mat.run', { ms: 0 });
    grower.bench.run(3 * SECOND_MS);
    expect(heats(grower)).toBe(false);
  });

  it('is off after a restart of the board', () => {
    const grower = newBoard();
    grower.call('mat.run', { ms: BY_HAND_MAX_MS.mat });
    grower.bench.run(5 * SECOND_MS);
    grower.bench.reset('watchdog');
    grower.connect();
    grower.bench.run(2 * MINUTE_MS);
    expect(heats(grower)).toBe(false);
  });

  it('heats nothing where a probe is broken, nor beyond what roots bear', () => {
    const grower = newBoard();
    grower.bench.fault('mat-probe-open');
    grower.bench.run(MINUTE_MS);
    expect(() => grower.call('mat.run', { ms: BY_HAND_MAX_MS.mat })).toThrow(
      /alarm .* holds the mat off/,
    );
    const hot = newBoard();
    hot.bench.rig.plant.thermal.rootZoneC = 38;
    hot.bench.run(MINUTE_MS);
    hot.call('mat.run', { ms: BY_HAND_MAX_MS.mat });
    hot.bench.run(10 * SECOND_MS);
    expect(heats(hot)).toBe(false);
  });

  it('is refused while a crop stands', () => {
    const grower = newBoard();
    grower.commission(TEST_PROFILE);
    expect(() => grower.call('mat.run', { ms: BY_HAND_MAX_MS.mat })).toThrow(
      /A crop stands on the tray/,
    );
  });

  it('is no longer than twenty seconds at a time', () => {
    const grower = newBoard();
    expect(() => grower.call('mat.run', { ms: BY_HAND_MAX_MS.mat + 1 })).toThrow(/ms/);
  });
});

describe('a sounder that is tried by hand', () => {
  it('sounds for so long, and is silent then', () => {
    const grower = newBoard();
    const sounded: boolean[] = [];
    grower.call('sounder.run', { ms: 3 * SECOND_MS });
    for (let s = 0; s < 8; s++) {
      grower.bench.run(SECOND_MS);
      sounded.push(grower.bench.state().outputs.sounder);
    }
    expect(sounded.filter(Boolean)).toHaveLength(3);
    expect(sounded.slice(0, 3)).toEqual([true, true, true]);
  });
});
