import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type AtMark,
  judgeDry,
  judgeSoaked,
  type KnownDry,
  seenAtMarkG,
} from '../../firmware/control/mark-weights';
import { MARK_LIMITS, WEIGHT_LIMITS } from '../../firmware/limits';
import { capacityWaterMl, dryWoolG, type TrayWeights } from '../../shared/physics/dry-back';
import { gFromMl } from '../../shared/physics/water';
import type { Medium, Profile } from '../../shared/profile/profile';
import { PROFILE } from '../base-profile';
import { holds } from '../properties';
import { anyProfile } from './any-profile';

const { trayMinG, trayMaxG, waterMinG, waterLeastShare, capacityMostShare, capacityLeastShare } =
  MARK_LIMITS;

/** 98 plugs: 350 g of dry wool, and 3,998 g of water at container capacity. */
const [PLUGS] = PROFILE.media;
if (PLUGS === undefined) throw new Error('the profile has no medium');
const WOOL_G = dryWoolG(PLUGS);
const WATER_G = gFromMl(capacityWaterMl(PLUGS));
const CELL_G = 10_000;

/** A still tray on a scale in good order. */
const STILL = {
  givenG: undefined,
  scale: { state: 'ok', stable: true, grams: 4_500, calibration: { cellG: CELL_G } },
  handled: false,
  gainedLatelyG: 0,
  lostMostLatelyG: 0,
  inflowAlarm: null,
  profile: PROFILE,
  medium: PLUGS,
} satisfies AtMark;
const scaleWith = (scale: Partial<AtMark['scale']>): AtMark => ({
  ...STILL,
  scale: { ...STILL.scale, ...scale },
});
const weighing = (grams: number) => scaleWith({ grams });
const given = (givenG: number, change: Partial<AtMark> = {}): AtMark => ({
  ...STILL,
  givenG,
  ...change,
});

const UNKNOWN: KnownDry = { dryG: Number.NaN, dryWeighed: false };
const WEIGHED: KnownDry = { dryG: 700, dryWeighed: true };
/** Of a tray of which nothing is known so far. */
const dryOf = (at: AtMark) => judgeDry(at, null);
const refused = (reason: string, ...facts: unknown[]) => ({ ok: false, reason, facts });

describe('the weight of a mark', () => {
  it('is the one the scale reads, or the one that the grower gives', () => {
    expect(dryOf(weighing(700))).toEqual({ ok: true, dryG: 700 });
    expect(dryOf(given(650))).toEqual({ ok: true, dryG: 650 });
    expect(judgeSoaked(STILL, WEIGHED)).toEqual({ ok: true, capacityG: 4_500, dryG: 700 });
    expect(judgeSoaked(given(4_600), WEIGHED)).toEqual({ ok: true, capacityG: 4_600, dryG: 700 });
  });

  it('is not read from a scale that is not ready, not steady, or empty', () => {
    for (const state of ['uncalibrated', 'silent', 'saturated', 'noisy'] as const) {
      expect(dryOf(scaleWith({ state }))).toEqual(refused('scale-not-ready', state));
    }
    expect(dryOf(scaleWith({ stable: false }))).toEqual(refused('scale-unstable'));
    expect(dryOf({ ...STILL, handled: true })).toEqual(refused('scale-unstable'));
    expect(dryOf(weighing(trayMinG - 0.1))).toEqual(refused('scale-empty'));
  });

  it('that is given is one of a tray, and no more than the load cell carries', () => {
    const onWideCell = (givenG: number) =>
      dryOf({ ...scaleWith({ calibration: null }), profile: null, givenG });
    expect(dryOf(given(trayMinG - 1))).toEqual(refused('weight-implausible', trayMinG - 1));
    expect(onWideCell(trayMaxG + 1)).toEqual(refused('weight-implausible', trayMaxG + 1));
    expect(onWideCell(trayMaxG)).toEqual({ ok: true, dryG: trayMaxG });
    expect(dryOf(given(CELL_G + 1))).toEqual(refused('over-the-cell', CELL_G + 1, CELL_G));
  });
});

