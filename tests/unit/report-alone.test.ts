/** The picture of a report: one file that any program shows, on screens and on paper, with all that it takes to read it. */
import { beforeAll, describe, expect, it } from 'vitest';
import { ALONE_PX, aloneOf, NARROW_PX } from '../../cli/report/plot/alone';
import { drawPlot } from '../../cli/report/plot/draw';
import { THEMES } from '../../cli/report/plot/looks';
import { MadeJournal, TRAY } from './made-journal';
import { badNight, HOSTILE, reportFor, unbalanced } from './made-report';

const textOf = (svg: string): string =>
  svg
    .replace(/<(style|defs)>[\s\S]*?<\/\1>/g, '')
    .replaceAll(/<[^>]*>/g, '\n')
    .replaceAll(/\s+/g, ' ');

describe('the picture of a report', () => {
  const report = reportFor(badNight());
  let picture = '';
  beforeAll(() => {
    picture = aloneOf(report);
  });

  it('is a whole file by itself: well-formed, with its size, and without anything from elsewhere', () => {
    expect(unbalanced(picture)).toEqual([]);
    expect(picture).toMatch(
      /^<svg xmlns="http:\/\/www.w3.org\/2000\/svg" [^>]*width="900" height="/,
    );
    expect(picture).not.toMatch(/<(script|image|use|foreignObject|a)\b|@import|url\((?!#)|href=/);
    expect(picture).not.toMatch(/NaN|Infinity|undefined/);
  });

  it('has its colours written out, for programs that know no names, and for light, dark and paper', () => {
    expect(picture).not.toContain('var(');
    const [plain = '', dark = '', paper = ''] = picture.split('@media');
    for (const [theme, rules] of [
      [THEMES.light, plain],
      [THEMES.dark, dark],
      [THEMES.paper, paper],
    ] as const) {
      expect(rules).toContain(`.ground { fill: ${theme.ground}; }`);
      expect(rules).toContain(`svg.plot text { fill: ${theme.text};`);
    }
    expect(dark).toContain('screen and (prefers-color-scheme: dark)');
    expect(paper).toContain('print');
  });

  it('tells in words what its marks stand for, since nothing leads anywhere from it', () => {
    const text = textOf(picture);
    for (const { label, number } of report.plot.incidents)
      expect(text).toContain(`${number} ${label}`);
    expect(text).toContain('! Root-zone probe open: since 2 Mar 07:00, still');
    expect(text).toContain('From the journal of controller e66100000000000b');
    expect(text).toContain('Stages: 1 ');
  });

  it('draws what the page draws: lane by lane, mark by mark', () => {
    const widthPx = ALONE_PX - 28;
    const page = drawPlot(report.plot, { from: 0, to: report.plot.lengthMin, widthPx }).text;
    const drawn = (svg: string, kind: RegExp): readonly string[] => svg.match(kind) ?? [];
    for (const kind of [/ d="[^"]+"/g, /<rect class="(band|stage|lid)[^>]*>/g, /<circle[^>]*>/g])
      expect(drawn(picture, kind)).toEqual(drawn(page, kind));
  });

  it('shows a hostile title as its letters', () => {
    const made = aloneOf(reportFor(badNight({ ...TRAY, title: HOSTILE })));
    expect(made).not.toContain('<img');
    expect(unbalanced(made)).toEqual([]);
  });

  it('of a time as narrow as a telephone has every line of text within it', () => {
    const narrow = aloneOf(report, NARROW_PX);
    const CHAR_PX = 6.2;
    for (const [, text = ''] of narrow.matchAll(/<text class="says[^>]*>([^<]*)</g))
      expect(text.length * CHAR_PX).toBeLessThan(NARROW_PX);
  });

  it('of weeks shows the mean of the root zone, and how far it swung: no cold hour is lost', () => {
    const weeks = new MadeJournal()
      .goOn(24 * 14)
      .goOn(1, { rootC: 19 })
      .goOn(24 * 14);
    const { plot } = reportFor(weeks);
    const whole = drawPlot(plot, { from: 0, to: plot.lengthMin, widthPx: 900 }).text;
    const [, swing = ''] = /class="swing" d="([^"]+)"/.exec(whole) ?? [];
    const [, mean = ''] = /class="line mean" d="([^"]+)"/.exec(whole) ?? [];
    const lowest = (d: string): number =>
      Math.max(...[...d.matchAll(/[\d.]+,([\d.]+)/g)].map(([, y]) => Number(y)));
    expect(whole).toContain('>swing<');
    expect(lowest(swing)).toBeGreaterThan(lowest(mean) + 30);
    const day = drawPlot(plot, { from: 0, to: 1_440, widthPx: 900 }).text;
    expect(day).not.toContain('class="swing"');
    expect(day).toContain('class="line root"');
  });
});
