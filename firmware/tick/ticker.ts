/** One control tick: sense, pass time, guard, water, heat, tell, write down - in this order. */
import type { Board } from '../board';
import { BOOT_END_LIMITS } from '../limits';
import { openTray } from '../tray/open';
import type { Tray } from '../tray/tray';
import { DoseCharges } from './dose-charges';
import { DoseProofs } from './dose-proofs';
import { Draining } from './draining';
import { FeedStore } from './feed-store';
import { Guard } from './guard';
import { Heating } from './heating';
import { KeptWeights } from './kept-weights';
import { Recorder } from './recorder';
import { Senses } from './senses';
import { Staging } from './staging';
import { Watering } from './watering';
import { Weights } from './weights';

/** Sounder: on for one tick in so many. */
const SOUND_EVERY = 3;
/** Lamp while all is well: on for one tick in so many. */
const HEARTBEAT_EVERY = 5;

/** Moves one tray on, tick by tick. Its parts are what the handlers answer the grower from. */
export class Ticker {
  readonly tray: Tray;
  readonly weights: Weights;
  readonly senses: Senses;
  readonly feed: FeedStore;
  readonly watering: Watering;
  readonly staging: Staging;
  readonly heating: Heating;
  readonly guard: Guard;
  readonly recorder: Recorder;
  #ticks = 0;
  /** Uptime, ms: until then the sounder is tried by hand. */
  #soundUntilMs = 0;
  /** How this boot ends, at the first tick from that uptime on, ms; nothing is switched until then. Null: it goes on. */
  #end: { readonly by: 'restart' | 'boot-drive'; readonly fromMs: number } | null = null;

  /** Opens the tray from the flash of `board`; here each part of the run state gets its one owner. */
  constructor(board: Board) {
    const { tray, state } = openTray(board);
    this.tray = tray;
    const kept = new KeptWeights(tray, state.weights);
    this.weights = new Weights(tray, kept, new Draining(tray, state.watered));
    this.senses = new Senses(tray, this.weights);
    this.feed = new FeedStore(tray, state.reservoir);
    const charges = new DoseCharges(tray, state.account, state.dosing);
    this.watering = new Watering(tray, charges, new DoseProofs(tray, state.proofs), this.feed);
    this.staging = new Staging(tray, state.progress, this.watering);
    this.heating = new Heating(tray);
    this.guard = new Guard(this);
    this.recorder = new Recorder(tray, this.senses);
  }

  /** One tick. Time is the board's: a late or missing tick only makes the step longer. */
  tick(): void {
    const { tray, senses, watering, heating } = this;
    if (this.#end !== null) {
      const { by, fromMs } = this.#end;
      if (tray.board.clockMs() < fromMs) return;
      if (by === 'restart') tray.board.restart();
      else tray.board.enterBootDrive();
      return;
    }
    const dtMs = tray.beginTick(tray.board.clockMs());
    this.#ticks++;
    senses.take(watering.expectedRiseG, dtMs);
    watering.charges.pass(dtMs);
    this.staging.pass(dtMs, 'run-time');
    this.guard.tick();
    watering.tick(senses, dtMs);
    heating.tick(senses);
    this.#tell();
    this.recorder.tick(dtMs);
  }

  /** Switches all off, and the board starts again when the answer has left. */
  restartSoon(): void {
    this.#endBoot('restart');
  }

  /** Sounds for so long, from the next tick on. */
  sound(ms: number): void {
    this.#soundUntilMs = this.tray.uptimeMs + ms;
  }

  /** Switches all off, and goes into the boot drive when the answer has left. The run state stays as it is now. */
  leaveForBootDrive(): void {
    this.#endBoot('boot-drive');
  }

  /** Whether this boot is at its end: nothing that is changed now would be what the next one goes by. */
  get isEnding(): boolean {
    return this.#end !== null;
  }

  #endBoot(by: 'restart' | 'boot-drive'): void {
    const { board } = this.tray;
    board.leaseMat(0);
    board.leasePump(0);
    board.setSounder(false);
    this.#end = { by, fromMs: board.clockMs() + BOOT_END_LIMITS.answeredMs };
  }

  /** Lamp: a short blink now and then - all well; steady blinking - an alarm nobody has accepted. */
  #tell(): void {
    const { alarms, board, uptimeMs } = this.tray;
    const asks = alarms.unaccepted;
    board.setLamp(asks ? this.#ticks % 2 === 0 : this.#ticks % HEARTBEAT_EVERY === 0);
    const sounds = alarms.sounding && this.#ticks % SOUND_EVERY === 0;
    board.setSounder(sounds || uptimeMs <= this.#soundUntilMs);
  }
}
