/** Both seasons over one axis of time since sowing, lane by lane below each other. Pure. */

import { curveStepAfter, line } from 'd3-shape';
import { DAY_MIN } from '../../../shared/units/time';
import { html, type Markup } from '../html';
import { acrossOf, px, type View, valueAxis } from '../plot/axes';
import { cursorIn, eventLanes, readLanes, toldLanes } from '../plot/draw';
import { downOf } from '../plot/lines';
import type { Stretch } from '../plot/model';
import { blanksOver } from '../plot/ribbons';
import { hatchId, type Lane, stack } from '../plot/stack';
import { sinceSowingAxis } from './axis';
import { type DrawnSide, LETTERS, type Pair } from './pair';

const NAME = 'both';
/** Soaking is shown, days before sowing. */
const BEFORE_DAYS = 0.25;

interface Shown {
  readonly side: DrawnSide;
  readonly view: View;
  /** All there is of both, on the time of this one. */
  readonly whole: Stretch;
}

/** All there is of both, in minutes since sowing. */
export const wholeOf = ({ sides }: Pair): Stretch => ({
  from: -BEFORE_DAYS * DAY_MIN,
  to: Math.max(...sides.map(({ days }) => days)) * DAY_MIN,
});

/** `view`: the stretch that is drawn, in minutes since sowing. */
export function drawPair(pair: Pair, view: View): Markup {
  const all = wholeOf(pair);
  const shown = pair.sides.map((side): Shown => {
    const at = (minute: number): number => side.sownMin + minute;
    return {
      side,
      view: { ...view, from: at(view.from), to: at(view.to) },
      whole: { from: at(all.from), to: at(all.to) },
    };
  });
  const { inside, whole, heightPx } = stack(
    [...lanesOf(shown), waterLane(pair, view)],
    view,
    NAME,
    (place) => sinceSowingAxis(view, place),
  );
  return html`<svg xmlns="http://www.w3.org/2000/svg" class="plot" viewBox="0 0 ${px(view.widthPx)} ${px(heightPx)}" role="group" aria-label="Both seasons on one axis of time since sowing">${inside}${cursorIn(whole)}</svg>`;
}

/** Each lane of A with that of B below it, whose values its axis holds as well. */
function lanesOf(shown: readonly Shown[]): readonly Lane[] {
  const events = shown.map(({ side: { plot }, view, whole }) =>
    eventLanes(plot, view, { whole, linked: true }),
  );
  const told = shown.map(({ side: { plot }, view }) => toldLanes(plot, view));
  const read = shown.map(({ side: { plot }, view }, i) =>
    readLanes(
      plot,
      view,
      shown.filter((_, j) => j !== i).map((one) => ({ plot: one.side.plot, view: one.view })),
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
      : html`${blanksOver(shown.side.plot, shown.view, place, hatchId(NAME))}${lane.draw(place)}`,
});

/** The first of each list, then the second of each. */
const paired = ([first = [], ...others]: readonly (readonly Lane[])[]): readonly Lane[] =>
  first.flatMap((lane, i) => [lane, ...others.flatMap((list) => list.slice(i, i + 1))]);

const KINDS: readonly string[] = ['line true', 'line raw'];

/** What each plant had been given in the stretch that is shown, at both of its ends and at each dose. */
function givenIn({ days, fed }: DrawnSide, { from, to }: View): readonly Given[] {
  const start = Math.max(0, from);
  const end = Math.min(days * DAY_MIN, to);
  if (start >= end) return [];
  const doses = fed.map(({ day, eachMl }) => ({ minute: day * DAY_MIN, eachMl }));
  const inside = doses.filter(({ minute }) => minute > start && minute < end);
  const before = doses.filter(({ minute }) => minute <= start).at(-1)?.eachMl ?? 0;
  return [
    { minute: start, eachMl: before },
    ...inside,
    { minute: end, eachMl: inside.at(-1)?.eachMl ?? before },
  ];
}

interface Given {
  readonly minute: number;
  readonly eachMl: number;
}

/** What each plant was given since sowing, both in one lane: steps, as doses come. */
function waterLane({ sides }: Pair, view: View): Lane {
  const given = sides.map((side) => givenIn(side, view));
  return {
    title: 'Given to each plant, ml',
    heightPx: 110,
    legend: sides.map((_, i) => [KINDS[i] ?? '', LETTERS[i] ?? '']),
    draw: (place) => {
      const down = downOf(
        given.flat().map(({ eachMl }) => eachMl),
        place,
        1,
      );
      const across = acrossOf(view);
      const draw = line<Given>()
        .x(({ minute }) => across(minute))
        .y(({ eachMl }) => down(eachMl))
        .curve(curveStepAfter)
        .digits(1);
      const lines = given.map(
        (points, i) => html`<path class="${KINDS[i] ?? ''}" d="${draw([...points]) ?? ''}"/>`,
      );
      return html`${valueAxis(down, view, 3)}${lines}`;
    },
  };
}
