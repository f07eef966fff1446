/** Both seasons over one axis of days since sowing, lane by lane below each other. Pure. */
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import { html, type Markup } from '../html';
import { acrossOf, MARGIN, px, type View, valueAxis } from '../plot/axes';
import { eventLanes, readLanes, toldLanes } from '../plot/draw';
import type { Place } from '../plot/lines';
import { blanksOver } from '../plot/ribbons';
import { hatchId, type Lane, stack } from '../plot/stack';
import { type Comparison, LETTERS, type Side } from './model';

const NAME = 'both';
const DAY_MIN = 1_440;
/** Soaking is shown, days before sowing. */
const BEFORE_DAYS = 0.25;
/** Room that a label on the axis takes, px. */
const LABEL_PX = 70;

interface Shown {
  readonly side: Side;
  readonly view: View;
}

export function drawComparison({ sides }: Comparison, widthPx: number): Markup {
  const toDay = Math.max(...sides.map(({ course }) => course.days));
  const days = { from: -BEFORE_DAYS, to: toDay, widthPx };
  const shown = sides.map((side): Shown => {
    const at = (day: number): number => side.sownMin + day * DAY_MIN;
    return { side, view: { from: at(days.from), to: at(days.to), widthPx } };
  });
  const { inside, heightPx } = stack(
    [...lanesOf(shown), waterLane(sides, days)],
    days,
    NAME,
    (place) => dayAxis(days, place),
  );
  return html`<svg xmlns="http://www.w3.org/2000/svg" class="plot" viewBox="0 0 ${px(widthPx)} ${px(heightPx)}" role="group" aria-label="Both seasons on one axis of days since sowing">${inside}</svg>`;
}

/** Each lane of A with that of B below it, whose values its axis holds as well. */
function lanesOf(shown: readonly Shown[]): readonly Lane[] {
  const events = shown.map(({ side: { report }, view }) => eventLanes(report.plot, view, true));
  const told = shown.map(({ side: { report }, view }) => toldLanes(report.plot, view));
  const read = shown.map(({ side: { report }, view }, i) =>
    readLanes(
      report.plot,
      view,
      shown
        .filter((_, j) => j !== i)
        .map((one) => ({ plot: one.side.report.plot, view: one.view })),
    ),
  );
  const named = (lanes: readonly (readonly Lane[])[]): readonly (readonly Lane[])[] =>
    lanes.map((list, i) => list.map((lane) => ofSide(lane, LETTERS[i] ?? '', shown[i])));
  return [...named(events).flat(), ...paired(named(told)), ...paired(named(read))];
}

const ofSide = (lane: Lane, letter: string, shown: Shown | undefined): Lane => ({
  ...lane,
  title: `${letter}: ${lane.title}`,
  draw: (place) =>
    shown === undefined
      ? lane.draw(place)
      : html`${blanksOver(shown.side.report.plot, shown.view, place, hatchId(NAME))}${lane.draw(place)}`,
});

/** The first of each list, then the second of each. */
const paired = ([first = [], ...others]: readonly (readonly Lane[])[]): readonly Lane[] =>
  first.flatMap((lane, i) => [lane, ...others.flatMap((list) => list.slice(i, i + 1))]);

/** Lines down through all lanes at whole days. */
function dayAxis(days: View, { topPx, heightPx }: Place): Markup {
  const across = acrossOf(days);
  const bottom = topPx + heightPx;
  const count = Math.floor((days.widthPx - MARGIN.left) / LABEL_PX);
  const ticks = across.ticks(count).filter((day) => Number.isInteger(day) && day >= 0);
  return html`${ticks.map((day) => {
    const x = px(across(day));
    return html`<line class="grid day" x1="${x}" x2="${x}" y1="${px(topPx)}" y2="${px(bottom)}"/><text class="tick" x="${x}" y="${px(bottom + 15)}" text-anchor="middle">${day === 0 ? 'sown' : `day ${day}`}</text>`;
  })}`;
}

const KINDS: readonly string[] = ['line true', 'line raw'];

/** What each plant was given since sowing, both in one lane: steps, as doses come. */
function waterLane(sides: Comparison['sides'], days: View): Lane {
  const curves = sides.map(({ course }) => {
    const known = course.fed.filter(({ eachMl }) => Number.isFinite(eachMl));
    return [
      { day: 0, eachMl: 0 },
      ...known,
      { day: course.days, eachMl: known.at(-1)?.eachMl ?? 0 },
    ];
  });
  const most = Math.max(1, ...curves.flat().map(({ eachMl }) => eachMl));
  return {
    title: 'Given to each plant since sowing, ml',
    heightPx: 110,
    legend: sides.map((_, i) => [KINDS[i] ?? '', LETTERS[i] ?? '']),
    draw: ({ topPx, heightPx }) => {
      const down = scaleLinear([0, most * 1.05], [topPx + heightPx, topPx]);
      const across = acrossOf(days);
      const drawn = curves.map((points, i) => {
        const steps = points.flatMap((point, j) => [
          ...(j === 0 ? [] : [{ ...point, eachMl: points[j - 1]?.eachMl ?? 0 }]),
          point,
        ]);
        const draw = line<(typeof steps)[number]>()
          .x(({ day }) => across(day))
          .y(({ eachMl }) => down(eachMl))
          .digits(1);
        return html`<path class="${KINDS[i] ?? ''}" d="${draw(steps) ?? ''}"/>`;
      });
      return html`${valueAxis(down, days, 3)}${drawn}`;
    },
  };
}
