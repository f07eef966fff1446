/** What a fan says at a time, in words. Pure. */
import { dayText } from '../compare/axis';
import { FAN_NAMES, type Fan, type FanName } from './model';
import { QUANTITIES } from './quantities';

/** A row further away than this says nothing of the place pointed at, minutes: they come hourly. */
const NEAR_MIN = 60;

function rowNear({ minutes }: Fan, minute: number): number | null {
  let near = -1;
  let distance = NEAR_MIN;
  for (const [i, one] of minutes.entries()) {
    if (Math.abs(one - minute) > distance) continue;
    near = i;
    distance = Math.abs(one - minute);
  }
  return near < 0 ? null : near;
}

/** `root zone 24.1 °C (23.4 to 24.9)`: the middle, and between which 9 of 10 rehearsals lie. */
function quantityText(fan: Fan, name: FanName, row: number): string {
  const { says, scale } = QUANTITIES[name];
  const { unit, digits } = scale(fan);
  const lines = fan.lines[name];
  const [low, middle, high] = [lines[5][row], lines[50][row], lines[95][row]];
  if (low == null || middle == null || high == null) return `${says} -`;
  const [a, b, c] = [low, middle, high].map((value) => value.toFixed(digits));
  return `${says} ${b} ${unit}${a === c ? '' : ` (${a} to ${c})`}`;
}

const bandText = ({ bands, temperatureUnit }: Fan, minute: number): string => {
  const band = bands.find(({ from, to }) => minute >= from && minute <= to);
  return band === undefined
    ? ''
    : `, band ${band.low.toFixed(1)} to ${band.high.toFixed(1)} ${temperatureUnit}`;
};

/** All quantities next to a minute, or that hardly any rehearsal goes on so long. */
export function readFan(fan: Fan, minute: number): string {
  const row = rowNear(fan, minute);
  const isKnown = row !== null && FAN_NAMES.some((name) => fan.lines[name][50][row] != null);
  if (!isKnown) return `${dayText(minute)} from sowing: fewer than half of the rehearsals tell`;
  const at = fan.minutes[row] ?? minute;
  const [root, ...others] = FAN_NAMES.map((name) => quantityText(fan, name, row));
  return [`${dayText(at)} from sowing`, `${root ?? ''}${bandText(fan, at)}`, ...others].join(', ');
}
