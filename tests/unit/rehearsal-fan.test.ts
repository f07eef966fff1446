/** Many rehearsals as fans: between which values they lie hour by hour, what comes when, and how that is drawn and read. */

import { describe, expect, it } from 'vitest';
import { fanOf } from '../../cli/rehearse/fan';
import { summaryOf } from '../../cli/rehearse/summary';
import { type Rehearsed, tasksOf } from '../../cli/rehearse/tasks';
import { drawFan, wholeOf } from '../../cli/report/fan/draw';
import type { Fan } from '../../cli/report/fan/model';
import { readFan } from '../../cli/report/fan/read';
import { FAN_RULES, THEMES } from '../../cli/report/plot/looks';
import { sceneOf } from '../../cli/report/zoom/scene-of';
import { planFor } from '../../firmware/bench/season/matrix';
import type { Rehearsal } from '../../firmware/bench/season/rehearsal';
import type { UnitSystem } from '../../shared/units';
import { DAY_MIN } from '../../shared/units/time';
import { hours, madeCourse, madeSeasons } from './made-rehearsal';
import { expectSoundAnywhere } from './page-checks';

const { profile } = planFor('lettuce', 16, 1, 'daily');

const rehearsed = (all: readonly Rehearsal[], units: UnitSystem = 'metric'): Rehearsed => ({
  ...{ all, profile, units },
  summary: summaryOf(all),
});
const fanFor = (all: readonly Rehearsal[], units?: UnitSystem): Fan => fanOf(rehearsed(all, units));

describe('a fan', () => {
  it('lies between the rehearsals by definition 7: of 20, 21, 23, 24 and 30 C, worked by hand', () => {
    const { lines, minutes } = fanFor([30, 21, 24, 20, 23].map((c) => hours([c, c])));
    const at = (percent: 5 | 25 | 50 | 75 | 95) => lines.rootZone[percent][1];
    expect(minutes).toEqual([60, 120]);
    expect([at(5), at(25), at(50), at(75), at(95)]).toEqual([20.2, 21, 23, 24, 28.8]);
  });

  it('ends where fewer than half of the rehearsals go on, and has gaps where fewer than half know', () => {
    const away = madeCourse([20, 20, 20, 20], { dryBackShare: [0.1, null, 0.1, 0.1] });
    const { lines } = fanFor([
      hours([], { course: away }),
      hours([], { course: away }),
      hours([22, 22]),
      hours([24]),
    ]);
    expect(lines.rootZone[50]).toEqual([21, 20, 20, 20]);
    expect(lines.dryBack[50].map((value) => value === null)).toEqual([false, true, false, false]);
    const { lines: most } = fanFor([hours([20, 20]), hours([22]), hours([24])]);
    expect(most.rootZone[95]).toEqual([23.8, null]);
    // So does the band.
    const { bands } = fanFor([hours([20, 20]), hours([22]), hours([24])]);
    expect(bands).toEqual([{ from: 0, to: 60, low: 23, high: 25 }]);
  });

  it('is in the units of its reader', () => {
    const us = fanFor([hours([20])], 'us');
    expect([us.lines.rootZone[50], us.temperatureUnit]).toEqual([[68], '°F']);
    expect([us.lines.reservoir[50], us.reservoirUnit]).toEqual([[0.793], 'gal']);
    expect([us.lines.each[50], us.eachUnit]).toEqual([[0.14], 'fl oz']);
  });

  it('has a band that one of the rehearsals has, where one lies within another', () => {
    const banded = (low: number, high: number) =>
      hours([], { course: madeCourse([20], { bandLowC: [low], bandHighC: [high] }) });
    const { bands } = fanFor([banded(18, 28), banded(20, 24), banded(18, 28)]);
    expect(bands).toEqual([{ from: 0, to: 60, low: 18, high: 28 }]);
  });

  it('has the band of the middle rehearsal as stretches', () => {
    const course = (changeAt: number) =>
      madeCourse([20, 20, 20, 20], {
        bandLowC: [0, 1, 2, 3].map((hour) => (hour < changeAt ? 23 : 18)),
        bandHighC: [0, 1, 2, 3].map((hour) => (hour < changeAt ? 25 : 20)),
      });
    const { bands } = fanFor([1, 2, 3].map((at) => hours([], { course: course(at) })));
    expect(bands).toEqual([
      { from: 0, to: 120, low: 23, high: 25 },
      { from: 120, to: 240, low: 18, high: 20 },
    ]);
  });
});

const three = madeSeasons();

