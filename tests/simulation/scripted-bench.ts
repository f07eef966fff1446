/** The bench with a few lines of the test in place of the firmware. */
import { type Bench, createBench } from '../../firmware/bench/bench';
import type { Board } from '../../firmware/board';
import type { Controller } from '../../firmware/controller';

/** A bench whose firmware does only what the test says at each tick. */
export function benchWith(tick: (board: Board) => void, receive?: Controller['receive']): Bench {
  return createBench({
    seed: 11,
    firmware: (board) => ({
      tick: () => tick(board),
      rest: () => {},
      receive: (door, bytes) => receive?.(door, bytes),
    }),
  });
}

export const matOn = (bench: Bench): boolean => bench.state().outputs.mat;
