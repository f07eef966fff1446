/**
 * The bench door: JSON lines that drive a running bench. One request a line, one reply a line, in
 * order. `{"do":"run","forS":3600}` is answered with `{"ok":true,"result":{...}}` when the hour is
 * over; what cannot be done with `{"ok":false,"why":"..."}`.
 */
import * as z from 'zod';
import { probeFields } from '../../../shared/board/probes';
import { RESET_CAUSES } from '../../../shared/board/words';
import { accept, decline, type Verdict } from '../../../shared/physics/verdict';
import { FAULT_NAMES, type FaultName } from '../faults';
import { HAND_ACTION_NAMES, type HandActionName } from '../hand-actions';
import type { BenchState } from '../state';

/** Longest request line, bytes: they are all short. */
export const DOOR_LINE_BYTES = 4096;
/** Longest single run: longer than any crop stays in a propagator. */
export const LONGEST_RUN_S = 400 * 86_400;
/** Faster than any machine: as fast as it goes. */
export const FASTEST_TIMES = 1_000_000;

const requestSchema = z.discriminatedUnion('do', [
  z.strictObject({ do: z.literal('state') }),
  z.strictObject({ do: z.literal('run'), forS: z.number().positive().max(LONGEST_RUN_S) }),
  z.strictObject({ do: z.literal('speed'), times: z.number().min(0).max(FASTEST_TIMES) }),
  z.strictObject({
    do: z.literal('hand'),
    action: z.enum(HAND_ACTION_NAMES),
    /** g, ml, s or a lid place, as the action needs. */
    value: z.union([z.number(), z.string()]).optional(),
  }),
  z.strictObject({
    do: z.literal('fault'),
    name: z.enum(FAULT_NAMES),
    on: z.boolean(),
    forS: z.number().positive().optional(),
  }),
  z.strictObject({ do: z.literal('stop') }),
]);

export type DoorRequest =
  | { readonly do: 'state' }
  | { readonly do: 'run'; readonly forS: number }
  | { readonly do: 'speed'; readonly times: number }
  | {
      readonly do: 'hand';
      readonly action: HandActionName;
      readonly value?: number | string | undefined;
    }
  | {
      readonly do: 'fault';
      readonly name: FaultName;
      readonly on: boolean;
      readonly forS?: number | undefined;
    }
  | { readonly do: 'stop' };

/** What every request is answered with: how the bench stands afterwards. */
export interface DoorResult {
  /** Simulated seconds a second; 0: time stands still but for `run`. */
  readonly speed: number;
  readonly state: BenchState;
}

/** A request line, or why it is none. */
export function parseRequest(line: string): Verdict<DoorRequest> {
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    return decline('That line is no JSON. Write for example {"do":"state"}.');
  }
  const parsed = requestSchema.safeParse(value);
  return parsed.success ? accept(parsed.data) : decline(z.prettifyError(parsed.error));
}

const switches = z.object({
  mat: z.boolean(),
  pump: z.boolean(),
  sounder: z.boolean(),
  lamp: z.boolean(),
});

export const stateSchema = z.object({
  seed: z.number(),
  timeS: z.number(),
  unixMs: z.number(),
  powered: z.boolean(),
  boots: z.number(),
  lastBoot: z
    .object({ atMs: z.number(), cause: z.enum(RESET_CAUSES), error: z.string().nullable() })
    .nullable(),
  outputs: switches,
  ...probeFields('celsius', () => z.number()),
  roomC: z.number(),
  lid: z.string(),
  tray: z.object({
    onScale: z.boolean(),
    massG: z.number(),
    dryG: z.number(),
    capacityG: z.number(),
    dryBackShare: z.number(),
    waterG: z.number(),
    channelG: z.number(),
  }),
  plants: z.object({
    progress: z.number(),
    emergedShare: z.number(),
    leafCm2: z.number(),
    massG: z.number(),
    aliveCount: z.number(),
    deadShare: z.number(),
    wilted: z.boolean(),
    wiltedDays: z.number(),
    growthShare: z.number(),
    each: z.object({
      freshG: z.number(),
      takenMl: z.number(),
      takenSaltsMg: z.number(),
      saltsMgPerDryG: z.number(),
      waterMl: z.number(),
      saltsMg: z.number(),
    }),
  }),
  lightPpfd: z.number(),
  feed: z.object({ woolMs: z.number(), reservoirMs: z.number() }),
  scale: z.object({ loadG: z.number(), jugWaterG: z.number() }),
  pump: z.object({
    mlPerS: z.number(),
    ranS: z.number(),
    deliveredMl: z.number(),
    reservoirMl: z.number(),
    tubeMl: z.number(),
  }),
  lost: z.object({ evaporatedG: z.number(), drainedG: z.number(), spilledG: z.number() }),
  faults: z.array(z.object({ name: z.enum(FAULT_NAMES), leftS: z.number().nullable() })),
}) satisfies z.ZodType<BenchState>;

const replySchema = z.discriminatedUnion('ok', [
  z.object({ ok: z.literal(true), result: z.object({ speed: z.number(), state: stateSchema }) }),
  z.object({ ok: z.literal(false), why: z.string() }),
]);

/** A reply line, as whoever asked reads it. */
export function parseReply(line: string): Verdict<DoorResult> {
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    return decline('What answered there is no bench.');
  }
  const parsed = replySchema.safeParse(value);
  if (!parsed.success)
    return decline('What answered there is no bench, or one of another version.');
  return parsed.data.ok ? accept(parsed.data.result) : decline(parsed.data.why);
}
