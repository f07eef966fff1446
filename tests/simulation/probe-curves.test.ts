/** Other NTCs than the reference probe: what a grower sees with the board told of them, and without. */
import { describe, expect, it } from 'vitest';
import { createBench } from '../../firmware/bench/bench';
import type { Board } from '../../firmware/board';
import { readHead } from '../../firmware/storage/settings-record';
import { FLASH_MAP } from '../../shared/board/map';
import { PROBE_NAMES, PROBES } from '../../shared/board/probes';
import { FAULT, OUTPUT } from '../../shared/board/words';
import { REFERENCE_PROBE } from '../../shared/physics/ntc';
import { hotCodeOf, windowOf } from '../../shared/physics/probe-curve';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { profileWith, stateOfAlarm } from './scenes';
import {
  B3435,
  FIFTY_K,
  FIVE_K,
  ntc,
  PART_K,
  powerCycle,
  read,
  tell,
  withProbes,
} from './told-probes';

/** The newest record of a key can no longer be read. */
function spoil({ bench }: Grower, key: number): void {
  const { offset, bytes } = FLASH_MAP.settings;
  const found: { at: number; sequence: number }[] = [];
  for (let at = offset; at < offset + bytes; at += 16) {
    const head = readHead(bench.flash.bytes, at);
    if (head?.key === key) found.push({ at, sequence: head.sequence });
  }
  const newest = found.sort((one, other) => other.sequence - one.sequence)[0];
  if (newest === undefined) throw new Error('no such record');
  bench.flash.bytes.fill(0, newest.at + 16, newest.at + 24);
}

describe('a probe of another kind', () => {
  it.each([
    ['10 k, B 3435', B3435],
    ['5 k, B 3977', FIVE_K],
    ['50 k, B 3950', FIFTY_K],
  ])('of %s reads what is so once the board is told of it', (_, curve) => {
    const grower = withProbes(curve);
    for (const name of PROBE_NAMES) expect(tell(grower, name, curve)).toEqual({ restarts: true });
    grower.bench.run(MINUTE_MS);
    const state = grower.bench.state();
    for (const name of PROBE_NAMES) {
      const { celsius } = PROBES[name];
      expect(Math.abs((read(grower)[celsius] ?? Number.NaN) - state[celsius])).toBeLessThan(PART_K);
      expect(read(grower)[PROBES[name].state]).toBe('ok');
    }
    expect(grower.alarms()).toEqual([]);
  });

  it('of half the resistance reads far too warm before, and nothing is heated', () => {
    const grower = withProbes(FIVE_K, { room: { meanC: 18 } });
    grower.commission();
    grower.bench.run(HOUR_MS);
    const { rootZoneC } = read(grower);
    expect((rootZoneC ?? 0) - grower.bench.state().rootZoneC).toBeGreaterThan(14);
    expect(grower.bench.state().outputs.mat).toBe(false);
  });

  it('of five times the resistance reads frost before: a root zone that no room has', () => {
    const grower = withProbes(FIFTY_K);
    grower.bench.run(MINUTE_MS);
    expect(read(grower).rootZoneC).toBeLessThan(0);
  });

  it('of B 3435 reads right in a warm room, and in ice 2.5 K too warm, which no offset mends', () => {
    const grower = withProbes(B3435);
    grower.bench.run(MINUTE_MS);
    const state = grower.bench.state();
    expect(Math.abs((read(grower).rootZoneC ?? 0) - state.rootZoneC)).toBeLessThan(PART_K);
    grower.bench.rig.plant.heldInC.rootZone = 0;
    grower.bench.run(10 * MINUTE_MS);
    const iceC = read(grower).rootZoneC ?? Number.NaN;
    expect(iceC).toBeGreaterThan(2);
    expect(() => grower.call('probe.calibrate', { channel: 0, offsetK: -iceC })).toThrow(
      /another NTC .*`trayward probe curve`/,
    );
    expect(() => tell(grower, 'rootZone', B3435)).toThrow(/hold both beads together/);
    delete grower.bench.rig.plant.heldInC.rootZone;
    grower.bench.run(10 * MINUTE_MS);
    tell(grower, 'rootZone', B3435);
    grower.bench.rig.plant.heldInC.rootZone = 0;
    grower.bench.run(10 * MINUTE_MS);
    expect(Math.abs(read(grower).rootZoneC ?? Number.NaN)).toBeLessThan(PART_K);
  });

  it('is heated to its band, over a power cut too, and its wires are told when they break', () => {
    const grower = withProbes(FIVE_K, { room: { meanC: 18 } });
    for (const name of PROBE_NAMES) tell(grower, name, FIVE_K);
    grower.commission();
    grower.bench.run(12 * HOUR_MS);
    powerCycle(grower);
    grower.bench.run(6 * HOUR_MS);
    const { lowC, highC } = grower.status().heat;
    const { rootZoneC } = grower.bench.state();
    expect(rootZoneC).toBeGreaterThan((lowC ?? Number.NaN) - PART_K - 0.5);
    expect(rootZoneC).toBeLessThan((highC ?? Number.NaN) + PART_K + 0.5);
    expect(grower.alarms()).toEqual([]);
    for (const fault of ['probe-open', 'probe-short'] as const) {
      grower.bench.fault(fault);
      grower.bench.run(MINUTE_MS);
      expect(grower.alarms()).toContain(fault);
      grower.bench.fault(fault, false);
      grower.bench.run(2 * MINUTE_MS);
      grower.call('alarm.clear', { alarm: fault });
    }
  });
});

