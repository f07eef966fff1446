/** Integers in WebAssembly's binary format, held against published examples. */
import { describe, expect, it } from 'vitest';
import { signed, unsigned } from '../../firmware/bench/chip/translation/wasm';

// DWARF Debugging Information Format, version 4, figures 22 and 23 (from memory).
describe('LEB128', () => {
  it.each([
    [2, [0x02]],
    [127, [0x7f]],
    [128, [0x80, 0x01]],
    [129, [0x81, 0x01]],
    [130, [0x82, 0x01]],
    [12_857, [0xb9, 0x64]],
  ])('writes %d without a sign', (value, bytes) => {
    expect(unsigned(value)).toEqual(bytes);
  });

  it.each([
    [2, [0x02]],
    [-2, [0x7e]],
    [127, [0xff, 0x00]],
    [-127, [0x81, 0x7f]],
    [128, [0x80, 0x01]],
    [-128, [0x80, 0x7f]],
    [129, [0x81, 0x01]],
    [-129, [0xff, 0x7e]],
  ])('writes %d with its sign', (value, bytes) => {
    expect(signed(value)).toEqual(bytes);
  });

  it('takes five bytes at most', () => {
    expect(unsigned(0xffff_ffff)).toEqual([0xff, 0xff, 0xff, 0xff, 0x0f]);
    expect(signed(-0x8000_0000)).toEqual([0x80, 0x80, 0x80, 0x80, 0x78]);
  });
});
