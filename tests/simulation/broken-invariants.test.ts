/** What must hold and does not: outputs off first, the boot ends as `exception`, and the run goes on after it. */
import { beforeAll, describe, expect, it } from 'vitest';
import { BrokenInvariant } from '../../firmware/assert';
import type { Board } from '../../firmware/board';
import type { Controller } from '../../firmware/controller';
import { probeCalibrate, probeRead } from '../../firmware/handlers/calibration';
import { probeCurve } from '../../firmware/handlers/probe-curve';
import { ProfileLoader } from '../../firmware/handlers/profile';
import { createController } from '../../firmware/main';
import { Ticker } from '../../firmware/tick/ticker';
import {
  INVARIANT_DETAIL,
  INVARIANTS,
  type Invariant,
  RESET_CAUSES,
} from '../../shared/board/words';
import { crc32, toBase64 } from '../../shared/bytes';
import { LINK_LIMITS } from '../../shared/link/methods';
import { decodeProfile, encodeProfile } from '../../shared/profile/image';
import { DAY_MS, HOUR_MS, MINUTE_MS, SECOND_MS } from '../../shared/units/time';
import { EVERY_TICK, type Grower } from './grower';
import { doses, profileWith, runToDose, wateredTray } from './scenes';

/** A watered tray whose next boot runs a ticker that the test can reach into, and the ones after it none. */
class ReachedInto {
  readonly grower: Grower;
  #reach = false;
  #ticker: Ticker | null = null;

