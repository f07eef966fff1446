/** The air of a room: one temperature, or that of night and day. */
import { PLAN_LIMITS } from '../../shared/planning/limits';
import type { Room } from '../../shared/planning/pace';
import { formatQuantity, parseQuantity } from '../../shared/units';
import { usage } from '../failure';
import type { Reader } from './options';

const EXAMPLE =
  'Write --room 18C for a room that is always so, --room "16..22 C" from the coldest of night to the warmest of day.';

/** `16..22 C` or `61 to 72 F`; a single temperature stands for both. */
const RANGE = /^(.+?)\s*(?:\.\.|\bto\b)\s*(.+)$/;
const UNIT = /[^\d.\s-].*$/;

/** Night and day of a room, or null. */
export const roomAir: Reader<Room | null> = (typed, flag) => {
  if (typeof typed !== 'string') return null;
  const [, from = typed, to = typed] = RANGE.exec(typed.trim()) ?? [];
  const [unit = ''] = UNIT.exec(to) ?? [];
  const nightC = temperature(UNIT.test(from) ? from : from + unit, flag);
  const dayC = temperature(to, flag);
  if (nightC <= dayC) return { nightC, dayC };
  throw usage(`${flag} ${typed} goes from warm to cold.`, EXAMPLE);
};

function temperature(text: string, flag: string): number {
  const parsed = parseQuantity('temperature', text);
  if (!parsed.ok) throw usage(parsed.why, EXAMPLE, 'not-a-quantity');
  const { roomLeastC, roomMostC } = PLAN_LIMITS;
  if (parsed.value >= roomLeastC && parsed.value <= roomMostC) return parsed.value;
  const shown = (atC: number): string => formatQuantity('temperature', atC, 'metric');
  throw usage(
    `${flag} ${text} is out of range: ${shown(roomLeastC)} to ${shown(roomMostC)}, where people and plants are.`,
    EXAMPLE,
    'out-of-range',
  );
}
