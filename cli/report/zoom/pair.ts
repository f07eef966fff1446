/** Two seasons as the page shows them: one stretch of time since sowing, read of both. Pure. */
import { DAY_MIN } from '../../../shared/units/time';
import { dayText } from '../compare/axis';
import { drawPair, wholeOf } from '../compare/draw';
import { type DrawnSide, LETTERS, type Pair } from '../compare/pair';
import type { Stretch } from '../plot/model';
import type { Scene } from './scene';
import { readText } from './season';

export function pairScene(pair: Pair): Scene {
  const whole = wholeOf(pair);
  return {
    whole,
    fromUnixMs: null,
    part: { from: whole.from, to: pair.commonDays * DAY_MIN },
    draw: (view) => drawPair(pair, view),
    spanText: ({ from, to }: Stretch) => `Shown: ${dayText(from)} to ${dayText(to)} from sowing`,
    readText: (minute) =>
      [
        `${dayText(minute)} from sowing`,
        ...pair.sides.map((side, i) => `${LETTERS[i] ?? ''}: ${sideText(side, minute)}`),
      ].join('\n'),
  };
}

/** A season that was over by then, or had not begun, has no reading that could be near. */
function sideText({ plot, sownMin }: DrawnSide, minute: number): string {
  const at = sownMin + minute;
  if (at > plot.lengthMin) return 'its journal ends before';
  return at < 0 ? 'its journal begins later' : readText(plot, at);
}
