/** The byte loops that the runtime does in C give what the portable ones give. */
import { describe, expect, it } from 'vitest';
import { SEEDS } from '../properties';
import { bytesReport } from './bytes-report';
import {
  BUILD_LIMIT_MS,
  cannotBuild,
  figures,
  heardLines,
  misbehaving,
  powered,
  said,
} from './images';
import { CASES, MISTAKES } from './misdeeds/native';

const MOVED_TICKS = 20;

const program = misbehaving('native');

describe.skipIf(cannotBuild)('bytes on the image', { timeout: BUILD_LIMIT_MS }, () => {
  it('CRC, base64 and UTF-8 are the same as on the host, for sound and unsound input', async () => {
    const image = await program('reports');
    const chip = powered(image);
    const lines = heardLines(chip);
    const expected = SEEDS.flatMap((seed) => bytesReport(seed, CASES / SEEDS.length));
    chip.run((expected.length + 2) * 1000);
    expect(chip.starts).toHaveLength(1);
    expect(lines.slice(0, expected.length)).toEqual(expected);
  });

  it('are those of the array that was asked for, wherever the collector moves it meanwhile', async () => {
    const image = await program('moves');
    const chip = powered(image);
    const lines = heardLines(chip);
    chip.run(MOVED_TICKS * 1000 + 500);
    expect(figures(chip, image).collections).toBeGreaterThan(0);
    expect(lines.length).toBeGreaterThanOrEqual(MOVED_TICKS);
    expect(new Set(lines)).toEqual(new Set(['0']));
  });

  it('are an error, never a guess, where the portable ones would make something up', async () => {
    const told = said(await program('mistakes'), MISTAKES);
    const wrongKind = Array.from({ length: 6 }, () => 'TypeError');
    expect(told).toEqual([...Array.from({ length: 4 }, () => 'RangeError'), ...wrongKind]);
  });
});
