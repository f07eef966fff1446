/** A board to check, and somebody whose hands do what `board check` asks of them. */
import { EVERY_TICK, Grower } from '../simulation/grower';
import { doing } from './program';
import { runIn, type Said, worldAt } from './worlds';

/** What hands do when they are asked, by a word of what is asked. */
export type Hands = Readonly<Record<string, (grower: Grower) => void>>;
export const HANDS: Hands = {
  'bead of the root-zone probe in your closed hand': ({ bench }) =>
    bench.hand.holdProbe('rootZone', 33, 120_000),
  'bead of the mat probe in your closed hand': ({ bench }) =>
    bench.hand.holdProbe('mat', 33, 120_000),
  'into stirred, crushed ice': ({ bench }) => bench.hand.holdProbe('rootZone', 0, 300_000),
  'Put the known weight': ({ bench }) => bench.hand.putWeight(2000),
  'Take the weight off': ({ bench }) => bench.hand.takeWeight(),
  'Put a jug on the scale': ({ bench }) => bench.hand.putJug(),
};

/** A bead in the hand for a minute. */
export const held =
  (name: 'rootZone' | 'mat') =>
  ({ bench }: Grower): void =>
    bench.hand.holdProbe(name, 33, 60_000);

export const newBoard = (seed = 5): Grower => {
  const grower = new Grower({ seed, room: { meanC: 20 }, ...EVERY_TICK });
  grower.bench.run(60_000);
  return grower;
};

/** Checks the board of `grower`, whose hands do as they are asked. */
export function checked(
  grower: Grower,
  words: readonly string[],
  hands: Hands = HANDS,
): Promise<Said> {
  const deeds = Object.entries(hands).map(([asked, does]) => [asked, () => does(grower)]);
  const hear = doing(Object.fromEntries(deeds));
  return runIn(worldAt(grower, {}), ['--json', 'board', 'check', ...words], hear);
}

/** All that the steps need, and every leave. */
export const ALL = ['--yes', '--ice', '--weight', '2kg', '--cell', '10kg'];
