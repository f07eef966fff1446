/** Shapes of what `fleet` gives. */
import * as z from 'zod';
import { DATABASE_ROLES } from '../fleet/plan';
import { fleetAlarms } from '../fleet/queries/alarms';
import { fleetStatus } from '../fleet/queries/status';
import { compared, reported } from './report';

const number = z.number();
const text = z.string();

export const FLEET_RESULTS: Readonly<Record<string, readonly z.ZodType[]>> = {
  'fleet check': [
    z.object({
      file: text,
      broker: text.describe('that lets us in'),
      roles: z.array(z.enum(DATABASE_ROLES)).readonly().describe('as which the database does'),
    }),
    z.object({ example: text }).describe('with --example'),
  ],
  'fleet migrate': [z.object({ from: number.describe('0: there were no tables'), to: number })],
  'fleet collect': [
    z.object({ event: z.literal('started'), name: text, group: text, pid: number }),
    z
      .object({
        event: z.literal('stopped'),
        entries: number.describe('that are in the database by this collector'),
        known: number.describe('that were there already'),
        refused: number.describe('messages that were left out'),
      })
      .describe('at its end'),
  ],
  'fleet status': [fleetStatus],
  'fleet alarms': [fleetAlarms],
  'fleet report': [reported],
  'fleet compare': [compared],
};
