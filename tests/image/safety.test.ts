/** The layer in C holds whatever JavaScript does: leases, limiter, the pump's hour, a stuck bus. */
import { describe, expect, it } from 'vitest';
import type { Conversion } from '../../firmware/bench/chip/adc';
import {
  LIMITER,
  MAT_LEASE_MAX_MS,
  MAT_LOOK,
  PUMP_LEASE_MAX_MS,
  SAFETY_STEP_MS,
} from '../../shared/board/map';
import { OUTPUT } from '../../shared/board/words';
import {
  BUILD_LIMIT_MS,
  cannotBuild,
  heardLines,
  misbehaving,
  onTimer,
  powered,
  said,
} from './images';
import { ATTEMPTS, HOT_CODE, OPEN_CODE, SHORT_CODE, UNFIT } from './misdeeds/safety';

const ROOM_CODE = 2100;

const program = misbehaving('safety');

describe.skipIf(cannotBuild)('outputs and leases', { timeout: BUILD_LIMIT_MS }, () => {
  it('a mat lease that is not renewed ends after its time, ten seconds at most', async () => {
    const chip = powered(await program('leases the mat once'));
    const matOnMs = onTimer(chip, 'mat');
    chip.run(20_000);
    expect(chip.outputsOn.has('mat')).toBe(false);
    // Its switch closes a few steps late, and opens for one on the way: it is looked at.
    const lookedMs = (MAT_LOOK.feedSteps + 2) * SAFETY_STEP_MS;
    expect(matOnMs(chip.nowMs)).toBeGreaterThan(MAT_LEASE_MAX_MS - lookedMs - SAFETY_STEP_MS);
    expect(matOnMs(chip.nowMs)).toBeLessThan(MAT_LEASE_MAX_MS + 2 * SAFETY_STEP_MS);
  });

  it('a pump lease ends after two seconds at most, and a short one on time', async () => {
    const chip = powered(await program('leases the pump twice'));
    const pumpOnMs = onTimer(chip, 'pump');
    chip.run(4500);
    expect(pumpOnMs(chip.nowMs)).toBeGreaterThanOrEqual(PUMP_LEASE_MAX_MS - 1);
    expect(pumpOnMs(chip.nowMs)).toBeLessThan(PUMP_LEASE_MAX_MS + SAFETY_STEP_MS + 10);
    const firstMs = pumpOnMs(chip.nowMs);
    chip.run(5000);
    expect(Math.abs(pumpOnMs(chip.nowMs) - firstMs - 730)).toBeLessThan(SAFETY_STEP_MS + 10);
  });

  it('nonsense for a lease switches nothing on', async () => {
    const chip = powered(await program('leases for nonsense'));
    const [matOnMs, pumpOnMs] = [onTimer(chip, 'mat'), onTimer(chip, 'pump')];
    chip.run(3000);
    expect([matOnMs(chip.nowMs), pumpOnMs(chip.nowMs)]).toEqual([0, 0]);
    expect(chip.starts).toHaveLength(1);
  });

  it('the pump runs ten minutes in any clock hour, over restarts too', async () => {
    const chip = powered(await program('keeps the pump on'));
    const pumpOnMs = onTimer(chip, 'pump');
    chip.run(20 * 60_000);
    expect(chip.starts.length).toBeGreaterThan(2);
    expect(pumpOnMs(chip.nowMs)).toBeLessThan(LIMITER.pumpMaxMsPerHour + 2000);
    expect(pumpOnMs(chip.nowMs)).toBeGreaterThan(LIMITER.pumpMaxMsPerHour - 10_000);
  });
});

