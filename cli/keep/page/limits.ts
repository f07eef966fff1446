/** Times, sizes and counts of the page, each with its reason. */
import { DAY_MS, MINUTE_MS, SECOND_MS } from '../../../shared/units/time';

export const PAGE_LIMITS = {
  /** What the line of a tray draws: a day has its night, its lamps and its doses. */
  plotMs: DAY_MS,
  /** So often what is shown is compared with what was. */
  newsEveryMs: SECOND_MS,
  /** A page that hears nothing for so long says that it is not connected: three signs of life. */
  beatEveryMs: 10 * SECOND_MS,
  silentMs: 35 * SECOND_MS,
  /** After figures of a tray were reckoned, so many times as long nothing is: a fifth of a small computer at most. */
  restTimes: 4,
  /** Pages that are open at a time: a household with all its screens; each costs some memory. */
  openMost: 40,
  /** A form of the page is some hundred bytes. */
  bodyBytes: 4_096,
  /** Acts that are remembered, so that one sent twice over a bad line happens once. */
  actsKept: 200,
  /** A controller that does not answer an act for so long will not. */
  actMostMs: 20 * SECOND_MS,
  /** The page's port taken by another program is tried again. */
  listenAgainMs: MINUTE_MS,
} as const;

/** Who may look, and act. */
export const TOKEN_LIMITS = {
  /** Of 64 signs each: nobody guesses them, and they can still be typed once. */
  leastChars: 16,
  /** Wrong tokens from one address before it has to wait, and how long it then waits for each further try. */
  ofOneMost: 5,
  ofOneEveryMs: MINUTE_MS,
  /** The same for all addresses together: who has many of them gets no further. */
  ofAllMost: 30,
  ofAllEveryMs: MINUTE_MS,
  /** Addresses that are remembered. */
  addressesMost: 1_000,
  /** A phone stays signed in for a season. */
  sessionMs: 90 * DAY_MS,
} as const;