describe('what comes when', () => {
  const { tasks, events, alarms } = fanFor(three);

  it('goes from the earliest rehearsal to the latest, with the middle one between', () => {
    expect(events.find(({ label }) => label === 'First feed')).toMatchObject({
      ...{ least: 6 * DAY_MIN, middle: 7 * DAY_MIN, most: 8 * DAY_MIN },
      says: 'First feed: day 7 (6 to 8)',
    });
    expect(events.map(({ label }) => label)).toEqual([
      'First feed',
      'Stage cotyledons',
      'Stage first-feed',
    ]);
  });

  it('says in how many rehearsals, and leads to what an alarm means', () => {
    expect(alarms).toEqual([
      {
        ...{ least: 2.5 * DAY_MIN, middle: 2.5 * DAY_MIN, most: 4 * DAY_MIN },
        label: 'Root zone too warm, in 2 of 3',
        says: 'Root zone too warm, in 2 of 3; first on day 3 (3 to 4)',
        id: 'alarm-too-warm',
      },
    ]);
    expect(tasks.find(({ label }) => label === 'Refill 2 (1 of 3)')).toMatchObject({
      least: 9 * DAY_MIN,
    });
  });

  it('tells the grower each step: what is marked, each lid, each refill with its feed, and when not to water', () => {
    const told = tasksOf(rehearsed(three)).map(({ title, from, until }) => [
      title,
      from?.middle ?? null,
      until?.middle ?? null,
    ]);
    expect(told).toEqual([
      ['Sow, lid closed', 0, null],
      ['Air daily', 0, 4],
      ['Give no water', 0, 5],
      ['Half is up: mark it', 4, null],
      ['Lid vents open', 4, null],
      ['Lid propped', 5, null],
      ['Refill 1', 8, null],
      ['Refill 2', 9, null],
      ['Transplant', null, null],
    ]);
    const same = three.map((one) => ({
      ...one,
      stages: one.stages.map((run) => ({ ...run, lid: 'closed' as const })),
    }));
    expect(tasksOf(rehearsed(same)).filter(({ title }) => title.startsWith('Lid'))).toEqual([]);
    const refill = tasksOf(rehearsed(three)).find(({ title }) => title === 'Refill 1');
    expect(refill?.why).toContain('4.00 l of 0.50 mS/cm');
  });
});