describe('a board that has lost what it was told of a probe', () => {
  const lost = (): Grower => {
    const grower = withProbes(FIFTY_K, { room: { meanC: 15 } });
    for (const name of PROBE_NAMES) tell(grower, name, FIFTY_K);
    grower.commission(profileWith());
    grower.bench.run(HOUR_MS);
    spoil(grower, PROBES.rootZone.curveKey);
    powerCycle(grower);
    return grower;
  };

  it('gives no temperature, heats nothing and says so, until it is told again and somebody has seen to it', () => {
    const grower = lost();
    expect(read(grower)).toMatchObject({ rootZoneCurve: 'lost', rootZoneC: null });
    expect(grower.alarms()).toEqual(['settings-lost']);
    expect(grower.status().outputs & OUTPUT.limiterRootZone).toBe(OUTPUT.limiterRootZone);
    expect(() => grower.call('alarm.clear', { alarm: 'settings-lost' })).toThrow(/still there/);
    grower.bench.run(HOUR_MS);
    expect(grower.status().heat).toMatchObject({ on: false, heldBy: 'settings-lost' });
    const lostNow = grower.journal().filter((one) => one.kind === 'fault');
    expect(lostNow).toMatchObject([{ code: FAULT.curveLost, detail: 0 }]);

    tell(grower, 'rootZone', FIFTY_K);
    expect(stateOfAlarm(grower, 'settings-lost')).toBe('latched-unaccepted');
    grower.call('alarm.clear', { alarm: 'settings-lost' });
    grower.bench.run(2 * MINUTE_MS);
    expect(grower.status().heat).toMatchObject({ on: true, heldBy: null });
  });

  it('goes on by no older curve that can still be read', () => {
    const grower = withProbes(FIVE_K);
    tell(grower, 'mat', ntc(5_500, 3977));
    tell(grower, 'mat', FIVE_K);
    spoil(grower, PROBES.mat.curveKey);
    powerCycle(grower);
    expect(read(grower)).toMatchObject({ matCurve: 'lost', matC: null });
  });
});

describe('the limiter', () => {
  const CODES = { ...windowOf(FIVE_K), hotCode: hotCodeOf(FIVE_K, 40) };
  const limit = (board: Board) =>
    board.limitProbe(0, CODES.hotCode, CODES.openCode, CODES.shortCode);

  function benchWith(start: (board: Board) => void, tick: (board: Board) => void) {
    return createBench({
      seed: 11,
      ntcs: { rootZone: FIVE_K },
      firmware: (board) => {
        start(board);
        return { tick: () => tick(board), rest: () => {}, receive: () => {} };
      },
    });
  }

  it('goes by the codes that it was told at the start, once', () => {
    const said: boolean[] = [];
    const bench = benchWith(
      (board) => said.push(limit(board), board.limitProbe(0, 2_000, 3_000, 100)),
      (board) => board.leaseMat(10_000),
    );
    bench.run(3_000);
    expect(said).toEqual([true, false]);
    expect(bench.state().outputs.mat).toBe(true);
    bench.rig.plant.heldInC.rootZone = 40.8;
    bench.run(5 * MINUTE_MS);
    expect(bench.board.outputs() & OUTPUT.limiterRootZone).not.toBe(0);
    bench.rig.plant.heldInC.rootZone = 39;
    bench.run(5 * MINUTE_MS);
    expect(bench.board.outputs() & OUTPUT.limiterRootZone).toBe(0);
  });

  it('is told nothing any more once the controller is made, or something was leased', () => {
    const said: boolean[] = [];
    const bench = benchWith(
      (board) => {
        board.leaseMat(1_000);
        said.push(limit(board));
      },
      (board) => void said.push(limit(board)),
    );
    bench.run(1_500);
    expect(said).toEqual([false, false]);
  });

  it('that is told what no probe has lets nothing heat until the next start', () => {
    const said: boolean[] = [];
    const bench = benchWith(
      (board) => said.push(board.limitProbe(0, 0, 4_095, 0), limit(board)),
      (board) => board.leaseMat(10_000),
    );
    bench.run(MINUTE_MS);
    expect(said).toEqual([false, false]);
    expect(bench.state().outputs.mat).toBe(false);
  });

  it('has the codes of the reference probe until it is told others', () => {
    const bench = benchWith(
      () => {},
      () => {},
    );
    bench.rig.plant.heldInC.rootZone = 27;
    bench.run(5 * MINUTE_MS);
    // Half the resistance: 44 C on the reference curve.
    expect(bench.board.outputs() & OUTPUT.limiterRootZone).not.toBe(0);
    expect(hotCodeOf(REFERENCE_PROBE, 40)).toBeGreaterThan(CODES.hotCode);
  });
});
