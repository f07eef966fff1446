/** Two seasons side by side: what is counted from sowing on, over which days, and how the page shows it. */
import { createHash } from 'node:crypto';
import script from 'trayward:page-script';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { sinceSowingText, sinceSowingTicks } from '../../cli/report/compare/axis';
import { drawPair, wholeOf } from '../../cli/report/compare/draw';
import { type Compared, type Comparison, pairOf } from '../../cli/report/compare/model';
import { comparisonOf } from '../../cli/report/compare/of-seasons';
import { comparePageOf, tableOf } from '../../cli/report/compare/page';
import { type SeasonSpan, seasonsOf } from '../../cli/report/compare/seasons';
import { holds } from '../properties';
import { EVENING_MS, MadeJournal, PROFILE_ID, TRAY } from './made-journal';
import { HOSTILE, unbalanced } from './made-report';
import { expectPlacesOnce, expectSoundAnywhere } from './page-checks';

const mark = (made: MadeJournal, name: 'emerged' | 'sown'): MadeJournal =>
  made.note({ kind: 'mark', mark: name, stage: 0, trayG: 4590, rootZoneC: 27, pieces: 0 });

function spansOf(made: MadeJournal, boardId = 'e66100000000000a'): readonly SeasonSpan[] {
  return seasonsOf(boardId, [{ life: 1, entries: made.entries, damaged: 0 }], {
    byId: new Map([[PROFILE_ID, made.profile]]),
    activeId: null,
  });
}

function compared(one: MadeJournal, other: MadeJournal): Comparison {
  const [a] = spansOf(one);
  const [b] = spansOf(other, 'e66100000000000b');
  if (a === undefined || b === undefined) throw new Error('nothing was sown');
  const wanted = { units: 'metric', offsetMin: 0, nowMs: EVENING_MS } as const;
  const made = comparisonOf([a, b], ['one', 'other'], wanted);
  if (made === null) throw new Error('there is no comparison');
  return made;
}
const differenceIn = ({ differences }: Comparison, what: Compared) =>
  differences.find((one) => one.what === what);

/** Up on the second day, fed on the third. */
const good = (profile = TRAY): MadeJournal =>
  mark(new MadeJournal(profile).goOn(36), 'emerged')
    .goOn(24)
    .dose(59)
    .goOn(12, { stage: 1, rootC: 25 });
/** A day later with everything; the root zone was cold for ten hours, and one dose never came. */
function bad(profile = TRAY): MadeJournal {
  const made = new MadeJournal(profile).goOn(20).alarm('too-cold').goOn(10, { rootC: 20 });
  mark(made.alarm('too-cold', 'returned').goOn(30), 'emerged').goOn(24).dose(0).goOn(12).dose(59);
  return made.goOn(24, { stage: 1, rootC: 25 });
}

describe('two seasons', () => {
  const both = compared(good(), bad());

  it('are told apart by the days from sowing on which things came', () => {
    expect(differenceIn(both, 'emergedDay')).toEqual({
      what: 'emergedDay',
      a: expect.closeTo(1.5),
      b: expect.closeTo(2.5),
      difference: expect.closeTo(1),
    });
    // A dose that never came is no feed.
    expect(differenceIn(both, 'firstFeedDay')).toMatchObject({
      a: expect.closeTo(2.5),
      b: expect.closeTo(4),
    });
    expect(differenceIn(both, 'transplantedDay')).toMatchObject({
      a: null,
      b: null,
      difference: null,
    });
  });

  it('are compared in what adds up over the days that both have', () => {
    expect(both.commonDays).toBeCloseTo(3);
    expect(differenceIn(both, 'doses')).toMatchObject({ a: 1, b: 0, difference: -1 });
    expect(differenceIn(both, 'waterMl')?.a).toBeCloseTo(59, -1);
    expect(differenceIn(both, 'outOfBandH')?.a).toBeLessThan(0.5);
    expect(differenceIn(both, 'outOfBandH')?.b).toBeCloseTo(10, 0);
    expect(differenceIn(both, 'alarms')).toMatchObject({ a: 0, b: 1, difference: 1 });
  });

  it('have a table that says later and earlier of days, and same of what looks the same', () => {
    const row = (title: string) => tableOf(both).rows.find(([what]) => what === title);
    expect(row('Emerged, day')).toEqual(['Emerged, day', '1.5', '2.5', '1.0 later']);
    expect(row('Transplanted, day')).toEqual(['Transplanted, day', '-', '-', '-']);
    expect(row('Doses')).toEqual(['Doses', '1', '0', '1 less']);
    expect(tableOf(compared(good(), good())).rows.map((cells) => cells[3])).toContain('same');
  });
});

describe('the seasons of a journal', () => {
  it('go from each sowing to the soaking of the next crop', () => {
    const made = mark(new MadeJournal().goOn(48), 'sown').goOn(10);
    const [first, second, ...others] = spansOf(made);
    expect(others).toEqual([]);
    const hoursOf = (span?: SeasonSpan): number =>
      ((span?.toMs ?? 0) - (span?.sownMs ?? 0)) / 3_600_000;
    expect([hoursOf(first), hoursOf(second)]).toEqual([42, 10]);
  });

  it('begin once where the mark was said twice', () => {
    expect(spansOf(mark(new MadeJournal().goOn(1), 'sown').goOn(30))).toHaveLength(1);
  });
});