describe.skipIf(cannotBuild)('the limiter', { timeout: BUILD_LIMIT_MS }, () => {
  const bad = [
    { what: 'open', code: LIMITER.openCode + 20 },
    { what: 'short', code: LIMITER.shortCode - 20 },
  ];
  const cases = [
    ...bad.map(({ what, code }) => ({ probe: 'root-zone', channel: 0 as const, what, code })),
    ...bad.map(({ what, code }) => ({ probe: 'mat', channel: 1 as const, what, code })),
    {
      probe: 'root-zone',
      channel: 0 as const,
      what: 'above 40 C',
      code: LIMITER.rootZoneHotCode - 3,
    },
    { probe: 'mat', channel: 1 as const, what: 'above 55 C', code: LIMITER.matHotCode - 3 },
  ];

  it.each(cases)('opens the mat when the $probe probe is $what', async ({ channel, code }) => {
    const chip = powered(await program('keeps the mat on'));
    chip.adcCodes[0] = ROOM_CODE;
    chip.adcCodes[1] = ROOM_CODE;
    const lines = heardLines(chip);
    chip.run(3000);
    expect(chip.outputsOn.has('mat')).toBe(true);
    chip.adcCodes[channel] = code;
    chip.run(SAFETY_STEP_MS + 10);
    expect(chip.outputsOn.has('mat')).toBe(false);
    const matOnMs = onTimer(chip, 'mat');
    chip.run(30_000);
    expect(matOnMs(chip.nowMs)).toBe(0);
    const bit = channel === 0 ? OUTPUT.limiterRootZone : OUTPUT.limiterMat;
    expect(Number(lines.at(-1)) & bit).toBe(bit);
    // Ten seconds after the last bad reading heat is possible again.
    chip.adcCodes[channel] = ROOM_CODE;
    chip.run(12_000);
    expect(chip.outputsOn.has('mat')).toBe(true);
  });

  const broken: readonly { what: string; conversion: Conversion }[] = [
    { what: 'tells an error', conversion: 'error' },
    { what: 'never gets done', conversion: 'never' },
  ];

  it.each(broken)(
    'opens the mat when every conversion of the root-zone probe $what, and the tray ticks on',
    async ({ conversion }) => {
      const image = await program('heats and reads');
      const chip = powered(image);
      const lines = heardLines(chip);
      chip.run(3000);
      expect(chip.outputsOn.has('mat')).toBe(true);
      chip.onConversion = (code, channel) => (channel === 0 ? conversion : code);
      chip.run(SAFETY_STEP_MS + 10);
      expect(chip.outputsOn.has('mat')).toBe(false);
      chip.run(3000);
      // The firmware reads an open probe.
      expect(Number(lines.at(-1))).toBeGreaterThan(LIMITER.openCode);
      expect(lines.length).toBeGreaterThanOrEqual(5);
      expect(chip.starts).toHaveLength(1);
    },
  );

  it('makes a conversion that failed again, and reads on', async () => {
    const image = await program('heats and reads');
    const chip = powered(image);
    chip.adcCodes[0] = ROOM_CODE;
    let conversions = 0;
    chip.onConversion = (code) => (conversions++ % 4 === 0 ? 'error' : code);
    const lines = heardLines(chip);
    chip.run(4000);
    expect(chip.outputsOn.has('mat')).toBe(true);
    expect(Number(lines.at(-1))).toBeCloseTo(ROOM_CODE, 0);
  });

  it('lets the mat run just below both limits', async () => {
    const chip = powered(await program('keeps the mat on'));
    chip.adcCodes[0] = LIMITER.rootZoneHotCode + 3;
    chip.adcCodes[1] = LIMITER.matHotCode + 3;
    chip.run(3000);
    expect(chip.outputsOn.has('mat')).toBe(true);
  });
});

describe.skipIf(cannotBuild)(
  'the limiter of a board with another probe',
  { timeout: BUILD_LIMIT_MS },
  () => {
    /** Runs until the second tick, at room temperature of the probe with this curve. */
    async function started(name: string) {
      const chip = powered(await program(name));
      chip.adcCodes[0] = ROOM_CODE;
      chip.adcCodes[1] = ROOM_CODE;
      const lines = heardLines(chip);
      chip.run(3000);
      return { chip, lines };
    }

    it('opens the mat at the codes that it was told before anything was leased, and at no others', async () => {
      const { chip, lines } = await started('has another probe');
      expect(lines.at(-1)).toBe('true,false,false,false,false');
      for (const [code, heats] of [
        [LIMITER.rootZoneHotCode - 3, true],
        [HOT_CODE + 3, true],
        [HOT_CODE - 3, false],
        [OPEN_CODE + 3, false],
        [SHORT_CODE - 3, false],
      ] as const) {
        chip.adcCodes[0] = ROOM_CODE;
        chip.run(12_000);
        expect(chip.outputsOn.has('mat')).toBe(true);
        chip.adcCodes[0] = code;
        chip.run(SAFETY_STEP_MS + 10);
        expect(chip.outputsOn.has('mat'), `code ${code}`).toBe(heats);
      }
      // The other probe is as it was.
      chip.adcCodes[0] = ROOM_CODE;
      chip.run(12_000);
      chip.adcCodes[1] = LIMITER.matHotCode - 3;
      chip.run(SAFETY_STEP_MS + 10);
      expect(chip.outputsOn.has('mat')).toBe(false);
    });

    it('is told nothing any more once something was leased', async () => {
      const { chip, lines } = await started('leases before it tells');
      expect(lines.at(-1)).toBe('false,false');
      expect(chip.outputsOn.has('mat')).toBe(true);
      chip.adcCodes[0] = LIMITER.rootZoneHotCode - 3;
      chip.run(SAFETY_STEP_MS + 10);
      expect(chip.outputsOn.has('mat')).toBe(false);
    });

    it.each(UNFIT)('lets nothing heat in this start after %s', async (unfit) => {
      const { chip, lines } = await started(unfit);
      const matOnMs = onTimer(chip, 'mat');
      chip.run(12_000);
      expect(lines.at(-1)).toBe('false,false');
      expect([chip.outputsOn.has('mat'), matOnMs(chip.nowMs)]).toEqual([false, 0]);
    });
  },
);

describe.skipIf(cannotBuild)('the program in flash', { timeout: BUILD_LIMIT_MS }, () => {
  it('cannot be changed by JavaScript, nor can anything beyond the chip', async () => {
    const told = said(await program('writes over the program'), ATTEMPTS);
    expect(told).toEqual(ATTEMPTS.map(() => 'false'));
  });
});
