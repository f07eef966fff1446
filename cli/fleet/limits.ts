/** Times and counts of a fleet, each with its reason. */
import { DAY_MS, MINUTE_MS, SECOND_MS } from '../../shared/units/time';

/** What a keeper sends. */
export const SEND_LIMITS = {
  /** Entries of one message: 8 KB, a day of readings, so that a week's arrears leave in eight. */
  batchEntries: 288,
  /** Trays with a message on its way: hides the line's delay; each tray has one at most, so that its cursor only grows. */
  traysOnTheWay: 32,
  /** A broker that does not acknowledge for so long will not. */
  ackMostMs: 30 * SECOND_MS,
  /** Between tries to reach a broker, growing. */
  retryMs: [SECOND_MS, 2 * SECOND_MS, 5 * SECOND_MS, 30 * SECOND_MS] as readonly number[],
  /** Looked so often whether somebody collects. */
  nobodyMs: 2 * SECOND_MS,
  /** How far each journal goes is told this often, for what a broker has forgotten. */
  endsEveryMs: MINUTE_MS,
  /** Looked back so many entries for the clock of a boot: a keeper sets it as it connects, and hours later again. */
  clockBackEntries: 512,
  /** Questions that wait for an answer: one for each life of each tray of the largest room, and some. */
  asksMost: 1_000,
} as const;

/** What is sent, at most: more is no message of ours. */
export const WIRE_LIMITS = {
  messageBytes: 1_048_576,
  headBytes: 1_024,
  /** A room has 200 trays, each with a life or two. */
  endsMost: 2_000,
  nameChars: 40,
} as const;

/** What a collector takes at a time. */
export const COLLECT_LIMITS = {
  /** Messages that a broker may send ahead of their acknowledgement: a commit's worth, and one to go on with. */
  aheadMost: 4_000,
  /** Messages and entries of one commit: so many that it costs little, so few that no alarm waits for them for long. */
  commitMessages: 1_000,
  commitEntries: 2_500,
  /** A broker takes a collector for gone that it has not heard for one and a half of these. */
  keepAliveS: 30,
  /** A broker or database that does not answer for so long will not. */
  answerMostMs: 20 * SECOND_MS,
  /** For so long a broker keeps what a collector that is gone has not acknowledged. */
  sessionS: 3_600,
  /** Between tries to reach a database or broker again, growing. */
  retryMs: [500, SECOND_MS, 2 * SECOND_MS, 5 * SECOND_MS, 30 * SECOND_MS] as readonly number[],
  /** A session that was open for so long has been well: the next pause is short again. */
  wellMs: MINUTE_MS,
  /** Looked for gaps so often. */
  gapsEveryMs: 2 * SECOND_MS,
  /** Gaps asked for at a time: what comes of them fits into the memory of a broker. */
  asksMost: 200,
} as const;

/** What lies in the database. */
export const SHELF_LIMITS = {
  /** Entries of a tray that lie in one partition: a week of readings. */
  blockEntries: 2_048,
  /** Blocks whose partition a collector remembers: those of all trays of a large fleet, and of the arrears of some. */
  rememberedMost: 200_000,
  /** Entries dated further back, or ahead, than these lie where they arrived: a wrong clock makes no partitions. */
  oldestMs: 400 * DAY_MS,
  aheadMs: DAY_MS,
} as const;

/** Of a fleet's file. */
export const FLEET_FILE_LIMITS = { fileBytes: 65_536 } as const;

/** A tray that no entry of came for so long is told as silent: three of its readings would have. */
export const SILENT_MS = 15 * MINUTE_MS;
