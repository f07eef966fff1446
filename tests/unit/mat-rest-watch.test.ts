/** A mat over the crop's maximum under a probe that reads a cool root zone, on a tray as its heat balance has it. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MAT, type MatParameters, ThermalMasses } from '../../firmware/bench/plant/thermal';
import { nextHeat, offSince } from '../../firmware/control/heat';
import type { Finding } from '../../firmware/guard/finding';
import { GUARD_LIMITS } from '../../firmware/guard/limits';
import { MatRestWatch } from '../../firmware/guard/mat-rest-watch';
import { HEAT_LIMITS } from '../../firmware/limits';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { found } from './findings';
import { readings } from './readings';

const BAND = { lowC: 26, highC: 27 };
const MAX_C = 34;
/** 3 l of water in wool and plastic, and a tray under its closed lid. */
const TRAY_J_K = 13_000;
const LID_WM2K = 8;
const STEP_S = 5;

interface Where {
  readonly mat?: Partial<MatParameters>;
  readonly roomC: number;
  /** What the root-zone probe reads, C, by what the root zone is: itself unless it hangs elsewhere. */
  readonly reads?: (rootC: number) => number;
}

/** A tray on its mat, minute by minute, its heat controlled and its mat watched. */
class WarmedTray {
  readonly masses: ThermalMasses;
  readonly watch = new MatRestWatch();
  readonly all: Finding[] = [];
  readonly #areaM2: number;
  readonly #fluxWM2: number;
  #heat = offSince(0);
  #minute = 0;
  /** Minutes of rest, begun rests, and minutes of heat into a root zone above the maximum. */
  restMin = 0;
  rests = 0;
  hotMin = 0;

  constructor(readonly where: Where) {
    const mat = { ...MAT, ...where.mat };
    this.masses = new ThermalMasses(mat, where.roomC);
    this.#areaM2 = mat.areaM2;
    this.#fluxWM2 = mat.fluxWM2;
  }

