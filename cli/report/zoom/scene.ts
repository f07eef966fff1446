/** What the page draws and reads out, of one season, of two or of many rehearsals: whoever zooms knows no more of it. */
import type { Markup } from '../html';
import type { View } from '../plot/axes';
import type { Stretch } from '../plot/model';

export interface Scene {
  /** All there is, in minutes of its axis. */
  readonly whole: Stretch;
  /** When its minute 0 was, Unix ms; null: seasons have none in common, or nobody told. */
  readonly fromUnixMs: number | null;
  /** What the page's fifth button shows. */
  readonly part: Stretch;
  draw(view: View): Markup;
  /** What is shown, in words. */
  spanText(shown: Stretch): string;
  /** What was read at a minute. */
  readText(minute: number): string;
}
