/**
 * Looks at the terminals of the board while a bench runs: when mat and pump are really switched, and
 * what the board said of itself at that moment. Believes no account.
 */

import { ALARMS } from '../../shared/alarms/catalogue';
import type { Status } from '../../shared/link/status';
import { DAY_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';

/** The mat is switched no more often than once a minute: that spares a relay, and nothing in a tray is faster. */
const MIN_SWITCHING_MS = 60_000;

interface Pumped {
  /** Run time of the board over all its boots, ms. */
  readonly runMs: number;
  readonly ml: number;
  /** One entry into a stage: stages go forward only, but for a new sowing. */
  readonly entry: string;
  readonly kind: string;
  /** What the pump was believed to give then, as a share of its calibration. */
  readonly pumpShare: number;
}

/** What the pump gave in one entry into a stage. */
interface StageWater {
  readonly kind: string;
  readonly ml: number;
  /** The least that the pump was believed to give meanwhile, as a share of its calibration. */
  readonly leastPumpShare: number;
}

interface Switching {
  readonly boot: number;
  readonly atMs: number;
  readonly on: boolean;
  readonly status: Status;
}

export class Witness {
  readonly pumped: Pumped[] = [];
  readonly switchings: Switching[] = [];
  /** Alarms that stood while the mat was on. */
  readonly matOnAgainstAlarm: string[] = [];
  #runMs = 0;
  #matOn = false;
  #status: Status | null = null;
  #sowings = 0;

  constructor(readonly grower: Grower) {
    this.#watchPump();
    this.#watchMat();
  }

  /** Runs on, looking at the alarms once a minute. */
  readonly run = (ms: number): void => {
    const { bench } = this.grower;
    for (let leftMs = ms; leftMs > 0; leftMs -= MINUTE_MS) {
      bench.run(Math.min(leftMs, MINUTE_MS));
      const { powered, outputs } = bench.state();
      if (powered) this.#runMs += Math.min(leftMs, MINUTE_MS);
      // Asking costs more than the minute itself.
      if (!outputs.mat) continue;
      for (const { alarm, state } of this.#ask()?.alarms ?? []) {
        if (ALARMS[alarm].dropsMat && state !== 'returned') this.matOnAgainstAlarm.push(alarm);
      }
    }
  };

  /** The grower is about to mark the tray sown: its stages begin anew. */
  sowing(): void {
    this.#sowings++;
  }

  /** The most the pump gave in any 24 h of run time, ml. */
  mostInDayMl(): number {
    let most = 0;
    let sum = 0;
    let oldest = 0;
    for (const { runMs, ml } of this.pumped) {
      sum += ml;
      for (; (this.pumped[oldest]?.runMs ?? runMs) < runMs - DAY_MS; oldest++) {
        sum -= this.pumped[oldest]?.ml ?? 0;
      }
      most = Math.max(most, sum);
    }
    return most;
  }

  /** What the pump gave in each entry into a stage. */
  stages(): StageWater[] {
    const byEntry = new Map<string, StageWater>();
    for (const { entry, kind, ml, pumpShare } of this.pumped) {
      const before = byEntry.get(entry);
      byEntry.set(entry, {
        kind: before?.kind ?? kind,
        ml: (before?.ml ?? 0) + ml,
        leastPumpShare: Math.min(before?.leastPumpShare ?? pumpShare, pumpShare),
      });
    }
    return [...byEntry.values()];
  }

  /** Switchings that no rule explains: inside the band, or too soon after the one before. */
  dithering(): string[] {
    return this.switchings.flatMap(({ boot, atMs, on, status }, i) => {
      const { rootZoneC, lowC, highC, heldBy } = status.heat;
      if (!on && (heldBy !== null || status.stage === null)) return [];
      const before = this.switchings[i - 1];
      const forMs = before?.boot === boot ? atMs - before.atMs : Number.POSITIVE_INFINITY;
      const soon = forMs < MIN_SWITCHING_MS ? [`${on ? 'on' : 'off'} after ${forMs} ms`] : [];
      // What the link tells is rounded to hundredths.
      const c = rootZoneC ?? Number.NaN;
      const outside = on ? c <= (lowC ?? Number.NaN) + 0.01 : c >= (highC ?? Number.NaN) - 0.01;
      return outside ? soon : [...soon, `${on ? 'on' : 'off'} at ${c} C in ${lowC}..${highC} C`];
    });
  }

  #watchPump(): void {
    const { board, rig } = this.grower.bench;
    const { mlPerS } = rig.plant.parameters.pump;
    const spend = board.spendPumpMs.bind(board);
    board.spendPumpMs = (stepMs) => {
      const onMs = spend(stepMs);
      if (onMs > 0) {
        this.#ask();
        const { index, kind } = this.#status?.stage ?? { index: 0, kind: 'none' };
        const entry = `${this.#sowings}:${index}`;
        const pumpShare = this.#status?.water.pumpShare ?? 1;
        const ml = (onMs / 1000) * mlPerS;
        this.pumped.push({ runMs: this.#runMs, ml, entry, kind, pumpShare });
      }
      return onMs;
    };
  }

  #watchMat(): void {
    const { bench } = this.grower;
    const { board } = bench;
    const lease = board.leaseMat.bind(board);
    const off = board.outputsOff.bind(board);
    board.leaseMat = (ms) => {
      const on = ms > 0;
      if (on !== this.#matOn) {
        const status = this.#ask();
        if (status !== null) {
          this.switchings.push({ boot: bench.boots.length, atMs: bench.nowMs, on, status });
        }
        this.#matOn = on;
      }
      lease(ms);
    };
    board.outputsOff = () => {
      this.#matOn = false;
      off();
    };
  }

  /** Status now, or null when nobody answers. */
  #ask(): Status | null {
    try {
      const status = this.grower.status();
      this.#status = status;
      return status;
    } catch {
      return null;
    }
  }
}
