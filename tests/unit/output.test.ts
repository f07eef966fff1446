import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createStyle, facts, styleFor, table, visibleWidth, wrap } from '../../cli/terminal/output';
import { heldText } from '../../cli/words/held';
import { scaleText } from '../../cli/words/scale';
import { ADVICE } from '../../shared/alarms/advice';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { HELD_REASONS } from '../../shared/link/held';
import { holds } from '../properties';

const word = fc.stringMatching(/^[a-z]{1,12}$/);
const sentence = fc.array(word, { minLength: 1, maxLength: 30 }).map((words) => words.join(' '));
const widthsOf = (text: string): number[] => text.split('\n').map(visibleWidth);
const squeezed = (text: string): string => text.replace(/\s+/g, ' ').trim();

describe('a sentence on a screen', () => {
  it('is broken at spaces only, fits, and loses no word', () => {
    holds(
      fc.property(sentence, fc.integer({ min: 20, max: 80 }), fc.nat(6), (text, width, hang) => {
        const broken = wrap(text, width, hang);
        expect(Math.max(...widthsOf(broken))).toBeLessThanOrEqual(width);
        expect(squeezed(broken)).toBe(text);
      }),
    );
  });

  it('that was moved right stays so on every line, and its colours take no room', () => {
    expect(wrap('  - check the plug and the cable', 20)).toBe(
      '  - check the plug\n    and the cable',
    );
    expect(wrap('  short', 20)).toBe('  short');
    const { bad } = createStyle(true);
    expect(wrap(`${bad('Not done:')} no`, 12)).not.toContain('\n');
  });
});

describe('a command in a sentence', () => {
  it('stays in one piece, to be copied, where there is room for it', () => {
    expect(wrap('Say `trayward alarm mended mat-hot` now.', 34)).toBe(
      'Say\n`trayward alarm mended mat-hot`\nnow.',
    );
    expect(wrap('Say `trayward alarm mended mat-hot` now.', 20)).toBe(
      'Say `trayward alarm\nmended mat-hot` now.',
    );
    expect(wrap('A ` of its own is no command, and breaks as ever.', 20).split('\n')).toHaveLength(
      3,
    );
  });
});

describe('a table', () => {
  const columns = [
    { title: 'name' },
    { title: 'what it does' },
    { title: 'g', align: 'right' },
  ] as const;
  const rows = fc.array(fc.tuple(word, sentence, word), { minLength: 1, maxLength: 6 });

  it('fits the terminal, and loses no word', () => {
    holds(
      fc.property(rows, fc.integer({ min: 44, max: 80 }), (cells, width) => {
        const text = table(columns, cells, createStyle(false, width));
        expect(Math.max(...widthsOf(text))).toBeLessThanOrEqual(width);
        const said = new Set(text.split(/\s+/));
        for (const cell of cells.flat().flatMap((one) => one.split(' '))) {
          expect(said).toContain(cell);
        }
      }),
    );
  });

  it('is left in one line a row where no terminal is, for what reads it by lines', () => {
    const long =
      'a sentence that is a good deal longer than eighty columns, as water rows of profiles are';
    const text = table([{ title: 'a' }], [[long]], styleFor({ isTTY: false }, {}));
    expect(text).toBe(`a\n${long}`);
  });
});

describe('labelled values', () => {
  it('have their notes beside them, or below where the terminal is too narrow', () => {
    const list = [{ label: 'Tray', value: '4592 g', note: 'scale ok, and some more words' }];
    expect(facts(list, createStyle(false, 80))).toBe('Tray  4592 g  scale ok, and some more words');
    expect(facts(list, createStyle(false, 40)).split('\n')[1]).toMatch(/^ {6}scale ok/);
  });

  it('fit the terminal, values and notes, and lose no word', () => {
    const fact = fc.record({ label: word, value: sentence, note: sentence });
    holds(
      fc.property(
        fc.array(fact, { minLength: 1 }),
        fc.integer({ min: 40, max: 80 }),
        (list, width) => {
          const text = facts(list, createStyle(false, width));
          expect(Math.max(...widthsOf(text))).toBeLessThanOrEqual(width);
          const words = (from: string): string[] => from.split(/\s+/).filter((one) => one !== '');
          const given = list.flatMap(({ label, value, note }) =>
            words(`${label} ${value} ${note}`),
          );
          expect(words(text)).toEqual(given);
        },
      ),
    );
  });
});

describe('colours', () => {
  it('are for terminals that want them', () => {
    const coloured = (isTTY: boolean, env: Record<string, string>): boolean =>
      styleFor({ isTTY }, env).bad('x') !== 'x';
    expect(coloured(true, {})).toBe(true);
    expect(coloured(false, {})).toBe(false);
    expect(coloured(true, { NO_COLOR: '1' })).toBe(false);
    expect(coloured(true, { TERM: 'dumb' })).toBe(false);
  });
});

describe('the words of the scale', () => {
  it('call it silent only when it had the time for a first weight', () => {
    expect(scaleText('silent', 3_000, null)).toBe('starting');
    expect(scaleText('silent', 60_000, null)).toBe('silent');
    expect(scaleText('uncalibrated', 3_000, null)).toBe('not calibrated');
  });

  it('do not call a scale in order that was calibrated with the tray on it', () => {
    expect(scaleText('ok', 60_000, -4_590)).toContain('below zero: calibrate it again');
    expect(scaleText('ok', 60_000, -3)).toBe('ok');
  });
});

describe('the words of what is held off', () => {
  it('name the alarm or the reason that holds an output', () => {
    for (const alarm of ALARM_NAMES) expect(heldText(alarm)).toContain(ADVICE[alarm].title);
    for (const reason of HELD_REASONS) expect(heldText(reason)).toMatch(/^[a-z]+( [a-z]+)+$/);
    expect(heldText('not-sown')).toBe('not marked sown yet');
    expect(heldText('something-new')).toBe('something-new');
  });
});
