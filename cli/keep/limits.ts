/** Times and counts of the keeper, each with its reason. */
import { HOUR_MS, MINUTE_MS, SECOND_MS } from '../../shared/units/time';

/** How the trays are looked after. */
export const WATCH_LIMITS = {
  /** Between two looks at a tray: a high alarm is told within seconds, and 50 trays are 5 questions a second. */
  lookEveryMs: 10 * SECOND_MS,
  /** A round does not wait longer for a tray that answers slowly: the others must not wait for it. */
  lookMostMs: 5 * SECOND_MS,
  /** Nobody knows how a tray stands whose last answer is so old. */
  staleMs: MINUTE_MS,
  /** A tray unheard for so long is an alarm of its own: three of its readings would have come. */
  unheardMs: 15 * MINUTE_MS,
  /** Between tries to reach a port, growing: as quick as a board starts, in the end seldom. */
  retryMs: [250, 2 * SECOND_MS, 10 * SECOND_MS, 30 * SECOND_MS] as readonly number[],
  /** A controller's clock is set when it is off by more: each setting costs a journal entry. */
  clockOffMs: 10 * SECOND_MS,
  clockEveryMs: HOUR_MS,
  /** This computer's time has been set when it and its steady clock part by more. */
  jumpMs: 30 * SECOND_MS,
  /** What a journal tells of causes is reckoned anew so often while it holds nothing new but readings. */
  detailMs: 30 * MINUTE_MS,
  /** Entries kept in memory of a tray: a week, which a forecast wants. */
  entries: 2_500,
} as const;

/** When messages are due. */
export const MESSAGE_LIMITS = {
  /** An urgent one that nobody has seen is told again after these; the last of them goes on. */
  repeatMs: [30 * MINUTE_MS, HOUR_MS, 2 * HOUR_MS, 4 * HOUR_MS] as readonly number[],
  /** It is over when it has been so for this long; what comes and goes has to be over longer each time. */
  overMs: 5 * MINUTE_MS,
  overGrows: 3,
  overMostMs: 2 * HOUR_MS,
  /** Further off by so much than was told is worse, K; not told more often than this. */
  worseK: 2,
  worseEveryMs: 30 * MINUTE_MS,
  /** What was over for so long begins anew when it comes again. */
  forgetMs: 12 * HOUR_MS,
  /** A door that has failed for so long is told of by the others. */
  doorFailingMs: 15 * MINUTE_MS,
  /** Behind the hour of the morning line by more than this, it waits for the next day. */
  morningLateMs: 12 * HOUR_MS,
  dayMs: 24 * HOUR_MS,
  /** A raise in the journal belongs to what was told when their times agree so well. */
  sameRaiseMs: 2 * MINUTE_MS,
} as const;

/** How messages leave. */
export const DOOR_LIMITS = {
  /** A server that does not answer for so long will not. */
  sendMostMs: 30 * SECOND_MS,
  /** A refused message waits this long, doubled with each refusal: greylisting asks for some minutes. */
  againMs: 30 * SECOND_MS,
  againMostMs: 30 * MINUTE_MS,
  /** So much of what a server says is quoted. */
  quoteChars: 200,
  /** Sent so long after it was written, a message says so. */
  lateMs: 10 * MINUTE_MS,
  heartbeatLeastMs: MINUTE_MS,
  heartbeatMostMs: 24 * HOUR_MS,
  heartbeatMs: 5 * MINUTE_MS,
} as const;

/** The outbox on disk. */
export const OUTBOX_LIMITS = {
  /** The file is written anew, shorter, when it has grown to so much. */
  rewriteBytes: 262_144,
  /** More messages than a network that is dead for a month leaves behind. */
  pendingMost: 10_000,
} as const;

/** Of a keeper's file. */
export const FILE_LIMITS = {
  fileBytes: 262_144,
  secretBytes: 4_096,
  /** A room with more trays wants a second computer: ports and people get confused before programs do. */
  traysMost: 200,
  doorsMost: 20,
  tellsMost: 100,
  nameChars: 40,
} as const;

/** What open doors tell, and how much of it they keep. */
export const OPEN_LIMITS = {
  /** Between tries to reach a broker, growing: a broker that restarts is there again in seconds. */
  retryMs: [5 * SECOND_MS, 15 * SECOND_MS, 30 * SECOND_MS, MINUTE_MS] as readonly number[],
  /** A broker takes a node for gone that it has not heard for one and a half of these. */
  keepAliveS: 30,
  /** What was published so lately before a line broke may not have arrived: one and a half times the above, and a round. */
  inFlightMs: MINUTE_MS,
  /** A birth is back within a second; three rounds are ample. */
  echoMs: 30 * SECOND_MS,
  /** Births that are waited for at once: a host that asks for more gets them, and they are not looked for. */
  echoesMost: 20,
  /** Values kept while nobody takes them: eight trays for two days, 10 MB of memory. */
  historyValues: 60_000,
  /** Values in one message: 20 kB, which any broker takes. */
  messageValues: 500,
  /** A host's message is a name and a value or two. */
  commandBytes: 65_536,
  commandMetrics: 100,
  /** Orders that wait for their trays; a host that sends more is not heard. */
  ordersMost: 100,
  /** Next doses are reckoned anew so seldom, and so many in a round: two hundred trays come round in a quarter of an hour. */
  forecastEveryMs: 30 * MINUTE_MS,
  forecastsAtOnce: 2,
  /** Of group, node and host: a topic travels with each message. */
  topicPartChars: 60,
} as const;
