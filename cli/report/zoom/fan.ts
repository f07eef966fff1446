/** Many rehearsals as the page shows them, and what is read of them. Pure. */
import { dayText } from '../compare/axis';
import { drawFan, wholeOf } from '../fan/draw';
import type { Fan } from '../fan/model';
import { readFan } from '../fan/read';
import type { Scene } from './scene';

/** From sowing to the first feed or so. */
const FIRST_MIN = 14 * 1_440;

export function fanScene(fan: Fan): Scene {
  const whole = wholeOf(fan);
  return {
    whole,
    fromUnixMs: null,
    part: { from: whole.from, to: Math.min(whole.to, FIRST_MIN) },
    draw: (view) => drawFan(fan, view),
    spanText: ({ from, to }) => `Shown: ${dayText(from)} to ${dayText(to)} from sowing`,
    readText: (minute) => readFan(fan, minute),
  };
}
