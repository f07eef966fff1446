/** First word of the frozen realm's part of flash: what the build wants, and what `realm.c` made of it. */
export const REALM_STATE = {
  wanted: 0x41574c52,
  frozen: 0x465a4c52,
  /** The script threw. */
  failed: 0x41464c52,
  hasRegexp: 0x45524c52,
} as const;
