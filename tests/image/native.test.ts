/** The byte loops that the runtime does in C give what the portable ones give. */
import { describe, expect, it } from 'vitest';
import { bytesReport } from './bytes-report';
import { BUILD_LIMIT_MS, cannotBuild, heardLines, misbehaving, powered } from './images';

const SEED = 20;
const CASES = 40;

describe.skipIf(cannotBuild)('bytes on the image', { timeout: BUILD_LIMIT_MS }, () => {
  it('CRC, base64 and UTF-8 are the same as on the host, for sound and unsound input', async () => {
    const imports = "import { bytesReport } from '../../../tests/image/bytes-report';";
    const start = `const lines = bytesReport(${SEED}, ${CASES});`;
    const image = await misbehaving('bytes', 'say(lines[ticks - 1] ?? "end");', '', start, imports);
    const chip = powered(image);
    const lines = heardLines(chip);
    const expected = bytesReport(SEED, CASES);
    chip.run((expected.length + 2) * 1000);
    expect(chip.starts).toHaveLength(1);
    expect(lines.slice(0, expected.length)).toEqual(expected);
  });
});
