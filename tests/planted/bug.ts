/** A bug that is planted to see that a test finds it: what a grower is promised, and the line of code that makes it so. */
export interface PlantedBug {
  /** What the tray does, as a grower would say it. */
  readonly sentence: string;
  readonly file: string;
  /** A text that is in the file exactly once, and what stands in its place while the bug is planted. */
  readonly find: string;
  readonly replace: string;
  readonly foundBy: {
    readonly file: string;
    /** The test's own name or a part of it, as the test file has it. */
    readonly test: string;
  };
}

/** How often `text` has `part` in it. */
export function timesIn(text: string, part: string): number {
  return text.split(part).length - 1;
}
