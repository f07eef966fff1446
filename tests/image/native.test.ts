/** The byte loops that the runtime does in C give what the portable ones give. */
import { describe, expect, it } from 'vitest';
import { bytesReport } from './bytes-report';
import { BUILD_LIMIT_MS, cannotBuild, heardLines, misbehaving, powered, said } from './images';

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

  it('are an error, never a guess, where the portable ones would make something up', async () => {
    const mistakes = [
      'native.readU32(new Uint8Array(8), 0.5)',
      'native.readU16(new Uint8Array(8), -1)',
      'native.readF64(new Uint8Array(8), NaN)',
      'native.crc32(new Uint8Array(8), 0, 1.5, 0)',
      'native.writeU16(new Uint8Array(8), 0, "1")',
      'native.writeF32(new Uint8Array(8), 0)',
      'native.toBase64([1, 2, 3], 0, 3)',
      'native.readU16(new Uint16Array(8), 0)',
      'native.fromBase64(12, new Uint8Array(8))',
      'board.flashProgram(0x180000)',
    ];
    const told = await said('mistakes', mistakes);
    const wrongKind = Array.from({ length: 6 }, () => 'TypeError');
    expect(told).toEqual([...Array.from({ length: 4 }, () => 'RangeError'), ...wrongKind]);
  });
});
