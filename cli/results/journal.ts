/** Shapes of journal entries, from the one table that says how they are packed. */

import * as z from 'zod';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { CALIBRATION_TARGETS } from '../../shared/board/calibration-targets';
import { JOURNAL_KINDS } from '../../shared/journal/codec';
import type { JournalKind } from '../../shared/journal/kinds';
import { CALIBRATED, type EntryField, LAYOUT } from '../../shared/journal/layout';
import { MARKS } from '../../shared/profile/profile';
import { alarmName, mark } from './board';

/** One field as JSON has it: a number that may be unknown there is null. */
function shapeOf(field: EntryField): z.ZodType {
  if (field.words) {
    if (field.words === MARKS) return mark;
    return field.words === ALARM_NAMES ? alarmName : z.enum(field.words);
  }
  if (field.bytes !== undefined) return z.string();
  if (!field.type) return z.boolean();
  const { none, low } = field.type;
  const mayBeUnknown = !Number.isNaN(none) || low === Number.NEGATIVE_INFINITY;
  return mayBeUnknown ? z.number().nullable() : z.number();
}

type Shapes = Readonly<Record<string, z.ZodType>>;

function shapesOf(fields: Readonly<Record<string, EntryField>>): Shapes {
  return Object.fromEntries(Object.entries(fields).map(([name, field]) => [name, shapeOf(field)]));
}

function entryOf(kind: JournalKind, further: Shapes = {}) {
  return z.object({
    sequence: z.number(),
    boot: z.number(),
    uptimeMs: z.number(),
    kind: z.literal(kind),
    ...shapesOf(LAYOUT[kind]),
    ...further,
  });
}

/** One shape for the targets of a calibration that have the same fields. */
function calibrations() {
  return [...new Set(Object.values(CALIBRATED))].map((fields) => {
    const target = z.enum(CALIBRATION_TARGETS.filter((one) => CALIBRATED[one] === fields));
    return entryOf('calibration', { target, ...shapesOf(fields) });
  });
}

const entries = JOURNAL_KINDS.flatMap((kind) =>
  kind === 'calibration' ? calibrations() : [entryOf(kind)],
);
export const journalEntry = z.union(entries).meta({ id: 'JournalEntry' });

export const datedEntry = z
  .object({
    entry: journalEntry,
    life: z.number().describe('counted up when the journal has begun anew'),
    unixMs: z.number().nullable(),
    afterMs: z.number().nullable().describe('without unixMs: it was after this'),
    beforeMs: z.number().nullable().describe('and before this'),
  })
  .meta({ id: 'DatedEntry' });

const number = z.number();
const text = z.string();
const damaged = number.describe('entries that the disk has spoilt, left out');

export const JOURNAL_RESULTS = {
  'journal pull': [
    z.object({
      boardId: text,
      stored: number,
      missing: number.describe('overwritten on the board before this pull'),
      damaged: number,
      newLife: z.boolean(),
      lastSequence: number.nullable(),
    }),
  ],
  'journal show': [z.object({ entries: z.array(datedEntry), damaged })],
  'journal export': [
    z.object({
      format: z.enum(['csv', 'jsonl', 'parquet']),
      count: number.describe('rows of `out`'),
      damaged,
      out: text,
      events: z
        .object({ count: number, out: text })
        .nullable()
        .describe('of csv, the table of all that is no reading; null where one kind was asked for'),
    }),
    z
      .object({
        format: z.enum(['csv', 'jsonl']),
        count: number.describe('rows of `text`'),
        damaged,
        left: number.describe('events, which csv has no row for here'),
        text,
      })
      .describe('without --out'),
  ],
};
