/** Shapes of what `keep` gives. */
import * as z from 'zod';
import { keeperState } from '../keep/state';

const number = z.number();
const text = z.string();

/** Of one person and door, by `keep test`. */
export const tested = z.object({
  who: text,
  door: text,
  ok: z.boolean(),
  why: text.nullable().describe('it was not taken'),
});

export const KEEP_RESULTS: Readonly<Record<string, readonly z.ZodType[]>> = {
  'keep start': [
    z.object({ event: z.literal('started'), name: text, file: text, pid: number, trays: number }),
    z.object({ event: z.literal('stopped'), rounds: number }).describe('at its end'),
  ],
  page: [
    z.object({ event: z.literal('started'), address: text, tray: text, port: text }),
    z.object({ event: z.literal('stopped') }).describe('at its end'),
  ],
  'keep test': [z.object({ sent: z.array(tested) })],
  'keep status': [keeperState],
  'keep install': [
    z.object({
      unit: text.nullable().describe('path of the unit; null where the system has no systemd'),
      next: z.array(text).describe('what to do then'),
    }),
  ],
};
