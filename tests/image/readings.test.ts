/** What the layer in C reads: the mean of a probe's conversions, and the bridge converter's code. */
import { describe, expect, it } from 'vitest';
import { CONVERSIONS_PER_READING, PROBE_AVERAGING } from '../../shared/board/map';
import { PROBES } from '../../shared/board/probes';
import { BUILD_LIMIT_MS, cannotBuild, heardLines, misbehaving, powered } from './images';

const program = misbehaving('readings');

describe.skipIf(cannotBuild)('a probe', { timeout: BUILD_LIMIT_MS }, () => {
  it('reads as the mean of its newest conversions, as many as hardware and bench count on', async () => {
    const chip = powered(await program('reads a probe'));
    const lines = heardLines(chip);
    const { conversionsPerBurst } = PROBE_AVERAGING;
    const codes: number[] = [];
    chip.onConversion = (_, channel) => {
      // No two bursts are alike, so that a mean tells which of them are in it.
      const code = 1000 + codes.length;
      if (channel === PROBES.rootZone.channel) codes.push(code);
      return code;
    };
    const meanUpTo = (end: number): number => {
      const newest = codes.slice(end - CONVERSIONS_PER_READING, end);
      return newest.reduce((sum, code) => sum + code, 0) / newest.length;
    };
    for (let told = 0; lines.length < 4 && chip.nowMs < 10_000; told = lines.length) {
      chip.run(1);
      if (lines.length === told || codes.length < 2 * CONVERSIONS_PER_READING) continue;
      // The line took a while to be sent: a burst may have come since.
      const possible = [0, 1].map((later) => meanUpTo(codes.length - later * conversionsPerBurst));
      expect(possible).toContain(Number(lines.at(-1)));
    }
    expect(codes.length).toBeGreaterThan(3 * CONVERSIONS_PER_READING);
  });
});

describe.skipIf(cannotBuild)('the converter', { timeout: BUILD_LIMIT_MS }, () => {
  it.each([
    [1, 1],
    [-1, -1],
    [0x7fffff, 0x7fffff],
    [-0x800000, -0x800000],
    [123_456, 123_456],
  ])('reads the code %d bit by bit', async (code, expected) => {
    const chip = powered(await program('reads the scale'));
    const lines = heardLines(chip);
    for (let i = 0; i < 25; i += 1) {
      chip.run(100);
      chip.convert(code);
    }
    expect(Number(lines.at(-1))).toBe(expected);
    expect(chip.complaints).toEqual([]);
  });

  it.each(['low', 'high'] as const)('gives no code when its line is stuck %s', async (level) => {
    const chip = powered(await program('reads the scale'));
    const lines = heardLines(chip);
    chip.stickBridge(level);
    for (let i = 0; i < 30; i += 1) {
      chip.run(100);
      chip.convert(1000);
    }
    expect(lines.length).toBeGreaterThanOrEqual(2);
    expect(new Set(lines)).toEqual(new Set(['NaN']));
    expect(chip.starts).toHaveLength(1);
  });
});
