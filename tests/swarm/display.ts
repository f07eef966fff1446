/**
 * What the board shows, taken where its answers are made: without the link's line and text, which are most of the work of
 * a reading. Runs with every tick read it over the link, as a grower does.
 */
import type { Bench } from '../../firmware/bench/bench';
import type { Board } from '../../firmware/board';
import type { Controller } from '../../firmware/controller';
import { alarmReports } from '../../firmware/handlers/alarms';
import { status } from '../../firmware/handlers/status';
import { controllerOf } from '../../firmware/main';
import { Ticker } from '../../firmware/tick/ticker';
import type { AlarmReport, Status } from '../../shared/link/status';

/** As much of a status as the witness looks at. */
export interface Shown {
  readonly stage: { readonly index: number } | null;
  readonly alarms: readonly AlarmReport[];
}

export class Display {
  #ticker: Ticker | null = null;

  /** The firmware for the bench at a start of the board: the same, and its answers can be seen. */
  readonly firmware = (board: Board): Controller => {
    this.#ticker = new Ticker(board);
    return controllerOf(this.#ticker);
  };

  /** Null when nobody would answer. */
  shown(bench: Bench): Shown | null {
    const ticker = this.#answering(bench);
    if (ticker === null) return null;
    const { tray } = ticker;
    const stage = tray.stage === null ? null : { index: tray.run.progress.stage };
    return { stage, alarms: alarmReports(tray) };
  }

  status(bench: Bench): Status | null {
    const ticker = this.#answering(bench);
    return ticker && status(ticker);
  }

  #answering(bench: Bench): Ticker | null {
    return bench.answers ? this.#ticker : null;
  }
}