describe('the drawing of a fan', () => {
  const fan = fanFor(three);
  const drawn = (from: number, to: number, widthPx = 900): string =>
    drawFan(fan, { from, to, widthPx }).text;
  const all = wholeOf(fan);

  it('has no place that is no number, whatever stretch of it is shown', () => {
    expectSoundAnywhere(all, drawn);
  });

  it('stays between the edges of its view, and keeps its height while its reader zooms', () => {
    const text = drawn(1_000, 1_300);
    for (const [, d = ''] of text.matchAll(/class="(?:fan|line middle) [^"]*" d="(M[^"]*)"/g))
      for (const [, x] of d.matchAll(/[ML]?(-?[\d.]+),/g)) {
        expect(Number(x)).toBeGreaterThanOrEqual(46);
        expect(Number(x)).toBeLessThanOrEqual(886);
      }
    // Between two hours, too: a line goes on to both edges.
    const [, line = ''] = /class="line middle root" d="(M[^"]*L[^"]*)"/.exec(text) ?? [];
    expect([line.startsWith('M46,'), line.includes('L886,')]).toEqual([true, true]);
    const heightOf = (drawing: string) => /viewBox="0 0 \d+ ([\d.]+)"/.exec(drawing)?.[1];
    expect(heightOf(text)).toBe(heightOf(drawn(all.from, all.to)));
  });

  it('shows the outermost ends of hours that are too narrow to be drawn', () => {
    const peak = fanFor(
      [1, 2, 3].map(() => hours(Array.from({ length: 1_500 }, (_, i) => (i === 777 ? 40 : 20)))),
    );
    const { text } = drawFan(peak, { ...wholeOf(peak), widthPx: 300 });
    const [, lane = ''] = /Root zone([\s\S]*?)class="lane"/.exec(text) ?? [];
    const highestOf = (kind: string): number => {
      const d = new RegExp(`class="${kind} root" d="(M[^"]*L[^"]*)"`).exec(lane)?.[1] ?? '';
      return Math.min(...[...d.matchAll(/,(-?[\d.]+)/g)].map(([, y]) => Number(y)));
    };
    expect(highestOf('fan outer')).toBeLessThan(highestOf('line middle') - 50);
  });

  it('is a line alone where there was one rehearsal', () => {
    const { text } = drawFan(fanFor(three.slice(0, 1)), { ...all, widthPx: 900 });
    expect(text).toContain('class="line middle root"');
    expect(text).not.toContain('class="fan');
    expect(drawn(all.from, all.to)).toContain('class="fan outer root"');
    expect(drawn(all.from, all.to)).toContain('>9 in 10<');
  });

  it('has a bar from the earliest to the latest with its tick at the middle one', () => {
    const text = drawn(all.from, all.to);
    const [, left, width, tick] =
      /First feed: day 7[^<]*<\/title><rect class="spread" x="([\d.]+)"[^>]*width="([\d.]+)"[^>]*><line class="tick-mark" x1="([\d.]+)"/.exec(
        text.replaceAll('/>', '>'),
      ) ?? [];
    expect(Number(left) + Number(width) / 2).toBeCloseTo(Number(tick), 0);
    expect(text).toContain('<a href="#alarm-too-warm"');
  });

  it('lets words stand beside each other and over none', () => {
    const [, lane = ''] =
      /What you do<([\s\S]*?)class="lane"/.exec(drawn(all.from, all.to, 340)) ?? [];
    const words = [
      ...lane.matchAll(/<text x="([\d.]+)" y="([\d.]+)" text-anchor="(\w+)">([^<]*)</g),
    ];
    expect(words.length).toBeGreaterThan(4);
    const places = words.map(([, x, y, anchor, word = '']) => {
      const wide = word.length * 6;
      const from = Number(x) - (anchor === 'end' ? wide : 0);
      return { y, from, to: from + wide };
    });
    for (const one of places)
      for (const other of places)
        if (one !== other && one.y === other.y)
          expect(one.to <= other.from || other.to <= one.from).toBe(true);
  });

  it('cuts a word for which there is no room on either side, and tells all of it by pointing', () => {
    const late = { least: 6 * DAY_MIN, middle: 6 * DAY_MIN, most: 6 * DAY_MIN, id: null };
    const label = 'Dose not seen by the scale, in 3 of 12 rehearsals';
    const { text } = drawFan(
      { ...fan, alarms: [{ ...late, label, says: label }] },
      { ...all, widthPx: 340 },
    );
    const [, lane = ''] = /Alarms to expect<([\s\S]*?)class="lane"/.exec(text) ?? [];
    // By whole words.
    expect(lane).toMatch(/>Dose not seen by( the( scale,?)?)?…</);
    const [, x, word = ''] = /<text x="([\d.]+)"[^>]*text-anchor="end">([^<]*…)</.exec(lane) ?? [];
    expect(word.length).toBeGreaterThan(15);
    expect(Number(x) - word.length * 6.4).toBeGreaterThanOrEqual(0);
    expect(lane).toContain(`<title>${label}</title>`);
  });

  it('is told apart without colour: dashes, a broad line, and contrast over the band', () => {
    expect(FAN_RULES).toMatch(/\.fan\.outer \{[^}]*stroke-dasharray/);
    expect(FAN_RULES).toMatch(/\.line\.middle \{ stroke-width: 2/);
    for (const theme of Object.values(THEMES)) {
      const inside = over(theme.root, 0.2, over(theme.root, 0.1, rgb(theme.band)));
      expect(contrast(rgb(theme.root), inside)).toBeGreaterThanOrEqual(3);
    }
  });
});

type Rgb = readonly number[];
const rgb = (hex: string): Rgb => {
  const digits = hex.slice(1);
  const full = digits.length === 3 ? digits.replaceAll(/./g, '$&$&') : digits;
  return [0, 2, 4].map((at) => Number.parseInt(full.slice(at, at + 2), 16));
};
const over = (hex: string, share: number, ground: Rgb): Rgb =>
  rgb(hex).map((value, i) => share * value + (1 - share) * (ground[i] ?? 0));
const light = (colour: Rgb): number =>
  colour
    .map((value) => value / 255)
    .map((value) => (value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4))
    .reduce((sum, value, i) => sum + value * ([0.2126, 0.7152, 0.0722][i] ?? 0), 0);
const contrast = (one: Rgb, other: Rgb): number => {
  const [dark = 0, bright = 0] = [light(one), light(other)].sort((a, b) => a - b);
  return (bright + 0.05) / (dark + 0.05);
};

describe('a fan that is pointed at', () => {
  it('tells the middle, between which values 9 in 10 lie, and the band', () => {
    const fan = fanFor([20, 21, 23, 24, 30].map((c) => hours([c, c, c])));
    expect(readFan(fan, 118)).toBe(
      'day 0.08 from sowing, root zone 23.0 °C (20.2 to 28.8), band 23.0 to 25.0 °C, dry-back 5.0 %, each plant was given 4.0 ml, reservoir 3.00 l, standing 90 %',
    );
    expect(readFan(fan, 400)).toBe('day 0.28 from sowing: fewer than half of the rehearsals tell');
  });

  it('is shown from sowing on, its first two weeks by a button', () => {
    const { whole, part, spanText } = sceneOf({
      kind: 'fan',
      fan: fanFor([hours(new Array(480).fill(20))]),
    });
    expect([whole, part]).toEqual([
      { from: 0, to: 20 * DAY_MIN },
      { from: 0, to: 14 * DAY_MIN },
    ]);
    expect(spanText({ from: 0, to: DAY_MIN })).toBe('Shown: day 0.00 to day 1.00 from sowing');
  });
});
