/** Other NTCs than the reference probe: what a grower sees with the board told of them, and without. */
import { describe, expect, it } from 'vitest';
import { type BenchOptions, createBench } from '../../firmware/bench/bench';
import type { Board } from '../../firmware/board';
import { readHead } from '../../firmware/storage/settings-record';
import { FLASH_MAP } from '../../shared/board/map';
import { PROBE_NAMES, PROBES, type ProbeName } from '../../shared/board/probes';
import { FAULT, OUTPUT } from '../../shared/board/words';
import { curveFromB, REFERENCE_PROBE, type SteinhartHart } from '../../shared/physics/ntc';
import { hotCodeOf, probeCurveOf, windowOf } from '../../shared/physics/probe-curve';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower } from './grower';
import { profileWith, runToDose, stateOfAlarm, wateredTray } from './scenes';

const ntc = (ohm: number, b: number): SteinhartHart => curveFromB({ b, t1C: 25, t2C: 85 }, ohm);
const B3435 = ntc(10_000, 3435);
const FIVE_K = ntc(5_000, 3977);
const FIFTY_K = ntc(50_000, 3950);
/** Each part of a make is off by up to 0.3 K, and its own current warms it. */
const PART_K = 0.4;
const RESTARTS_MS = 5_000;

/** A grower with a tray whose probes are such NTCs, in a room of 24 C. */
const withProbes = (curve: SteinhartHart, options: Partial<BenchOptions> = {}): Grower =>
  new Grower({ ntcs: { rootZone: curve, mat: curve }, ...options });

/** Says which NTC a probe is; null: the reference one. The board starts again. */
function tell(grower: Grower, name: ProbeName, curve: SteinhartHart | null) {
  const { channel } = PROBES[name];
  const told = curve === null ? {} : probeCurveOf(curve);
  const result = grower.call('probe.curve', { channel, ...told });
  grower.bench.run(RESTARTS_MS);
  return result;
}

const read = (grower: Grower) => grower.call('probe.read', {}, false);
const boot = (grower: Grower) => grower.call('controller.hello', {}, false).boot;

function powerCycle({ bench }: Grower): void {
  bench.cutPower();
  bench.run(MINUTE_MS);
  bench.restorePower();
  bench.run(MINUTE_MS);
}

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

