/** Faults on demand: what can go wrong round a tray, by name, for a time or until called off. */
import type { ProbeName } from '../../shared/board/probes';
import type { Disturbance } from './plant/parameters';

/** Each fault and what it stands for, as told to whoever asks the bench for its list. */
export const FAULTS = {
  'probe-open': 'a wire of the root-zone probe is broken',
  'probe-short': 'the root-zone probe is shorted',
  'probe-stuck': 'the root-zone probe repeats its last reading',
  'probe-out': 'the root-zone probe has fallen out and hangs in the room',
  'mat-probe-open': 'a wire of the mat probe is broken',
  'mat-probe-stuck': 'the mat probe repeats its last reading',
  'mat-dead':
    'the mat gives no heat, though current comes to it: a box with a contactor whose own fuse has blown',
  'mat-lead-open': 'the lead of the mat is open: its plug is out, or its cut-out has opened',
  'mat-fuse-blown': 'the fuse of the mat, F2, has blown',
  'mat-stuck-on': 'both switches of the mat are welded: it heats whatever the board says',
  'mat-switch-welded':
    'the first switch of the mat is welded: it heats as long as it is asked for, whatever else its own switch is told',
  'tube-off': 'the tube lies beside the tray: the pump runs, the water goes elsewhere',
  'tube-worn': 'the pump gives half its flow',
  'reservoir-empty': 'the pump draws air',
  leak: 'the tray loses all water that runs freely; what wool holds stays',
  wick: 'a cloth hangs over the rim and draws the wool dry',
  siphon: 'water runs in with the pump off',
  'pump-stuck-on': 'both switches of the pump are welded: it runs whatever the board says',
  'scale-unplugged': 'the bridge converter is silent',
  'scale-saturated': 'a wire of the load cell is broken: the converter gives its end code',
  'scale-noisy': 'the scale trembles: a draught, a loose platform, a bad supply',
  'lid-open': 'the lid was left off',
  'tray-lifted': 'somebody holds the tray up',
  'mains-cut': 'no mains: board, mat and pump are dead',
  'board-hung': 'the firmware is not called any more',
  'link-noise': 'bytes on the link are flipped or lost',
} as const;

export type FaultName = keyof typeof FAULTS;
export const FAULT_NAMES = Object.keys(FAULTS) as readonly FaultName[];

/** Whether it moves anything from one second to the next; the others change a tray once, and then it goes its way. */
const MOVES: Readonly<Record<FaultName, boolean>> = {
  'probe-open': false,
  'probe-short': false,
  'probe-stuck': false,
  'probe-out': false,
  'mat-probe-open': false,
  'mat-probe-stuck': false,
  'mat-dead': false,
  'mat-lead-open': false,
  'mat-fuse-blown': false,
  'mat-stuck-on': false,
  'mat-switch-welded': false,
  'tube-off': false,
  'tube-worn': false,
  'reservoir-empty': false,
  leak: true,
  wick: true,
  siphon: true,
  'pump-stuck-on': true,
  'scale-unplugged': false,
  'scale-saturated': false,
  'scale-noisy': true,
  'lid-open': false,
  'tray-lifted': false,
  'mains-cut': false,
  'board-hung': true,
  'link-noise': false,
};
const MOVING = FAULT_NAMES.filter((name) => MOVES[name]);

/** Which of them are a probe's own, by what it reads then. */
export const PROBE_FAULTS: Partial<
  Readonly<Record<ProbeName, Partial<Readonly<Record<'open' | 'short' | 'stuck', FaultName>>>>>
> = {
  rootZone: { open: 'probe-open', short: 'probe-short', stuck: 'probe-stuck' },
  mat: { open: 'mat-probe-open', stuck: 'mat-probe-stuck' },
};

/** How strong each is; common practice for what a small leak or a siphon through 2 mm tube does. */
const LEAK_G_PER_S = 0.2;
/** A wide strip of capillary matting over the rim. */
const WICK_G_PER_S = 0.15;
const SIPHON_ML_PER_S = 0.15;
const WORN_FLOW_SHARE = 0.5;

