import { describe, expect, it } from 'vitest';
import { pumpText } from '../../cli/words/pump';

describe('the pump in a grower’s words', () => {
  it('is not spoken of while it gives what it was calibrated to', () => {
    expect(pumpText(1, 0)).toBe(null);
    expect(pumpText(0.97, 0.04)).toBe(null);
  });

  it('tells how much less or more it gives, and what that usually is', () => {
    expect(pumpText(0.92, 0.02)).toBe('gives 8 % less than calibrated: tube worn, or squeezed?');
    expect(pumpText(1.1, 0.02)).toContain('10 % more than calibrated');
    expect(pumpText(1, 0.15)).toContain('doses differ by 15 %: air in the tube?');
    expect(pumpText(0.9, 0.15)).toContain('10 % less than calibrated, doses differ by 15 %');
  });
});
