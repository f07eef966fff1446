import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judgeGain } from '../../firmware/control/proof';

describe('the gain that proves a dose', () => {
  it('lies between 70 and 130 % of it', () => {
    const verdicts = [69, 70, 100, 130, 131].map((gainedG) => judgeGain(gainedG, 100, 0, 0));
    expect(verdicts).toEqual(['not-seen', 'seen', 'seen', 'seen', 'too-large']);
  });

  it('must rise clearly above the noise: a nervous scale proves no small dose', () => {
    expect(judgeGain(10, 10, 3, 0)).toBe('seen');
    expect(judgeGain(10, 10, 4, 0)).toBe('not-seen');
  });

  it('is not called too large for what the noise alone may add', () => {
    expect(judgeGain(135, 100, 2, 0)).toBe('seen');
    expect(judgeGain(137, 100, 2, 0)).toBe('too-large');
  });

  it('may lack what the tray has dried by meanwhile, and may not exceed it for that', () => {
    expect(judgeGain(55, 100, 0, 15)).toBe('seen');
    expect(judgeGain(54, 100, 0, 15)).toBe('not-seen');
    expect(judgeGain(131, 100, 0, 15)).toBe('too-large');
  });

  it('is never seen where nobody knows what arrived', () => {
    expect(judgeGain(Number.NaN, 100, 0, 0)).toBe('not-seen');
    expect(judgeGain(100, Number.NaN, 0, 0)).toBe('not-seen');
    expect(judgeGain(100, 100, Number.NaN, 0)).toBe('not-seen');
  });

  it('is never seen where nothing, or less, arrived', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -5_000, max: 0, noNaN: true }),
        fc.double({ min: 1, max: 700, noNaN: true }),
        fc.double({ min: 0, max: 50, noNaN: true }),
        fc.double({ min: 0, max: 500, noNaN: true }),
        (gainedG, expectedG, noiseG, driedG) =>
          judgeGain(gainedG, expectedG, noiseG, driedG) === 'not-seen',
      ),
    );
  });
});
