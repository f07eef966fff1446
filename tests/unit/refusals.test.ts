/** Refusals as a grower reads them: the board sends a word and numbers, the laptop has the sentence. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  markNoteSentence,
  REFUSAL_REASONS,
  refusalSentence,
} from '../../shared/link/host/refusals';
import { holds } from '../properties';

describe('a refusal', () => {
  it.each([
    ['weight-too-small', [100, 5000, 250], /weight of 100 g .* cell of 5000 g.* at least 250 g/],
    ['flash-unfit', [1024, 2048, 'ef4014'], /2048 KB are needed, and it holds 1024 KB.* ef4014/],
    ['flash-unfit', [0, 2048, '1f8901'], /does not say how much it holds .* 1f8901.* 2048 KB/],
    ['zero-too-far', [312.345678], /reads 312 g, too far from zero/],
    ['ntc-out-of-range', [150_000, 3950], /150 kΩ .* 1 kΩ to 100 kΩ, 2500 to 5000 K.* of 10 kΩ/],
    [
      'ntc-too-coarse',
      [45, 0.16],
      /10 kΩ .* 0.16 K at 45.0 °C; no more than 0.1 K .* 2.2 kΩ to 68 kΩ/,
    ],
    ['no-water-gained', [1200, 1190.04], /1200 g does not go with a dry weight of 1190 g/],
    [
      'less-than-wool-holds',
      [166, 1493, 310],
      /be 166 g of water, .* hold 1493 g .* dry, 310 g by the profile: mark dry --weight/,
    ],
    ['held-by-alarm', ['pump-stuck-on'], /alarm pump-stuck-on holds the pump off/],
    ['newer-version', [3], /format 3, newer than .* firmware if the board/],
  ])('%s says what was seen, and what to do', (reason, facts, sentence) => {
    expect(refusalSentence(reason, facts)).toMatch(sentence);
  });

  it('speaks in the units of the grower, and leaves alone what is no number', () => {
    const us = (reason: string, facts: unknown[]) => refusalSentence(reason, facts, 'us');
    expect(us('weight-too-small', [100, 5000, 250])).toMatch(/3\.53 oz .* 11\.02 lb.* 8\.82 oz/);
    expect(us('offset-too-large', [3])).toContain('5.4 °F off');
    expect(us('weight-implausible', ['much'])).toContain('much is not the weight');
  });

  it('of a profile says which rule it breaks', () => {
    expect(refusalSentence('band-wide', [])).toMatch(/The band is so wide .* Correct the profile/);
  });

  it('ends in a sentence for every reason, whatever the facts that came over the line', () => {
    // Without braces, so that a place in a sentence that was not filled shows.
    const word = fc.string().map((text) => text.replace(/[{}]/g, ''));
    const facts = fc.array(fc.oneof(word, fc.double(), fc.constant(null)), { maxLength: 5 });
    holds(
      fc.property(fc.constantFrom(...REFUSAL_REASONS), facts, (reason, some) => {
        const sentence = refusalSentence(reason, some);
        expect(sentence).toMatch(/^[^{}]+\.$/);
        expect(sentence).not.toContain('undefined');
      }),
    );
  });

  it('of a newer firmware is told as it came', () => {
    expect(refusalSentence('too-hot-outside', [1])).toBe(
      'The controller refused: too-hot-outside.',
    );
    expect(refusalSentence('constructor', [])).toBe('The controller refused: constructor.');
  });
});

describe('a note after a mark', () => {
  it('gives the dry weight that was reckoned', () => {
    expect(markNoteSentence('dry-reckoned', 'soaked', 412.6, 'metric')).toContain('medium: 413 g.');
    expect(markNoteSentence('dry-reckoned', 'soaked', 412.6, 'us')).toContain('medium: 14.55 oz.');
  });
});
