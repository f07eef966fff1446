/** The air of a room: one temperature, or that of night and day. */
import { PLAN_LIMITS } from '../../shared/planning/limits';
import type { Room } from '../../shared/planning/pace';
import type { UnitSystem } from '../../shared/units';
import { usage } from '../failure';
import { needed, type Reader } from './options';
import { within } from './within';

const EXAMPLE =
  'Write --room 18C for a room that is always so, --room "16..22 C" from the coldest of night to the warmest of day.';

/** `16..22 C` or `61 to 72 F`; a single temperature stands for both. */
const RANGE = /^(.+?)\s*(?:\.\.|\bto\b)\s*(.+)$/;
const UNIT = /[^\d.\s-].*$/;

/** Night and day of a room, or null. */
export const roomAir: Reader<Room | null> = (typed, flag, units) => {
  if (typeof typed !== 'string') return null;
  const [, from = typed, to = typed] = RANGE.exec(typed.trim()) ?? [];
  const [unit = ''] = UNIT.exec(to) ?? [];
  const nightC = temperature(UNIT.test(from) ? from : from + unit, flag, units);
  const dayC = temperature(to, flag, units);
  if (nightC <= dayC) return { nightC, dayC };
  throw usage(`${flag} ${typed} goes from warm to cold.`, EXAMPLE);
};

const AIR = needed(
  within(
    'temperature',
    PLAN_LIMITS.roomLeastC,
    PLAN_LIMITS.roomMostC,
    'That is where people and plants are.',
    EXAMPLE,
  ),
);
const temperature = (text: string, flag: string, units: UnitSystem): number =>
  AIR(text, flag, units);
