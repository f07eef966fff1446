/** Waiting times and counts of the laptop's end of the link. */

export interface LinkTiming {
  /** To open a port. */
  readonly openMs: number;
  /** Without any sound line, before what was asked counts as unanswered. */
  readonly replyMs: number;
  /** Times a request is sent when nothing comes back. */
  readonly silentAttempts: number;
  /** Times it is sent when what comes back is damaged: that is noticed at once, so more of them. */
  readonly damagedAttempts: number;
  /** For a line that was cut to come back, and between two tries to open it. */
  readonly reopenMs: number;
  readonly reopenEveryMs: number;
  /** Pause between two calls after which the board is first asked whether it is still in the same boot. */
  readonly quietMs: number;
}

/** A full journal page takes 0.4 s over UART0, and a flash erase 0.4 s at worst (data sheet). */
export const LINK_TIMING: LinkTiming = {
  openMs: 3_000,
  replyMs: 1_500,
  silentAttempts: 3,
  damagedAttempts: 8,
  // A board that restarts needs about 2 s until the laptop's system shows its USB port again.
  reopenMs: 5_000,
  reopenEveryMs: 250,
  // No board restarts faster, and one question more costs a millisecond over USB.
  quietMs: 20,
};

/** Bounds of `scaledTiming`: below, no board answers in time; above, nobody waits for the verdict. */
export const TIMEOUT_FACTOR = { min: 0.05, max: 20 } as const;

/** The same with all waiting times multiplied, for a radio or a busy serial server on the way. */
export function scaledTiming(timing: LinkTiming, times: number): LinkTiming {
  const { openMs, replyMs, reopenMs } = timing;
  return {
    ...timing,
    openMs: openMs * times,
    replyMs: replyMs * times,
    reopenMs: reopenMs * times,
  };
}

/** For asking a port whether a controller is there: a board in service answers in milliseconds. */
export const PROBE_TIMING: LinkTiming = {
  ...LINK_TIMING,
  openMs: 1_500,
  replyMs: 500,
  silentAttempts: 2,
};

/** Ports asked at one time, and in all: a rack of serial servers is not a propagation room. */
export const PROBE_PORTS_AT_ONCE = 8;
export const PROBE_PORTS_MAX = 32;

/** Calls in flight while much is read: hides the line's delay, and is few enough for any buffer. */
export const CALL_WINDOW = 4;
