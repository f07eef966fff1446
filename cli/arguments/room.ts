/** The air of a room: one temperature, or that of night and day. */
import { PLAN_LIMITS } from '../../shared/planning/limits';
import type { Room } from '../../shared/planning/pace';
import type { UnitSystem } from '../../shared/units';
import { usage } from '../failure';
import { needed, type Reader } from './options';
import { within } from './within';

const EXAMPLE =
  'Write --room 18C or 64F for a room that is always so; "16..22 C" or "61..72 F" from the coldest of night to the warmest of day.';

/** What a room is called in the help of every command that asks for it. */
export const ROOM_HELP = 'air of the room: 18C, 64F, or "16..22 C" from night to day';

/** `16..22 C`, `61 to 72 F` or `16-22 C`; a single temperature stands for both. A sign in front is no dash. */
const RANGE = /^(.+?)\s*(?:\.{2,3}|…|\bto\b|(?<=[\dCF]\s*)[-–](?=\s*\d))\s*(.+)$/i;
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