describe('the page of two seasons', () => {
  const hostile = { ...TRAY, title: HOSTILE };
  let page = '';
  beforeAll(() => {
    page = comparePageOf(compared(good(hostile), bad(hostile)), script);
  });

  it('is well-formed, shows a hostile title as its letters, and runs nothing but its own script', () => {
    expect(unbalanced(page)).toEqual([]);
    expect(page).not.toMatch(/<(img|link|iframe)\b/);
    expect(page.match(/<script/g)).toHaveLength(2);
    const hash = createHash('sha256').update(script).digest('base64');
    expect(page).toContain(`script-src &#39;sha256-${hash}&#39;`);
    expect(page.replace(/<script>[\s\S]*?<\/script>/, '')).not.toMatch(/NaN|Infinity|undefined/);
  });

  it('carries what its script draws', () => {
    const [, data = ''] = /id="plot-data">([\s\S]*?)<\/script>/.exec(page) ?? [];
    const { kind, pair } = JSON.parse(data);
    expect(kind).toBe('pair');
    const drawn = drawPair(pair, { ...wholeOf(pair), widthPx: 920 });
    expect(page).toContain(drawn.text);
  });

  it('has each place once, and leads to none that is not there', () => {
    expectPlacesOnce(page);
    expect(page).toContain('href="#b-alarm-too-cold"');
  });

  it('draws both over one axis of days, on the same scale', () => {
    const axisOf = (title: string): string =>
      /text-anchor="end">(\d+)<.*?text-anchor="end">(\d+)</s
        .exec(page.slice(page.indexOf(title)))
        ?.slice(1)
        .join() ?? '';
    expect(page).toContain('>sown<');
    expect(page).toContain('>day 3<');
    expect(axisOf('A: Root zone')).toBe(axisOf('B: Root zone'));
    expect(page.indexOf('A: Root zone')).toBeLessThan(page.indexOf('B: Root zone'));
  });
});

describe('the drawing of two seasons', () => {
  const pair = pairOf(compared(good(), bad()));
  const all = wholeOf(pair);
  const drawn = (from: number, to: number, widthPx = 900): string =>
    drawPair(pair, { from, to, widthPx }).text;

  it('has no place that is no number, whatever stretch of it is shown', () => {
    expectSoundAnywhere(all, drawn);
  });

  it('keeps its height while its reader zooms, and holds the alarms of a short season beside a long one', () => {
    const heightOf = (text: string) => /viewBox="0 0 \d+ ([\d.]+)"/.exec(text)?.[1];
    expect(heightOf(drawn(300, 420))).toBe(heightOf(drawn(all.from, all.to)));
    // Two hours apart they stand beside each other over a day, and above each other over a month.
    const short = new MadeJournal();
    for (const alarm of ['too-cold', 'probe-open'] as const)
      short.goOn(2).alarm(alarm).goOn(0.2).alarm(alarm, 'returned');
    short.goOn(20);
    const both = pairOf(compared(short, new MadeJournal().goOn(24 * 30)));
    const { text } = drawPair(both, { ...wholeOf(both), widthPx: 900 });
    const [, lane = ''] = /A: Alarms([\s\S]*?)class="lane"/.exec(text) ?? [];
    const [, top, height] =
      /<clipPath[^>]*><rect x="0" y="([\d.]+)"[^>]*height="([\d.]+)"/.exec(lane) ?? [];
    const marks = [...lane.matchAll(/<circle [^>]*cy="([\d.]+)"/g)].map(([, y]) => Number(y));
    expect(marks).toHaveLength(2);
    expect(new Set(marks).size).toBe(2);
    for (const y of marks) expect(y).toBeLessThan(Number(top) + Number(height) - 9);
  });

  it('shows the same time from sowing of both, however long before it each journal begins', () => {
    const early = mark(new MadeJournal().goOn(5), 'sown').goOn(20).dose(59).goOn(5);
    const both = pairOf(compared(early, new MadeJournal().goOn(20).dose(59).goOn(5)));
    expect(both.sides.map(({ sownMin }) => Math.round(sownMin / 60))).toEqual([5, 0]);
    const dosesIn = (fromH: number, toH: number): number =>
      drawPair(both, { from: fromH * 60, to: toH * 60, widthPx: 900 }).text.split('class="dose"')
        .length - 1;
    // What stands in the legend is there whatever is shown.
    const none = dosesIn(3, 18);
    expect(dosesIn(19, 21)).toBe(none + 2);
    expect(dosesIn(21.5, 25)).toBe(none);
  });

  it('counts days from sowing, and hours of a day where little is shown', () => {
    const labels = (from: number, to: number, widthPx = 900): readonly string[] =>
      sinceSowingTicks({ from, to, widthPx }).map(sinceSowingText);
    expect(labels(-360, 3 * 1_440)).toEqual([
      'sown',
      '+12 h',
      'day 1',
      '+12 h',
      'day 2',
      '+12 h',
      'day 3',
    ]);
    expect(labels(1_440, 1_440 + 60)).toEqual(['day 1', '+0:15 h', '+0:30 h', '+0:45 h', '+1 h']);
    holds(
      fc.property(
        fc.integer({ min: -360, max: 100_000 }),
        fc.integer({ min: 60, max: 200_000 }),
        fc.integer({ min: 300, max: 1_150 }),
        (from, length, widthPx) => {
          const ticks = sinceSowingTicks({ from, to: from + length, widthPx });
          for (const tick of ticks) {
            expect(tick).toBeGreaterThanOrEqual(Math.max(0, from));
            expect(tick).toBeLessThanOrEqual(from + length);
          }
          expect(ticks.length).toBeLessThanOrEqual(Math.max(2, widthPx / 74) + 1);
        },
      ),
    );
  });
});
