/** An axis of time since sowing: days, and where little is shown, hours of them. Pure. */
import { DAY_MIN, HOUR_MIN } from '../../../shared/units/time';
import { html, type Markup } from '../html';
import { acrossOf, anchorOf, MARGIN, px, type View } from '../plot/axes';
import type { Place } from '../plot/lines';

/** Room that a label on the axis takes, px. */
const LABEL_PX = 74;
/** Steps between labels that can be counted in, minutes. */
const STEPS_MIN: readonly number[] = [
  ...[15, 30],
  ...[1, 2, 3, 6, 12].map((hours) => hours * HOUR_MIN),
  ...[1, 2, 5, 10, 20, 50, 100].map((days) => days * DAY_MIN),
];

/** A time in the readout, `day 3.25`; soaking is before day 0. */
export const dayText = (minute: number): string => `day ${(minute / DAY_MIN).toFixed(2)}`;

/** `day 3` and `sown` at whole days, between them the hours since: `+6 h`, `+6:15 h`. */
export function sinceSowingText(minute: number): string {
  const day = Math.floor(minute / DAY_MIN);
  const rest = Math.round(minute - day * DAY_MIN);
  if (rest === 0) return day === 0 ? 'sown' : `day ${day}`;
  const minutes = rest % HOUR_MIN;
  return `+${Math.floor(rest / HOUR_MIN)}${minutes === 0 ? '' : `:${minutes}`} h`;
}

/** Round times since sowing, none of them before it. */
export function sinceSowingTicks({ from, to, widthPx }: View): readonly number[] {
  const most = Math.max(2, Math.floor((widthPx - MARGIN.left) / LABEL_PX));
  const step =
    STEPS_MIN.find((one) => (to - from) / one <= most) ??
    Math.ceil((to - from) / most / DAY_MIN) * DAY_MIN;
  const first = Math.max(0, Math.ceil(from / step));
  const count = Math.max(0, Math.floor(to / step) - first + 1);
  return Array.from({ length: count }, (_, i) => (first + i) * step);
}

/** Lines down through all lanes, and what they stand for. */
export function sinceSowingAxis(view: View, { topPx, heightPx }: Place): Markup {
  const across = acrossOf(view);
  const bottom = topPx + heightPx;
  return html`${sinceSowingTicks(view).map((minute) => {
    const x = px(across(minute));
    const anchor = anchorOf(across(minute), view, LABEL_PX);
    const kind = minute % DAY_MIN === 0 ? 'grid day' : 'grid';
    return html`<line class="${kind}" x1="${x}" x2="${x}" y1="${px(topPx)}" y2="${px(bottom)}"/><text class="tick" x="${x}" y="${px(bottom + 15)}" text-anchor="${anchor}">${sinceSowingText(minute)}</text>`;
  })}`;
}
