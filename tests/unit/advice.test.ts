/** Advice that a grower can follow: every command, mark and key it names is one that there is. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { LINK_FAILURES } from '../../cli/as-failure';
import { RESULTS } from '../../cli/results/commands';
import { nextStep } from '../../cli/words/next-steps';
import { ADVICE, nextSteps } from '../../shared/alarms/advice';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { REFUSAL_REASONS, refusalSentence } from '../../shared/link/host/refusals';
import { MARKS } from '../../shared/profile/profile';

const COMMANDS = Object.keys(RESULTS);
const PROFILE = readFileSync('shared/crops/pepper.yaml', 'utf8');

/** What stands between backticks in these texts. */
const named = (texts: readonly string[]): string[] =>
  texts.flatMap((text) => [...text.matchAll(/`([^`]+)`/g)].map(([, words = '']) => words));

function isThere(words: string): boolean {
  if (words.startsWith('trayward ')) {
    const rest = words.slice('trayward '.length);
    return (
      rest.startsWith('--') || COMMANDS.some((command) => `${rest} `.startsWith(`${command} `))
    );
  }
  return MARKS.some((mark) => mark === words) || new RegExp(`^ *${words}:`, 'm').test(PROFILE);
}

describe('the words between backticks', () => {
  it.each([
    ['alarms', ALARM_NAMES.flatMap((alarm) => [...ADVICE[alarm].causes, ...nextSteps(alarm)])],
    ['next steps after a refusal', [...REFUSAL_REASONS, null].map((reason) => nextStep(reason))],
    ['failures of the link', Object.values(LINK_FAILURES).map(({ next }) => next)],
    ['refusals of the board', REFUSAL_REASONS.map((reason) => refusalSentence(reason, []))],
  ])('of %s can be typed as they stand', (_, texts) => {
    expect(texts.length).toBeGreaterThan(5);
    expect(named(texts).filter((words) => !isThere(words))).toEqual([]);
  });
});

describe('a root zone that is too warm', () => {
  it('is advised on by what cools it, for a mat cannot: the lamp raised, the vents opened', () => {
    const { meaning, next } = ADVICE['too-warm'];
    expect(meaning).toContain('it cannot cool');
    expect(next.join(' ')).toMatch(/raise the lamp.*Open the vents/);
  });
});

describe('feed that is late', () => {
  it('is told so that it is true of blocks as of seedlings, and after a dose that did not arrive', () => {
    const { title, meaning } = ADVICE['feed-late'];
    expect(`${title} ${meaning}`).not.toMatch(/first|no dose/i);
    expect(meaning).toContain('not all of it');
  });
});
