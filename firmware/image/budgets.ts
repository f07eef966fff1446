/** What the image may take of what the board has. How long its script is costs nothing by itself. */
export const IMAGE_BUDGETS = {
  /**
   * Less than its part of the flash, which the linker holds it to: 40 KB stay for what cannot wait until room is made. It
   * took 974 KB when this was last looked at, 376 of them the frozen realm's part, of which some is free.
   */
  imageBytes: 984 * 1024,
  /**
   * Of the engine's arena never handed out: the collector thrashes in a heap that is nearly full, and a
   * heap that is full ends the run.
   */
  arenaNeverTakenBytes: 48 * 1024,
  /** From reset to the end of the first tick, and longest tick, as if all of flash were in its cache. */
  firstTickMs: 600,
  tickMs: 50,
  /**
   * The same with the cache's misses, which is what silicon takes, and a full page of the journal: the doors wait
   * meanwhile. Where the code lies, and so what shares a set of the cache, moves them by a twentieth.
   */
  withMisses: { firstTickMs: 1300, tickMs: 200, pageMs: 250 },
} as const;
