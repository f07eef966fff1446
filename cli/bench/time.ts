/**
 * Time as a command on a bench must see it. A bench's day passes at its own pace: its controller's
 * clock is set to the room's time, and what a command waits for is waited in the bench's time.
 */
import type { RunningBench } from '../../shared/host/benches';

export interface CommandTime {
  /** Time of day at `port`, Unix ms: the room's on a bench, the laptop's elsewhere. */
  nowAt(port: string): Promise<number>;
  /** Waits; on a bench whose time stands still, lets so much of it pass. */
  sleep(ms: number): Promise<void>;
  /** Monotonic time as the controller lives it, ms: what was waited on a bench counts in full. */
  elapsedMs(): number;
}

/** Serial ports of real boards: no bench is ever looked for behind them. */
const REAL_PORT = /^(\/dev\/tty(ACM|USB|AMA)|COM\d)/;

const wait = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

export function createTime(now: () => number): CommandTime {
  let bench: RunningBench | null = null;
  /** How far the bench's time has run ahead of ours, ms. */
  let aheadMs = 0;

  async function ask(request: { do: 'state' } | { do: 'run'; forS: number }) {
    if (bench === null) return null;
    const { askBench } = await import('../../firmware/bench/server/ask');
    try {
      const answer = await askBench(bench.door, request);
      return answer.ok ? answer.value : null;
    } catch {
      // The bench has gone: the command finds that out at its own next question.
      return null;
    }
  }

  return {
    async nowAt(port) {
      if (REAL_PORT.test(port)) return now();
      const { isReachedAt, runningBenches } = await import('../../shared/host/benches');
      bench = runningBenches().find((one) => isReachedAt(one, port)) ?? null;
      return (await ask({ do: 'state' }))?.state.unixMs ?? now();
    },
    async sleep(ms) {
      const told = await ask({ do: 'state' });
      if (told === null || told.speed === 1) return wait(ms);
      aheadMs += ms;
      if (told.speed > 0) return wait(ms / told.speed);
      await ask({ do: 'run', forS: ms / 1000 });
    },
    elapsedMs: () => performance.now() + aheadMs,
  };
}
