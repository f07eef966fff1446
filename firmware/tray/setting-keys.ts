/** Keys of the settings log. A key is never given another meaning. */
export const SETTING = {
  boot: 1,
  run: 2,
  scale: 3,
  pump: 4,
  probe: 5,
  matProbe: 6,
} as const;
