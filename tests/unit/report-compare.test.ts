/** Two seasons side by side: what is counted from sowing on, over which days, and how the page shows it. */
import { beforeAll, describe, expect, it } from 'vitest';
import type { Compared, Comparison } from '../../cli/report/compare/model';
import { comparisonOf } from '../../cli/report/compare/of-seasons';
import { comparePageOf, tableOf } from '../../cli/report/compare/page';
import { type SeasonSpan, seasonsOf } from '../../cli/report/compare/seasons';
import { EVENING_MS, MadeJournal, PROFILE_ID, TRAY } from './made-journal';
import { HOSTILE, unbalanced } from './made-report';

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
    page = comparePageOf(compared(good(hostile), bad(hostile)));
  });

  it('is well-formed, shows a hostile title as its letters, and runs nothing', () => {
    expect(unbalanced(page)).toEqual([]);
    expect(page).not.toMatch(/<(script|img|link|iframe)\b/);
    expect(page).toContain('script-src &#39;none&#39;');
    expect(page).not.toMatch(/NaN|Infinity|undefined/);
  });

  it('has each place once, and leads to none that is not there', () => {
    const ids = [...page.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const [, id] of page.matchAll(/ (?:href="#|aria-labelledby=")([^"]+)"/g))
      expect(ids).toContain(id);
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
