/** A grower hears of every mistake of a profile file at once, not of the rest when the first is put right. */
import { describe, expect, it } from 'vitest';
import { checkProfileText } from '../../shared/profile/host/check';
import { cropFileText } from '../../shared/profile/host/crops';

const PEPPER = cropFileText('pepper', 'x');

/** The pepper profile with these changes, each from and to; what is said about it, by place. */
function changed(...changes: readonly (readonly [from: string, to: string])[]) {
  let text = PEPPER;
  for (const [from, to] of changes) {
    expect(text).toContain(from);
    text = text.replace(from, to);
  }
  const { problems, profile } = checkProfileText(text, 'tray.yaml', 0);
  expect(profile).toBeNull();
  return problems.map(({ path }) => path);
}

const UPSIDE_DOWN = ['low: 24 C, high: 26 C', 'low: 26 C, high: 24 C'] as const;

describe('a profile file is told all that is wrong in one round', () => {
  it('of one stage a missing unit, of another a band upside down', () => {
    const paths = changed(['at: 5 %', 'at: 5'], UPSIDE_DOWN);
    expect(paths).toEqual(['stages[0].rescue.at', 'stages[1].band']);
  });

  it('a medium that is not there, and what else the rules forbid', () => {
    const paths = changed(['medium: plugs', 'medium: plgs'], UPSIDE_DOWN);
    expect(paths).toEqual(['stages[0].medium', 'stages[1].band']);
  });

  it('a key that is misspelt, a value at the top, and what the rules forbid', () => {
    const paths = changed(['title:', 'titel:'], ['reservoir:', 'reservoir: 5 #'], UPSIDE_DOWN);
    expect(paths).toContain('titel');
    expect(paths).toContain('reservoir');
    expect(paths).toContain('stages[1].band');
  });

  it('and nothing that only follows from what could not be read', () => {
    expect(changed(['at: 5 %', 'at: 5'])).toEqual(['stages[0].rescue.at']);
    expect(changed(['reservoir:', 'reservoir: 5 #'])).toEqual(['reservoir']);
    expect(changed(['mark: emerged', 'mark: emergd'])).toEqual(['stages[0].until.mark']);
  });
});

describe('what is missing, or too much', () => {
  const whyOf = (text: string): string =>
    checkProfileText(text, 'tray.yaml', 0)
      .problems.map(({ why }) => why)
      .join('\n');

  it('is shown by an example of the very thing', () => {
    expect(whyOf(PEPPER.replace(/rescue: .*/, ''))).toContain('such as { at: 30 % }');
  });

  it('is told as it is: too many stages are not none', () => {
    const [head = '', stages = ''] = PEPPER.split('stages:\n');
    expect(whyOf(`${head}stages:\n${stages.repeat(3)}`)).toContain('16 stages at most');
  });
});
