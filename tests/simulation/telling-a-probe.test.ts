/** Telling the board which NTC a probe is: what becomes of the calibration, what is refused, and when the power fails meanwhile. */
import { describe, expect, it } from 'vitest';
import { PROBE_NAMES, PROBES } from '../../shared/board/probes';
import { OUTPUT } from '../../shared/board/words';
import { probeCurveOf } from '../../shared/physics/probe-curve';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower } from './grower';
import { runToDose, wateredTray } from './scenes';
import { B3435, boot, ntc, powerCycle, RESTARTS_MS, read, tell, withProbes } from './told-probes';

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