describe('a dry tray', () => {
  it('weighs no less than most of its wool, nor what moist wool does', () => {
    const leastG = WOOL_G * MARK_LIMITS.woolShare;
    const mostG = WOOL_G + MARK_LIMITS.trayOwnG + MARK_LIMITS.moistShare * WATER_G;
    expect(dryOf(weighing(leastG - 1))).toEqual(refused('lighter-than-wool', leastG - 1, WOOL_G));
    expect(dryOf(weighing(leastG))).toMatchObject({ ok: true });
    expect(dryOf(weighing(mostG))).toMatchObject({ ok: true });
    expect(dryOf(weighing(mostG + 1))).toEqual(refused('not-dry', mostG + 1, mostG));
  });

  it('on heavy matting is taken as dry with a tray of its own under it', () => {
    const spread = {
      by: 'capillary-matting',
      areaM2: 1,
      dryG: 2000,
      holdsMl: 0,
      outlets: 0,
    } as const;
    const onMatting = { ...PROFILE, spread };
    const dryG = WOOL_G + spread.dryG + 400;
    expect(dryOf({ ...weighing(dryG), profile: onMatting })).toEqual({ ok: true, dryG });
    const mostG = WOOL_G + spread.dryG + MARK_LIMITS.trayOwnG + MARK_LIMITS.moistShare * WATER_G;
    expect(dryOf({ ...weighing(mostG + 1), profile: onMatting })).toMatchObject({ ok: false });
  });

  it('of which pieces have gone weighs no less than what is left', () => {
    const medium = { ...PLUGS, pieces: 10 };
    const leftG = dryWoolG(medium);
    expect(dryOf({ ...weighing(100), medium })).toMatchObject({ ok: true });
    expect(dryOf({ ...weighing(25), medium })).toEqual(refused('lighter-than-wool', 25, leftG));
  });

  it('that is sown holds no water by the weights known so far, or the grower gives its weight', () => {
    const known: TrayWeights = { capacityG: 4_500, dryG: 700 };
    const dampG = 700 + MARK_LIMITS.moistShare * 3_800;
    expect(judgeDry(weighing(dampG), known)).toEqual({ ok: true, dryG: dampG });
    const refusal = refused('wool-holds-water', dampG + 1 - 700, 700);
    expect(judgeDry(weighing(dampG + 1), known)).toEqual(refusal);
    expect(judgeDry(given(dampG + 1), known)).toMatchObject({ ok: true });
    const unsoaked = { ...known, capacityG: Number.NaN };
    expect(judgeDry(weighing(dampG + 1), unsoaked)).toMatchObject({ ok: true });
  });

  it('is taken at its word where no profile says what stands there', () => {
    expect(dryOf({ ...weighing(9_000), profile: null, medium: null })).toMatchObject({
      ok: true,
    });
  });
});

describe('a soaked tray', () => {
  const { movesMostG } = MARK_LIMITS;
  const gaining = (gainedLatelyG: number): AtMark => ({ ...STILL, gainedLatelyG });
  const losing = (lostMostLatelyG: number): AtMark => ({ ...STILL, lostMostLatelyG });

  it('neither loses nor takes in water while the scale says what it weighs', () => {
    expect(movesMostG).toBe(WEIGHT_LIMITS.fallingG);
    expect(judgeSoaked(losing(41), WEIGHED)).toEqual(refused('still-draining', 41));
    expect(judgeSoaked(gaining(41), WEIGHED)).toEqual(refused('still-filling', 41));
    for (const at of [losing(movesMostG), gaining(movesMostG), gaining(Number.NaN)]) {
      expect(judgeSoaked(at, WEIGHED)).toMatchObject({ ok: true });
    }
    expect(judgeSoaked(given(4_500, { lostMostLatelyG: 41 }), WEIGHED)).toMatchObject({ ok: true });
  });

  it('takes in no water that an alarm has seen, though it runs off as fast; a given weight was found before', () => {
    const inflow = { inflowAlarm: 'weight-rising' } as const;
    const refusal = refused('water-runs-in', 'weight-rising');
    expect(judgeSoaked({ ...STILL, ...inflow }, WEIGHED)).toEqual(refusal);
    expect(judgeSoaked(given(4_500, inflow), WEIGHED)).toMatchObject({ ok: true });
  });

  it('that nobody weighed dry is reckoned: its wool weighs what water at capacity leaves of it', () => {
    expect(judgeSoaked(weighing(5_000), UNKNOWN)).toEqual({
      ok: true,
      capacityG: 5_000,
      dryG: 5_000 - WATER_G,
    });
    // Wool that holds less than the profile says weighs no less for it.
    expect(judgeSoaked(weighing(4_000), UNKNOWN)).toMatchObject({ dryG: WOOL_G });
    // What was reckoned before is reckoned anew.
    expect(judgeSoaked(weighing(5_000), { dryG: 700, dryWeighed: false })).toMatchObject({
      dryG: 5_000 - WATER_G,
    });
  });

  it('that nobody weighed dry has a medium, and weighs what most of that does', () => {
    const nothing = { ...STILL, profile: null, medium: null };
    expect(judgeSoaked(nothing, UNKNOWN)).toEqual(refused('dry-weight-unknown'));
    expect(judgeSoaked(nothing, WEIGHED)).toMatchObject({ ok: true });
    const leastG = (WOOL_G + WATER_G) * capacityLeastShare;
    expect(judgeSoaked(weighing(leastG), UNKNOWN)).toMatchObject({ ok: true });
    expect(judgeSoaked(weighing(leastG - 1), UNKNOWN)).toEqual(
      refused('not-soaked', leastG - 1, leastG),
    );
  });

  it('has gained water, at least half of what its wool holds, and no more than it can', () => {
    const { dryG } = WEIGHED;
    const unsaid = { ...weighing(dryG + waterMinG), profile: null, medium: null };
    expect(judgeSoaked(unsaid, WEIGHED)).toMatchObject({ ok: true });
    const leastG = WATER_G * waterLeastShare;
    expect(judgeSoaked(weighing(dryG + leastG), WEIGHED)).toMatchObject({ ok: true });
    expect(judgeSoaked(weighing(dryG + leastG - 1), WEIGHED)).toEqual(
      refused('less-than-wool-holds', leastG - 1, WATER_G, WOOL_G),
    );
    const hardlyG = dryG + waterMinG - 1;
    expect(judgeSoaked(weighing(hardlyG), WEIGHED)).toEqual(
      refused('no-water-gained', hardlyG, dryG),
    );
    const mostG = WATER_G * capacityMostShare;
    expect(judgeSoaked(weighing(7_000), WEIGHED)).toEqual(
      refused('more-than-wool-holds', 7_000 - dryG, mostG),
    );
  });
});

