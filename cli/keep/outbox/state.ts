/** What an outbox holds, and the records it is made of: a decision with its messages, and what a door has taken. Pure. */
import * as z from 'zod';
import { ALARM_PRIORITIES } from '../../../shared/alarms/priority';
import { type Memory, TROUBLES, type TrayMemory } from '../decide/model';

const number = z.number();
const numberOrNull = number.nullable();
const priority = z.enum(ALARM_PRIORITIES);

const topic = z.object({
  id: number,
  cause: z.string().nullable(),
  troubles: z.array(z.enum(TROUBLES)).readonly(),
  priority,
  sinceMs: number,
  goneMs: numberOrNull,
  closed: z.boolean(),
  again: number,
  told: number,
  toldMs: numberOrNull,
  toldTroubles: z.array(z.enum(TROUBLES)).readonly(),
  toldOffK: number,
  inMorning: z.boolean(),
});

const trayMemory = z.object({
  cursor: z.object({ life: number, sequence: number }).nullable(),
  topics: z.array(topic).readonly(),
}) satisfies z.ZodType<TrayMemory>;

const memory = z.object({
  keeper: z.string(),
  count: number,
  morningMs: number,
  trays: z.record(z.string(), trayMemory),
}) satisfies z.ZodType<Memory>;

export const MESSAGE_KINDS = [
  ...(['new', 'again', 'worse', 'still', 'over', 'happened'] as const),
  ...(['morning', 'test'] as const),
] as const;

const message = z.object({
  /** Once in the world, and the same however often it is sent. */
  id: z.string(),
  kind: z.enum(MESSAGE_KINDS),
  priority,
  tray: z.string().nullable(),
  /** Messages of one topic belong together. */
  topic: numberOrNull,
  madeMs: number,
  subject: z.string(),
  text: z.string(),
});
export type Message = Readonly<z.infer<typeof message>>;

const delivery = z.object({
  /** Of the message, to one person by one door. */
  id: z.string(),
  message,
  /** Id of the `Tell`. */
  tell: z.string(),
  notBeforeMs: number,
});
export type Delivery = Readonly<z.infer<typeof delivery>>;

const outboxState = z.object({ memory, pending: z.array(delivery).readonly() });

export interface OutboxState {
  readonly memory: Memory;
  /** What no door has taken yet, the oldest first. */
  readonly pending: readonly Delivery[];
}

export const recordSchema = z.discriminatedUnion('is', [
  /** Everything: with this a file begins. */
  z.object({ is: z.literal('all'), state: outboxState }),
  /** A decision: what was told is remembered, and the messages are there, in one step. */
  z.object({
    is: z.literal('decided'),
    /** Of the memory, only the trays that changed. */
    memory,
    added: z.array(delivery).readonly(),
    withdrawn: z.array(z.string()).readonly(),
  }),
  z.object({ is: z.literal('sent'), delivery: z.string() }),
]);
export type OutboxRecord = z.infer<typeof recordSchema>;

/** The state after a record; null is what a file holds before its first one. */
export function applied(state: OutboxState | null, record: OutboxRecord): OutboxState | null {
  if (record.is === 'all') return record.state;
  // A file begins with all: records before that are those of no state.
  if (state === null) return null;
  if (record.is === 'sent') {
    return { ...state, pending: state.pending.filter(({ id }) => id !== record.delivery) };
  }
  const kept = state.pending.filter(({ id }) => !record.withdrawn.includes(id));
  const trays = { ...state.memory.trays, ...record.memory.trays };
  return { memory: { ...record.memory, trays }, pending: [...kept, ...record.added] };
}
