/** What the image may take of what the board has. How long its script is costs nothing by itself. */
import { FLASH_MAP } from '../../shared/board/map';

export const IMAGE_BUDGETS = {
  /** Its part of the flash. */
  imageBytes: FLASH_MAP.image.bytes,
  /**
   * Of the engine's arena never handed out: the collector thrashes in a heap that is nearly full, and a
   * heap that is full ends the run.
   */
  arenaNeverTakenBytes: 48 * 1024,
  /** From reset to the end of the first tick, and longest tick, as if all of flash were in its cache. */
  firstTickMs: 1500,
  tickMs: 50,
  /**
   * The same with the cache's misses, which is what silicon takes, and a full page of the journal: the doors wait
   * meanwhile. Where the code lies, and so what shares a set of the cache, moves them by a twentieth.
   */
  withMisses: { firstTickMs: 2200, tickMs: 200, pageMs: 250 },
} as const;