describe('what is written beside a mark', () => {
  it('is the weight given, else the one on the scale, and of an empty scale none', () => {
    expect(seenAtMarkG(given(650))).toBe(650);
    expect(seenAtMarkG(weighing(4_400))).toBe(4_400);
    expect(seenAtMarkG(weighing(3))).toBe(Number.NaN);
    expect(seenAtMarkG(weighing(Number.NaN))).toBe(Number.NaN);
  });
});

describe('over all profiles and weights', () => {
  const grams = fc.integer({ min: 0, max: 110_000 });
  const anyScale = fc.record({
    state: fc.constantFrom('ok', 'uncalibrated', 'silent', 'saturated', 'noisy'),
    stable: fc.boolean(),
    grams,
    calibration: fc.option(fc.record({ cellG: fc.integer({ min: 1_000, max: 100_000 }) })),
  });
  /** Trays of up to 30 l of wool: what a load cell carries. */
  const trayProfile: fc.Arbitrary<Profile> = anyProfile.map((profile) => ({
    ...profile,
    media: profile.media.map((medium) => ({
      ...medium,
      pieceMl: Math.min(medium.pieceMl, 30_000 / medium.pieces),
    })),
  }));
  /** A tray with any part of its water, or anything else, and a dry weight near its wool's. */
  const anyMark: fc.Arbitrary<[AtMark, KnownDry]> = fc
    .tuple(fc.option(trayProfile, { freq: 9 }), fc.nat(2), fc.integer({ min: 1, max: 600 }))
    .chain(([profile, which, pieces]) => {
      const of = profile?.media[which % profile.media.length] ?? null;
      const medium = of && pieces < of.pieces ? { ...of, pieces } : of;
      const { dryG, holdsMl } = profile?.spread ?? { dryG: 0, holdsMl: 0 };
      const emptyG = dryG + (medium === null ? 350 : dryWoolG(medium));
      const waterG = gFromMl(holdsMl + (medium === null ? 4_000 : capacityWaterMl(medium)));
      const share = fc.integer({ min: -10, max: 200 }).map((percent) => percent / 100);
      const weight = fc.oneof(
        { weight: 1, arbitrary: grams },
        { weight: 4, arbitrary: share.map((full) => Math.max(0, emptyG + full * waterG)) },
      );
      const scale = weight.map((g) => ({ ...STILL.scale, grams: g, calibration: null }));
      const at = fc.record({
        givenG: fc.option(weight, { nil: undefined }),
        scale: fc.oneof(anyScale, scale),
        handled: fc.boolean(),
        gainedLatelyG: fc.oneof(fc.constant(0), fc.integer({ min: -100, max: 100 })),
        lostMostLatelyG: fc.oneof(fc.constant(0), fc.nat(100)),
        inflowAlarm: fc.constantFrom(null, null, null, 'weight-rising' as const),
        profile: fc.constant(profile),
        medium: fc.constant(medium),
      });
      const known = fc.record({
        dryG: fc.oneof(
          grams,
          share.map((of) => of * 2 * emptyG),
        ),
        dryWeighed: fc.boolean(),
      });
      return fc.tuple(at, fc.oneof(fc.constant(UNKNOWN), known));
    });
  /** A tray that holds as much water as it weighs dry, by what was known so far. */
  const soFar = ({ dryG }: KnownDry): TrayWeights => ({ capacityG: 2 * dryG, dryG });
  const weightOf = ({ givenG, scale }: AtMark): number => givenG ?? scale.grams;
  const mostWaterG = ({ media, spread }: Profile): number =>
    Math.max(...media.map((m) => gFromMl(capacityWaterMl(m) + (spread?.holdsMl ?? 0))));

  it('a weight that is taken is the one of the mark, and of the scale only of a tray that stands there and moves by nothing', () => {
    holds(
      fc.property(anyMark, ([at, known]) => {
        const dry = judgeDry(at, soFar(known));
        const soaked = judgeSoaked(at, known);
        if (dry.ok) expect(dry.dryG).toBe(weightOf(at));
        if (soaked.ok) expect(soaked.capacityG).toBe(weightOf(at));
        if (at.givenG !== undefined) return;
        const { scale, handled, gainedLatelyG, lostMostLatelyG, inflowAlarm } = at;
        const trusted = scale.state === 'ok' && scale.stable && !handled && scale.grams >= trayMinG;
        if (dry.ok || soaked.ok) expect(trusted).toBe(true);
        if (soaked.ok) expect(gainedLatelyG).not.toBeGreaterThan(MARK_LIMITS.movesMostG);
        if (soaked.ok) expect(lostMostLatelyG).not.toBeGreaterThan(MARK_LIMITS.movesMostG);
        if (soaked.ok) expect(inflowAlarm).toBe(null);
      }),
      { numRuns: 400 },
    );
  });

  it('a soaked tray that is taken has water in it, no more than its wool can hold, and the dry weight that was weighed', () => {
    holds(
      fc.property(anyMark, ([at, known]) => {
        const soaked = judgeSoaked(at, known);
        if (!soaked.ok) return;
        const waterG = soaked.capacityG - soaked.dryG;
        expect(soaked.dryG).toBeGreaterThan(0);
        expect(waterG).toBeGreaterThanOrEqual(waterMinG);
        if (at.profile !== null)
          expect(waterG).toBeLessThanOrEqual(mostWaterG(at.profile) * capacityMostShare);
        if (known.dryWeighed) {
          expect(soaked.dryG).toBe(known.dryG);
          const holdsG = at.medium === null ? 0 : gFromMl(capacityWaterMl(at.medium));
          expect(waterG).toBeGreaterThanOrEqual(holdsG * waterLeastShare);
        } else if (at.medium !== null)
          expect(soaked.dryG).toBeGreaterThanOrEqual(dryWoolG(at.medium));
      }),
      { numRuns: 400 },
    );
  });

  it('a weight that the grower gives is judged by itself, whatever the scale reads and the tray does', () => {
    holds(
      fc.property(anyMark, anyScale, fc.boolean(), ([at, known], other, handled) => {
        if (at.givenG === undefined) return;
        const scale = { ...other, calibration: at.scale.calibration };
        const elsewhere = {
          ...at,
          scale,
          handled,
          gainedLatelyG: Number.NaN,
          lostMostLatelyG: 0,
          inflowAlarm: null,
        };
        expect(judgeDry(elsewhere, soFar(known))).toEqual(dryOf(at));
        expect(judgeSoaked(elsewhere, known)).toEqual(judgeSoaked(at, known));
      }),
    );
  });

  it("a profile's own wool is taken for dry when it is, and for soaked when it holds what the profile says", () => {
    const onScale = (profile: Profile, medium: Medium, trayG: number): AtMark => ({
      ...given(trayG, { profile, medium }),
      scale: { ...STILL.scale, calibration: null },
    });
    holds(
      fc.property(trayProfile, fc.nat(2), (profile, which) => {
        const medium = profile.media[which % profile.media.length];
        if (medium === undefined) throw new Error('a profile has a medium');
        const { spread } = profile;
        const dryG = dryWoolG(medium) + (spread?.dryG ?? 0);
        const waterG = gFromMl(capacityWaterMl(medium) + (spread?.holdsMl ?? 0));
        // Smaller is no tray, larger no scale carries.
        if (dryG < trayMinG || waterG < waterMinG || dryG + waterG > trayMaxG) return;
        expect(dryOf(onScale(profile, medium, dryG))).toEqual({ ok: true, dryG });
        const soaked = judgeSoaked(onScale(profile, medium, dryG + waterG), UNKNOWN);
        expect(soaked).toMatchObject({ ok: true });
        if (soaked.ok) expect(soaked.dryG).toBeCloseTo(dryG, 6);
      }),
    );
  });
});
