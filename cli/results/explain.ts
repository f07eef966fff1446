/** Shape of what `explain` gives. */
import * as z from 'zod';
import type { ToldClaim, ToldFinding, ToldIncident } from '../explain/account';
import { CAUSE_NAMES } from '../explain/causes';
import { INCIDENT_KINDS } from '../explain/finding';
import type { Quiet } from '../explain/quiet';
import { datedEntry } from './journal';

const number = z.number();
const text = z.string();
const orNull = number.nullable();

const claim = z
  .object({ says: text, entries: z.array(number).describe('their sequence numbers') })
  .meta({ id: 'Claim' }) satisfies z.ZodType<ToldClaim>;

const finding = z
  .object({
    kind: z.enum(INCIDENT_KINDS),
    fromUnixMs: orNull,
    toUnixMs: orNull,
    forS: number,
    what: claim,
    did: z.array(claim).describe('what the controller did'),
    crop: z.array(claim).describe('what it meant for the crop'),
    measures: z.object({
      worstC: orNull,
      degreeHours: orNull.describe('outside the band'),
      emergenceDays: orNull.describe('later, by thermal time'),
      missedMl: orNull,
      lostG: orNull,
      gainedG: orNull,
      unbearableH: orNull.describe('above what the crop bears'),
    }),
  })
  .meta({ id: 'Finding' }) satisfies z.ZodType<ToldFinding>;

const incident = z
  .object({
    fromUnixMs: orNull,
    toUnixMs: orNull,
    open: z.boolean().describe('still so at the last entry'),
    when: text,
    causes: z
      .array(
        z.object({
          cause: z.enum(CAUSE_NAMES).meta({ id: 'CauseName' }),
          says: text,
          fit: z.enum(['good', 'possible', 'poor']),
          speaksFor: z.array(claim),
          speaksAgainst: z.array(claim),
        }),
      )
      .describe('likeliest first'),
    findings: z.array(finding).describe('causes before what came of them'),
    next: z.array(text),
    life: number,
    evidence: z.array(datedEntry).describe('empty without --evidence'),
  })
  .meta({ id: 'Incident' }) satisfies z.ZodType<Omit<ToldIncident, 'evidence'>>;

const quiet = z.object({
  readings: number,
  coldestC: orNull,
  warmestC: orNull,
  inBandShare: orNull,
  doses: number,
  givenMl: number,
  dryBackLeast: orNull,
  dryBackMost: orNull,
}) satisfies z.ZodType<Quiet>;

export const explained = z.object({
  boardId: text,
  sinceUnixMs: number,
  untilUnixMs: number,
  pulled: z.boolean().describe('whether a controller answered just now'),
  pulledUnixMs: orNull.describe('when it did last'),
  incidents: z.array(incident).describe('the worst first'),
  quiet,
  notices: z.array(text),
  unknown: z.array(text).describe('what the journal cannot tell'),
  damaged: number.describe('entries that the disk has spoilt, left out'),
});
