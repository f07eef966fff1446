/** The program at a tray on the bench. */
import type { Grower } from '../simulation/grower';
import { runIn, worldAt } from './worlds';

/** Runs the program against a tray on the bench; returns its exit code and what it printed. */
export async function trayward(grower: Grower, ...argv: string[]) {
  return traywardAtTheTray(grower, {}, ...argv);
}

/** The same, with a person who does what the program asks: words it says, and what they then do. */
export async function traywardAtTheTray(
  grower: Grower,
  deeds: Readonly<Record<string, () => void>>,
  ...argv: string[]
) {
  return runIn(worldAt(grower, {}), argv, (text) => {
    for (const [words, deed] of Object.entries(deeds)) if (text.includes(words)) deed();
  });
}