  constructor() {
    const firmware = (board: Board): Controller => {
      if (!this.#reach) return createController(board);
      this.#reach = false;
      const ticker = new Ticker(board);
      this.#ticker = ticker;
      return { tick: () => ticker.tick(), rest: () => {}, receive: () => {} };
    };
    this.grower = wateredTray({}, { ...EVERY_TICK, firmware, rethrow: false, seed: 5 });
    this.#reach = true;
    this.grower.bench.reset('request');
  }

  get ticker(): Ticker {
    if (this.#ticker === null) throw new Error('the board has not started');
    return this.#ticker;
  }

  /** The next second ends the boot, for this reason, which the journal keeps; every output is off then. */
  endsBoot(invariant: Invariant): void {
    const { bench } = this.grower;
    const { boots } = bench.state();
    bench.run(SECOND_MS);
    const { lastBoot, boots: now, outputs } = bench.state();
    expect(now).toBe(boots + 1);
    expect(lastBoot?.cause).toBe('exception');
    expect(lastBoot?.error).toMatch(invariant);
    expect(outputs).toMatchObject({ mat: false, pump: false });
    expect(bench.board.clockMs()).toBe(0);
    bench.run(SECOND_MS);
    const boot = this.grower
      .journal()
      .filter(({ kind }) => kind === 'boot')
      .at(-1);
    const detail = INVARIANT_DETAIL + INVARIANTS.indexOf(invariant);
    expect(boot).toMatchObject({ cause: RESET_CAUSES.indexOf('exception'), detail });
  }
}

/** Changes what the type says nobody changes. */
const spoil = <T extends object>(what: T, change: { [K in keyof T]?: T[K] }): void => {
  Object.assign(what, change);
};

describe('a board that finds a state that cannot be', () => {
  it('switches a running mat off, restarts, and heats the same stage again', () => {
    const tray = new ReachedInto();
    const { bench } = tray.grower;
    const heats = () => bench.state().outputs.mat;
    expect(bench.runUntil(heats, DAY_MS)).toBe(true);
    const { stage } = tray.ticker.tray;
    if (stage === null) throw new Error('not sown');
    const ranMs = tray.ticker.staging.progress.stageRunMs;
    spoil(stage.band, { lowC: stage.band.highC + 50 });
    tray.endsBoot('band-in-order');
    expect(bench.runUntil(heats, DAY_MS)).toBe(true);
    const after = tray.grower.status();
    expect(after.stage).toMatchObject({ index: 1, name: 'first feed' });
    expect(after.stage?.runS).toBeGreaterThan((ranMs - 5 * MINUTE_MS) / 1000);
    expect(after.alarms).toEqual([]);
  });

  it('stops a dose that nobody charged, counts what was pumped as if all had come, and doses on', () => {
    const tray = new ReachedInto();
    const { bench } = tray.grower;
    runToDose(tray.grower);
    const { charges } = tray.ticker.watering;
    const { dayMl } = charges.account;
    spoil(tray.ticker.tray.run.dosing, { pendingMl: 0 });
    tray.endsBoot('charged-before-lease');
    bench.run(SECOND_MS);
    expect(tray.grower.status().water.dayMl).toBe(Math.ceil(dayMl));
    expect(doses(tray.grower).at(-1)).toMatchObject({ verdict: 'cut' });
    runToDose(tray.grower);
    bench.run(HOUR_MS);
    expect(doses(tray.grower).at(-1)).toMatchObject({ verdict: 'seen' });
  });

  it('gives the pump no lease for a run by hand that nobody charged', () => {
    const tray = new ReachedInto();
    const { bench } = tray.grower;
    const { watering } = tray.ticker;
    spoil(watering.charges, { beforeRunByHand: () => {} });
    watering.service('prime', MINUTE_MS);
    const { pump } = bench.rig.plant;
    const { ranMs } = pump;
    tray.endsBoot('charged-before-lease');
    expect(pump.ranMs).toBe(ranMs);
  });

  it('gives no dose beyond its caps, charges none, and doses on after the restart', () => {
    const tray = new ReachedInto();
    const { bench } = tray.grower;
    const { watering } = tray.ticker;
    expect(bench.runUntil(() => watering.dose.phase === 'weighing', 4 * DAY_MS)).toBe(true);
    const { pump } = bench.rig.plant;
    const before = { ranMs: pump.ranMs, stageMl: watering.charges.account.stageMl };
    // Right when the dose is worked out, wrong when it is charged.
    let reads = 0;
    Object.defineProperty(watering.charges.account, 'stageMl', {
      get: () => (reads++ === 0 ? before.stageMl : Number.MAX_VALUE),
    });
    const settled = () => {
      reads = 0;
      return bench.state().boots > 2;
    };
    expect(bench.runUntil(settled, HOUR_MS)).toBe(true);
    expect(bench.state().lastBoot?.error).toMatch(/dose-within-caps/);
    expect(pump.ranMs).toBe(before.ranMs);
    bench.run(SECOND_MS);
    expect(tray.grower.status().water.stageMl).toBe(before.stageMl);
    runToDose(tray.grower);
    bench.run(HOUR_MS);
    expect(doses(tray.grower)[0]).toMatchObject({ verdict: 'seen' });
  });

  it('does not count on from an account that cannot be: the day as last written down holds', () => {
    const tray = new ReachedInto();
    const { bench } = tray.grower;
    const { account } = tray.ticker.watering.charges;
    spoil(account.hoursMl, { 3: -500 });
    spoil(account, { hourMs: HOUR_MS });
    tray.endsBoot('account-not-negative');
    bench.run(SECOND_MS);
    expect(tray.grower.status().water.dayMl).toBe(0);
  });
});

describe('before anything is changed', () => {
  // One tray for all: what is refused leaves it as it was.
  let ticker: Ticker;
  beforeAll(() => {
    ticker = new ReachedInto().ticker;
  });

  it('a run by hand of no known length is refused: nothing is charged, and no pump waits to run', () => {
    const { watering } = ticker;
    const { account } = watering.charges;
    const before = { ...account, hoursMl: Array.from(account.hoursMl) };
    expect(() => watering.service('prime', Number.NaN)).toThrow(BrokenInvariant);
    expect({ ...account, hoursMl: Array.from(account.hoursMl) }).toEqual(before);
    expect(watering.dose.phase).toBe('idle');
  });

  it.each([
    ['upside down', 500, 600],
    ['the same', 600, 600],
    ['unknown', Number.NaN, 600],
    ['of nothing', 500, 0],
  ])('weights %s are refused', (_what, capacityG, dryG) => {
    const { weights } = ticker;
    const known = { ...weights.known };
    expect(() => weights.soaked(capacityG, dryG)).toThrow(BrokenInvariant);
    expect(weights.known).toEqual(known);
  });

  it.each([2, -1])('a calibration of a probe %i that is not there is refused', (channel) => {
    const before = probeRead(ticker);
    expect(() => probeCalibrate(ticker, { token: 1, channel, offsetK: 0.1 })).toThrow(
      BrokenInvariant,
    );
    expect(probeRead(ticker)).toEqual(before);
  });

  it.each([2, -1])('a curve of a probe %i that is not there is refused', (channel) => {
    const before = probeRead(ticker);
    expect(() => probeCurve(ticker, { token: 1, channel })).toThrow(BrokenInvariant);
    expect(probeRead(ticker)).toEqual(before);
  });

  it.each([-1, 0.5, Number.NaN])(
    'a profile that is to begin with stage %d is refused: the old one stays, and runs',
    (stage) => {
      const { tray, staging } = ticker;
      const { program, progress } = tray.run;
      const before = { ...program, ...progress };
      const loader = new ProfileLoader(ticker);
      const image = encodeProfile(profileWith({ profile: { title: 'Another' } }));
      loader.begin({ token: 1, bytes: image.length, crc: crc32(image) });
      for (let offset = 0; offset < image.length; offset += LINK_LIMITS.profileChunkBytes) {
        const chunk = image.subarray(offset, offset + LINK_LIMITS.profileChunkBytes);
        loader.chunk({ offset, data: toBase64(chunk) });
      }
      const decoded = decodeProfile(image);
      const commit = { token: 3, id: decoded.ok ? decoded.id : 0, stage };
      expect(() => loader.commit(commit)).toThrow(BrokenInvariant);
      expect({ ...program, ...progress }).toEqual(before);
      expect(tray.slots.load(1 - program.slot)).toBe(null);
      expect(staging.state.index).toBe(progress.stage);
    },
  );

  it.each([2, 255, -1])('a stage %i that the profile does not have is refused', (index) => {
    const { staging } = ticker;
    const { state } = staging;
    const change = { state: { ...state, index }, reason: 'grower' } as const;
    expect(() => staging.enter(change)).toThrow(BrokenInvariant);
    expect(staging.state).toEqual(state);
  });
});
