/** Many rehearsals over one axis of time since sowing. Pure. */
import { sinceSowingAxis } from '../compare/axis';
import { html, type Markup } from '../html';
import { px, type View } from '../plot/axes';
import { cursorIn } from '../plot/draw';
import type { Stretch } from '../plot/model';
import { stack } from '../plot/stack';
import { fanLanes } from './lanes';
import type { Fan } from './model';
import { spanLanes } from './spans';

const NAME = 'fan';

export const wholeOf = ({ lengthMin }: Fan): Stretch => ({ from: 0, to: lengthMin });

/** `view`: the stretch that is drawn, in minutes since sowing. */
export function drawFan(fan: Fan, view: View): Markup {
  const whole = wholeOf(fan);
  const lanes = [
    ...spanLanes('What you do', fan.tasks, whole, view),
    ...spanLanes('What the tray does by itself', fan.events, whole, view),
    ...spanLanes('Alarms to expect', fan.alarms, whole, view),
    ...fanLanes(fan, view),
  ];
  const {
    inside,
    whole: place,
    heightPx,
  } = stack(lanes, view, NAME, (all) => sinceSowingAxis(view, all));
  return html`<svg xmlns="http://www.w3.org/2000/svg" class="plot" viewBox="0 0 ${px(view.widthPx)} ${px(heightPx)}" role="group" aria-label="All rehearsals on one axis of time since sowing">${inside}${cursorIn(place)}</svg>`;
}
