/** Keys of the settings log, beside those of the probes' calibrations and curves (`shared/board/probes.ts`). A key is never given another meaning. */
export const SETTING = {
  boot: 1,
  run: 2,
  scale: 3,
  pump: 4,
  alarms: 7,
} as const;