/** Which faults are on, and until when. Times are the plant's, ms. */
export class Faults {
  /** What the plant feels of them. */
  readonly wrong: Disturbance = {
    matDead: false,
    matStuckOn: false,
    probeOut: false,
    lidOff: false,
    trayLifted: false,
    tubeOff: false,
    flowShare: 1,
    reservoirEmpty: false,
    siphonMlPerS: 0,
    leakGPerS: 0,
    wickGPerS: 0,
  };
  private readonly untilMs = new Map<FaultName, number>();
  /** On, and not felt for now. */
  private masked: FaultName | null = null;
  /** When the next one ends by itself; Infinity when none does. A step of time should end there. */
  nextEndMs = Number.POSITIVE_INFINITY;
  /** When one last began or ended. */
  changedMs = Number.NEGATIVE_INFINITY;

  /** Active faults in the order they were called up. */
  get active(): readonly FaultName[] {
    return [...this.untilMs.keys()];
  }

  /** All is well: asked a dozen times a second of simulated time. */
  get none(): boolean {
    return this.untilMs.size === 0;
  }

  /** None of those that are on moves anything from one second to the next. */
  get standStill(): boolean {
    return !MOVING.some((name) => this.has(name));
  }

  /** None of those that are on moves anything but what stands on the scale. */
  get onlyWaterMoves(): boolean {
    // A board that hangs is started by its watchdog, time and again.
    return !this.has('scale-noisy');
  }

  has(name: FaultName): boolean {
    return name !== this.masked && this.untilMs.has(name);
  }

  /** When a fault ends by itself, ms; Infinity when only by hand, NaN when it is not on. */
  endsMs(name: FaultName): number {
    return this.untilMs.get(name) ?? Number.NaN;
  }

  /** Calls a fault up or off at `nowMs`; it ends by itself after `forMs`. */
  set(name: FaultName, on: boolean, nowMs: number, forMs: number): void {
    if (on) this.untilMs.set(name, nowMs + forMs);
    else this.untilMs.delete(name);
    this.changedMs = nowMs;
    this.refresh();
  }

  /** Does `act`, for which no time passes, as if `name` were not on: it is none the less. */
  without<Result>(name: FaultName, act: () => Result): Result {
    this.mask(name);
    try {
      return act();
    } finally {
      this.mask(null);
    }
  }

  private mask(name: FaultName | null): void {
    this.masked = name;
    this.refresh();
  }

  /** Ends what is over. True when something changed. */
  expire(nowMs: number): boolean {
    if (nowMs < this.nextEndMs) return false;
    for (const [name, endMs] of this.untilMs) if (nowMs >= endMs) this.untilMs.delete(name);
    this.changedMs = nowMs;
    this.refresh();
    return true;
  }

  private refresh(): void {
    this.nextEndMs = Math.min(Number.POSITIVE_INFINITY, ...this.untilMs.values());
    const { wrong } = this;
    const unpowered = this.has('mains-cut');
    wrong.matDead =
      unpowered || this.has('mat-dead') || this.has('mat-lead-open') || this.has('mat-fuse-blown');
    wrong.matStuckOn = this.has('mat-stuck-on');
    wrong.probeOut = this.has('probe-out');
    wrong.lidOff = this.has('lid-open');
    wrong.trayLifted = this.has('tray-lifted');
    wrong.tubeOff = this.has('tube-off');
    wrong.flowShare = this.has('tube-worn') ? WORN_FLOW_SHARE : 1;
    wrong.reservoirEmpty = this.has('reservoir-empty');
    wrong.siphonMlPerS = this.has('siphon') ? SIPHON_ML_PER_S : 0;
    wrong.wickGPerS = this.has('wick') ? WICK_G_PER_S : 0;
    wrong.leakGPerS = this.has('leak') ? LEAK_G_PER_S : 0;
  }
}
