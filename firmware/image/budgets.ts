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
  /** Longest tick: the doors wait meanwhile, and real flash, whose cache misses, makes it several times as long. */
  tickMs: 50,
} as const;