describe('telling which NTC a probe is', () => {
  it('starts the board again on request, mat and pump off, and is written into the journal', () => {
    const grower = withProbes(B3435, { room: { meanC: 18 } });
    grower.commission();
    expect(
      grower.bench.runUntil(({ board }) => (board.outputs() & OUTPUT.matOn) !== 0, HOUR_MS),
    ).toBe(true);
    const before = boot(grower);
    grower.call('probe.curve', { channel: 0, ...probeCurveOf(B3435) });
    grower.bench.run(1_500);
    expect(grower.bench.state().outputs).toMatchObject({ mat: false, pump: false });
    expect(grower.bench.boots.at(-1)).toMatchObject({ cause: 'request', error: null });
    grower.bench.run(RESTARTS_MS);
    expect(boot(grower)).toBe(before + 1);
    expect(grower.status().stage?.index).toBe(0);
    const entry = grower.journal().find(({ kind }) => kind === 'curve');
    const { at0Ohm } = probeCurveOf(B3435);
    expect(entry).toMatchObject({ probe: 'rootZone', at0Ohm: expect.closeTo(at0Ohm, 1) });
  });

  it('forgets the calibration of that probe alone: it goes with the curve it was found on', () => {
    const grower = withProbes(B3435);
    grower.bench.run(MINUTE_MS);
    for (const channel of [0, 1]) grower.call('probe.calibrate', { channel, offsetK: 0.3 });
    tell(grower, 'rootZone', B3435);
    expect(read(grower)).toMatchObject({ calibration: null, matCalibration: { offsetK: 0.3 } });
    grower.call('probe.calibrate', { channel: 0, offsetK: -0.1 });
    powerCycle(grower);
    expect(read(grower)).toMatchObject({ calibration: { offsetK: -0.1 } });
    tell(grower, 'rootZone', null);
    expect(read(grower)).toMatchObject({ calibration: null, rootZoneCurve: 'reference' });
  });

  it('what it knows already changes nothing, and starts nothing again', () => {
    const grower = withProbes(B3435);
    expect(tell(grower, 'mat', null)).toEqual({ restarts: false });
    tell(grower, 'mat', B3435);
    const before = boot(grower);
    expect(tell(grower, 'mat', B3435)).toEqual({ restarts: false });
    expect(boot(grower)).toBe(before);
  });

  it('lets nothing be changed until the board has started: no calibration found on the old curve counts for the new', () => {
    const grower = withProbes(B3435);
    grower.bench.run(MINUTE_MS);
    grower.call('probe.curve', { channel: 0, ...probeCurveOf(B3435) });
    const restarting = /about to start again.*Nothing was changed.*try again/;
    expect(() => grower.call('probe.calibrate', { channel: 0, offsetK: 0.3 })).toThrow(restarting);
    expect(() => grower.call('probe.curve', { channel: 0 })).toThrow(restarting);
    grower.bench.run(RESTARTS_MS);
    expect(read(grower)).toMatchObject({
      rootZoneCurve: probeCurveOf(B3435),
      calibration: null,
    });
    expect(grower.alarms()).toEqual([]);
  });

  it('leaves time for the answer to leave the board, though a tick is due at once', () => {
    const grower = withProbes(B3435);
    grower.bench.run(MINUTE_MS + 900);
    const boots = grower.bench.boots.length;
    grower.call('probe.curve', { channel: 0, ...probeCurveOf(B3435) });
    grower.bench.run(400);
    expect(grower.bench.boots).toHaveLength(boots);
    grower.bench.run(1_200);
    expect(grower.bench.boots).toHaveLength(boots + 1);
  });

  it('is refused where it is no NTC, or one that is read too coarsely, with a reason and what to do', () => {
    const grower = new Grower();
    const refused = (curve: object) => () => grower.call('probe.curve', { channel: 0, ...curve });
    expect(refused({ at0Ohm: 1000, at25Ohm: 1097, at50Ohm: 1194 })).toThrow(
      /those of no NTC.*Check/,
    );
    expect(refused(probeCurveOf(ntc(1_000, 3977)))).toThrow(
      /steps of 0.16 K at 45.0 °C.*Use a probe with 2.2 kΩ to 68 kΩ/,
    );
    expect(refused(probeCurveOf(ntc(10_000, 5_500)))).toThrow(/5500 K is beyond.*10 kΩ/);
    expect(refused({ at0Ohm: 30_000 })).toThrow(/at25Ohm/);
    grower.bench.run(RESTARTS_MS);
    expect([boot(grower), read(grower).rootZoneCurve]).toEqual([1, 'reference']);
  });

  it.each([
    ['2.2 k', ntc(2_200, 3977)],
    ['4 k', ntc(4_000, 3977)],
    ['47 k', ntc(47_000, 3977)],
  ])(
    'is refused of a reference probe as one of %s: it would read what the other one rules out',
    (_, curve) => {
      for (const name of PROBE_NAMES) {
        const grower = new Grower();
        grower.bench.run(MINUTE_MS);
        expect(() => tell(grower, name, curve)).toThrow(
          /would read -?\d+\.\d °C now, and the other probe reads 2\d\.\d °C: .*nothing was changed\. .*data sheet.*hold both beads together.*`trayward probe check`/,
        );
        expect([boot(grower), read(grower)[PROBES[name].curve]]).toEqual([1, 'reference']);
      }
    },
  );

  it.each([2_200, 3_300, 5_000, 22_000, 50_000])(
    'of %s ohm is taken of both, one after the other, in any room that is not cold',
    (ohm) => {
      for (const meanC of [18, 24, 30]) {
        const grower = withProbes(ntc(ohm, 3977), { room: { meanC } });
        grower.bench.run(MINUTE_MS);
        for (const name of PROBE_NAMES)
          expect(tell(grower, name, ntc(ohm, 3977)), `${meanC} C`).toEqual({ restarts: true });
      }
    },
  );

  it('is taken of a probe that is broken, or beside one that is: there is nothing to hold it against', () => {
    for (const fault of ['probe-open', 'mat-probe-open'] as const) {
      const grower = new Grower();
      grower.bench.fault(fault);
      grower.bench.run(MINUTE_MS);
      expect(tell(grower, 'rootZone', ntc(2_200, 3977))).toEqual({ restarts: true });
    }
  });

  it('waits for the end of a dose, which a start would cut off', () => {
    const grower = wateredTray();
    runToDose(grower);
    expect(() => tell(grower, 'mat', B3435)).toThrow(/dose is under way/);
    expect(read(grower).matCurve).toBe('reference');
  });

  it('leaves the old curve or the new one, and no alarm, wherever the power fails meanwhile', () => {
    const seen = new Set<string>();
    for (let cut = 1; cut <= 8; cut++) {
      const grower = withProbes(B3435);
      grower.bench.run(MINUTE_MS);
      grower.bench.flash.cutPowerAt(cut);
      try {
        tell(grower, 'rootZone', B3435);
      } catch (error) {
        // No reply that counts: the supply is gone.
        if (grower.bench.flash.isPowered) throw error;
      }
      // Behind the last write of a telling nothing is cut, and nothing is proved.
      if (grower.bench.flash.isPowered) break;
      grower.bench.cutPower();
      grower.bench.restorePower();
      grower.bench.run(MINUTE_MS);
      const { rootZoneCurve } = read(grower);
      expect(['reference', probeCurveOf(B3435)], `cut ${cut}`).toContainEqual(rootZoneCurve);
      expect(grower.alarms(), `cut ${cut}`).toEqual([]);
      seen.add(rootZoneCurve === 'reference' ? 'old' : 'new');
    }
    expect([...seen]).toEqual(['old', 'new']);
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
