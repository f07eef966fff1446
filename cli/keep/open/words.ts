/** Words for how an open door does. */

/** `up`: births stand. `waiting`: for the host. `taken-over`: another one has the node; this one stays out. */
export const SPARKPLUG_WORDS = ['up', 'waiting', 'down', 'taken-over'] as const;
export type SparkplugWord = (typeof SPARKPLUG_WORDS)[number];
