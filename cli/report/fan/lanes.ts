/** The lanes of a fan: what lies between the rehearsals' ends, the half of them in the middle, and the middle one. Pure. */
import { area, line } from 'd3-shape';
import { html, type Markup } from '../html';
import { px, type Scale, type View, valueAxis } from '../plot/axes';
import { box, downOf, type Place } from '../plot/lines';
import type { Lane, Legend } from '../plot/stack';
import type { Fan, FanName, FanPercent, MiddleBand } from './model';
import { FAN_NAMES } from './model';
import { QUANTITIES } from './quantities';
import { type FanPoint, runsOf } from './rows';

type Runs = readonly (readonly FanPoint[])[];

/** Between two lines, as one path over all stretches. */
function surface(runs: Runs, low: FanPercent, high: FanPercent, down: Scale): string {
  const draw = area<FanPoint>()
    .x(({ x }) => x)
    .y0(({ at }) => down(at[low]))
    .y1(({ at }) => down(at[high]))
    .digits(1);
  return runs.map((run) => draw([...run]) ?? '').join('');
}

function middle(runs: Runs, down: Scale): string {
  const draw = line<FanPoint>()
    .x(({ x }) => x)
    .y(({ at }) => down(at[50]))
    .digits(1);
  return runs.map((run) => draw([...run]) ?? '').join('');
}

/** One rehearsal has nothing between its ends. */
const isMany = ({ rehearsals }: Fan): boolean => rehearsals > 1;

const bandsIn = ({ bands }: Fan, { from, to }: View): readonly MiddleBand[] =>
  bands.filter((band) => band.to >= from && band.from <= to);

function bandMarkup(bands: readonly MiddleBand[], view: View, down: Scale): Markup {
  return html`${bands.map(({ from, to, low, high }) => {
    const { left, width } = box(from, to, view);
    return html`<rect class="band" x="${px(left)}" y="${px(down(high))}" width="${px(width)}" height="${px(Math.max(1, down(low) - down(high)))}"/>`;
  })}`;
}

function drawLane(fan: Fan, name: FanName, view: View, place: Place): Markup {
  const { kind, isFromZero, hasBand, ticks, scale } = QUANTITIES[name];
  const runs = runsOf(fan, name, view);
  const bands = hasBand ? bandsIn(fan, view) : [];
  const values = [
    ...runs.flat().flatMap(({ at }) => [at[5], at[95]]),
    ...bands.flatMap(({ low, high }) => [low, high]),
    ...(isFromZero ? [0] : []),
  ];
  const down = downOf(values, place, scale(fan).least);
  const surfaces = isMany(fan)
    ? html`<path class="fan outer ${kind}" d="${surface(runs, 5, 95, down)}"/><path class="fan inner ${kind}" d="${surface(runs, 25, 75, down)}"/>`
    : null;
  return html`${bandMarkup(bands, view, down)}${valueAxis(down, view, ticks)}${surfaces}<path class="line middle ${kind}" d="${middle(runs, down)}"/>`;
}

function legendOf(fan: Fan, name: FanName): Legend {
  const { kind, hasBand } = QUANTITIES[name];
  return [
    ...(hasBand && fan.bands.length > 0 ? [['band', 'band'] as const] : []),
    ...(isMany(fan)
      ? [
          [`fan outer ${kind}`, '9 in 10'] as const,
          [`fan inner ${kind}`, 'half'] as const,
          [`line middle ${kind}`, 'middle'] as const,
        ]
      : []),
  ];
}

/** A lane for each quantity of which anything is known. */
export const fanLanes = (fan: Fan, view: View): readonly Lane[] =>
  FAN_NAMES.filter((name) => fan.lines[name][50].some((value) => value !== null)).map((name) => ({
    title: `${QUANTITIES[name].title}, ${QUANTITIES[name].scale(fan).unit}`,
    heightPx: QUANTITIES[name].heightPx,
    legend: legendOf(fan, name),
    draw: (place) => drawLane(fan, name, view, place),
  }));
