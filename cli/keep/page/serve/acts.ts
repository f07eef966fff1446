/** What can be told from the page. There is no act that switches mat or pump, or changes a profile. */
import * as z from 'zod';
import { ALARM_NAMES } from '../../../../shared/alarms/catalogue';
import type { Outcome } from '../outcome';

const typed = z.string().trim().min(1).max(60);
const alarm = z.enum(ALARM_NAMES);

const ACTS = [
  z.strictObject({ act: z.literal('seen'), alarm }),
  z.strictObject({ act: z.literal('mended'), alarm }),
  z.strictObject({ act: z.literal('sown') }),
  z.strictObject({ act: z.literal('emerged') }),
  z.strictObject({ act: z.literal('transplanted') }),
  z.strictObject({ act: z.literal('refilled'), volume: typed, ec: typed }),
  z.strictObject({ act: z.literal('count'), standing: typed, of: typed }),
  z.strictObject({ act: z.literal('note'), text: typed }),
] as const;

const act = z.discriminatedUnion('act', ACTS);
export type Act = z.output<typeof act>;
export type ActName = Act['act'];

/** What the page sends. `id`: one for each time that somebody said yes; `sure`: the question it leads to was answered. */
export const actRequest = z.strictObject({
  id: z.string().regex(/^[0-9a-f]{16,64}$/),
  sure: z.boolean(),
  act,
});
export type ActRequest = z.output<typeof actRequest>;

/** The tray that is told. */
export interface Told {
  readonly port: string;
  readonly boardId: string;
}

/** Does it at a tray. Never throws. */
export type Perform = (asked: ActRequest, told: Told) => Promise<Outcome>;