  /** Seen by the watch for so long, the tray on its scale or `away`; what was found. */
  pass(ms: number, { away = false, lostMat = false } = {}): readonly string[] {
    const heat = {
      capacityJK: TRAY_J_K,
      lossWK: LID_WM2K * this.#areaM2,
      evaporationW: 0,
      onMat: true,
    };
    for (const endMinute = this.#minute + ms / MINUTE_MS; this.#minute < endMinute; ) {
      this.#minute += 1;
      const matW = this.#heat.on ? this.#fluxWM2 * this.#areaM2 : 0;
      for (let s = 0; s < 60; s += STEP_S) this.masses.step(STEP_S, matW, heat, this.where.roomC);
      if (this.#heat.on && this.masses.rootZoneC > MAX_C) this.hotMin += 1;
      this.#judge(away, lostMat);
    }
    return found(this.all);
  }

  get isOn(): boolean {
    return this.#heat.on;
  }

  #judge(away: boolean, lostMat: boolean): void {
    const { rootZoneC, matC } = this.masses;
    const uptimeMs = this.#minute * MINUTE_MS;
    const celsius = this.where.reads?.(rootZoneC) ?? rootZoneC;
    const seen = readings({
      uptimeMs,
      away,
      rootZone: { celsius },
      mat: { celsius: lostMat ? Number.NaN : matC },
    });
    const wasAtRest = this.watch.rests;
    this.all.push(...this.watch.minute(seen, { heat: this.#heat, band: BAND }, MAX_C));
    const isAtRest = this.watch.rests;
    if (isAtRest && !wasAtRest) this.rests += 1;
    if (isAtRest) this.restMin += 1;
    const isHeld = isAtRest || away || this.all.length > 0;
    this.#heat = nextHeat(this.#heat, celsius, uptimeMs, isHeld, BAND, HEAT_LIMITS);
  }
}

/** A tray on ribs, with air under it. */
const ON_RIBS = { contactWM2K: 10 };

describe('a mat under a tray that lies flat on it', () => {
  it('never has to rest in a cold room: it is two kelvins warmer than the wool', () => {
    const tray = new WarmedTray({ roomC: 10 });
    expect(tray.pass(48 * HOUR_MS)).toEqual([]);
    expect(tray.rests).toBe(0);
  });

  it('under a probe that hangs in a warm room rests as it gets warmer than the crop bears, and tells', () => {
    const tray = new WarmedTray({ roomC: 25, reads: () => 25 });
    expect(tray.pass(12 * HOUR_MS)).toEqual(['probe-suspect']);
    expect(tray.masses.rootZoneC).toBeLessThan(MAX_C);
    expect(tray.hotMin).toBe(0);
    // In the first five minutes it falls, in the next it does not.
    expect(tray.restMin).toBe((2 * GUARD_LIMITS.matFallsMs) / MINUTE_MS);
  });

  it('tells of a probe that reads but a little less than the wool is, before that is too warm by as much', () => {
    const tray = new WarmedTray({ roomC: 25, reads: (rootC) => Math.min(rootC, 26.9) });
    expect(tray.pass(24 * HOUR_MS)).toEqual(['probe-suspect']);
    expect(tray.masses.rootZoneC).toBeLessThan(MAX_C);
  });
});

describe('a mat under a tray on ribs', () => {
  it('is warmer than the crop bears in a cold room: it rests once, and heats on for days', () => {
    const tray = new WarmedTray({ mat: ON_RIBS, roomC: 14 });
    expect(tray.pass(72 * HOUR_MS)).toEqual([]);
    expect(tray.rests).toBe(1);
    expect(tray.masses.rootZoneC).toBeGreaterThan(25);
  });

  it('rests once more where it was put so that it is much warmer by its own heat', () => {
    const onRibs = new WarmedTray({ mat: ON_RIBS, roomC: 14 });
    onRibs.pass(24 * HOUR_MS);
    expect(onRibs.rests).toBe(1);
    const { watch } = onRibs;
    const heat = { on: true, sinceMs: 24 * HOUR_MS };
    const uptimeMs = 25 * HOUR_MS;
    const seen = readings({ uptimeMs, rootZone: { celsius: 25 }, mat: { celsius: 46 } });
    expect(watch.minute(seen, { heat, band: BAND }, MAX_C)).toEqual([]);
    expect(watch.rests).toBe(true);
  });

  it('under a probe that hangs in the room tells before the wool is too warm', () => {
    const tray = new WarmedTray({ mat: ON_RIBS, roomC: 25, reads: () => 25 });
    expect(tray.pass(24 * HOUR_MS)).toEqual(['probe-suspect']);
    expect(tray.masses.rootZoneC).toBeLessThan(MAX_C);
  });
});

describe('a rest', () => {
  function atRest(): WarmedTray {
    const tray = new WarmedTray({ roomC: 25, reads: () => 25 });
    while (!tray.watch.rests) tray.pass(MINUTE_MS);
    return tray;
  }

  it('keeps the mat off', () => {
    const tray = atRest();
    tray.pass(MINUTE_MS);
    expect(tray.isOn).toBe(false);
  });

  it.each([
    ['the tray goes', { away: true }],
    ['its probe can no more be read', { lostMat: true }],
  ])('ends, and tells nothing, as %s', (_, how) => {
    const tray = atRest();
    expect(tray.pass(MINUTE_MS, how)).toEqual([]);
    expect(tray.watch.rests).toBe(false);
  });

  it('tells nothing where the probe was put back meanwhile', () => {
    const { watch, masses } = atRest();
    const uptimeMs = 100 * HOUR_MS;
    const { rootZoneC: celsius } = masses;
    const seen = readings({ uptimeMs, rootZone: { celsius }, mat: { celsius: celsius + 0.5 } });
    expect(watch.minute(seen, { heat: offSince(0), band: BAND }, MAX_C)).toEqual([]);
    expect(watch.rests).toBe(false);
  });

  it('is none without a profile or a band', () => {
    const watch = new MatRestWatch();
    const heat = { on: true, sinceMs: 0 };
    const seen = readings({ mat: { celsius: 45 } });
    expect(watch.minute(seen, { heat, band: BAND }, null)).toEqual([]);
    expect(watch.minute(seen, { heat, band: null }, MAX_C)).toEqual([]);
    expect(watch.rests).toBe(false);
  });
});

describe('over mats, trays and rooms', () => {
  const mat = fc.record({
    fluxWM2: fc.integer({ min: 80, max: 200 }),
    contactWM2K: fc.integer({ min: 8, max: 250 }),
    undersideWM2K: fc.constantFrom(0.8, 2, 8),
    capacityJM2K: fc.integer({ min: 2_000, max: 6_000 }),
  });

  it('a probe in the root zone is never suspected, and a mat rests but a few times in two days', () => {
    holds(
      fc.property(mat, fc.integer({ min: 8, max: 26 }), (mat, roomC) => {
        const tray = new WarmedTray({ mat, roomC });
        expect(tray.pass(48 * HOUR_MS)).toEqual([]);
        expect(tray.rests).toBeLessThanOrEqual(2);
      }),
      { numRuns: 40 },
    );
  });

  it('a probe in the room beside it lets no root zone have too much heat for three quarters of an hour', () => {
    holds(
      fc.property(mat, fc.integer({ min: 16, max: 26 }), (mat, roomC) => {
        const tray = new WarmedTray({ mat, roomC, reads: () => roomC });
        tray.pass(48 * HOUR_MS);
        expect(tray.hotMin).toBeLessThanOrEqual(45);
      }),
      { numRuns: 40 },
    );
  });
});
