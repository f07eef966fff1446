/**
 * One fault on a calm tray: what the guard says of it and when, what it holds off meanwhile, and what comes back after
 * the fault is mended and the grower has done what the advice says.
 */
import { Bench } from '../../firmware/bench/bench';
import type { FaultName } from '../../firmware/bench/faults';
import { CALM_TICK_MS } from '../../firmware/bench/pace';
import { trayOf } from '../../firmware/bench/tray-of';
import type { AlarmName } from '../../shared/alarms/catalogue';
import { HELD_REASONS } from '../../shared/link/held';
import type { Status } from '../../shared/link/status';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { profileWith } from '../simulation/scenes';
import { SwarmGrower, type Watcher } from '../swarm/grower';

/** The tray is watered by then, and has shown how fast it dries. */
const CALM_MS = 26 * HOUR_MS;
const FAULT_MS = 24 * HOUR_MS;
/** Somebody comes by so soon after it is mended, and then every two hours. */
const MENDED_MS = 24 * HOUR_MS;
const FIRST_ROUND_MS = 10 * MINUTE_MS;
const ROUND_MS = 2 * HOUR_MS;
const LOOK_MS = 10 * MINUTE_MS;
/** Held off for longer than a hand is at the tray. */
const HELD_LOOKS = 3;
/** As warm as this below the band is warm: a probe is true to no more. */
const WARM_K = 0.7;

/** Watered by weight under a propped lid: in a room so warm that the mat rests, and where it has work. Or germinating. */
export const SCENES = {
  warm: { roomC: 24, skipStages: 1 },
  cool: { roomC: 17, skipStages: 1 },
  'closed lid': { roomC: 22, skipStages: 0 },
} as const;
export type SceneName = keyof typeof SCENES;

export interface Told {
  readonly alarm: AlarmName;
  /** After the fault began, ms. */
  readonly afterMs: number;
}

/** Faults whose signs hang on whether the mat has work: these are tried in the cool room too. */
const FELT_BY_HEAT: readonly FaultName[] = [
  'probe-open',
  'probe-short',
  'probe-stuck',
  'probe-out',
  'mat-probe-open',
  'mat-probe-stuck',
  'mat-dead',
  'mat-lead-open',
  'mat-fuse-blown',
  'mat-stuck-on',
  'mat-switch-welded',
  'pump-stuck-on',
  'wick',
  'lid-open',
  'tray-lifted',
  'mains-cut',
];
/** And on how little a tray under a closed lid dries. */
const FELT_BY_DRYING: readonly FaultName[] = ['leak', 'wick', 'siphon', 'lid-open'];

/** Where a fault is tried. */
export function scenesOf(fault: FaultName | null): readonly SceneName[] {
  if (fault === null) return ['warm', 'cool', 'closed lid'];
  // A day of a watchdog that bites every ten seconds is long.
  if (fault === 'board-hung') return ['cool'];
  return [
    'warm',
    ...(FELT_BY_HEAT.includes(fault) ? (['cool'] as const) : []),
    ...(FELT_BY_DRYING.includes(fault) ? (['closed lid'] as const) : []),
  ];
}

/** ms; `not-needed`: heat was there all the time, no water was due. `late`: not within the time that was looked. */
export type Back = number | 'not-needed' | 'late';

export interface GuardRow {
  readonly fault: FaultName | null;
  readonly scene: SceneName;
  /** In the order in which they were first raised, while the fault was there. */
  readonly told: readonly Told[];
  /** First raised after it was mended, in that order. */
  readonly afterwards: readonly AlarmName[];
  readonly heatHeldBy: readonly string[];
  readonly waterHeldBy: readonly string[];
  /** After it was mended: the root zone warm and heat free, and a dose seen, ms. */
  readonly warmBackMs: Back;
  readonly waterBackMs: Back;
}

/** The same fault in the same scene gives the same row. Null: nothing is wrong. */
export function runFault(fault: FaultName | null, scene: SceneName): GuardRow {
  return new FaultRun(fault, scene).row();
}

class FaultRun {
  readonly #bench: Bench;
  readonly #grower: SwarmGrower;
  readonly #lowC: number;
  readonly #startShare: number;
  readonly #held = { heat: new Map<string, number>(), water: new Map<string, number>() };
  readonly #raisedMs = new Map<AlarmName, number>();
  readonly #watcher: Watcher;
  #seenDoses = 0;
  /** Of the first journal entry that was not read yet. */
  #nextSequence = 0;

  constructor(
    readonly fault: FaultName | null,
    readonly scene: SceneName,
  ) {
    const profile = profileWith({ feed: { lid: 'propped' } });
    const { roomC, skipStages } = SCENES[scene];
    const stage = profile.stages[skipStages];
    this.#lowC = stage?.band.lowC ?? Number.NaN;
    this.#startShare = stage?.watering?.startShare ?? Number.POSITIVE_INFINITY;
    const bench = new Bench({
      seed: 1,
      crop: 'pepper',
      ...trayOf(profile),
      rethrow: true,
      calmTickMs: CALM_TICK_MS,
      room: { meanC: roomC },
    });
    this.#bench = bench;
    this.#grower = new SwarmGrower(bench, profile, (ms) => bench.run(ms));
    this.#watcher = {
      get dryBack() {
        return bench.state().tray.dryBackShare;
      },
      weightsDoubtful: false,
      pins: { runByHand: () => {} },
    };
  }

  row(): GuardRow {
    const { fault, scene } = this;
    const bench = this.#bench;
    this.#grower.commission(SCENES[scene].skipStages);
    bench.run(CALM_MS);
    const beganMs = bench.nowMs;
    if (fault !== null) bench.fault(fault, true);
    for (let ms = 0; ms < FAULT_MS; ms += LOOK_MS) {
      bench.run(LOOK_MS);
      this.#look(true);
    }
    const told = [...this.#raisedMs]
      .map(([alarm, atMs]) => ({ alarm, afterMs: atMs - beganMs }))
      .sort((a, b) => a.afterMs - b.afterMs);
    if (fault !== null) bench.fault(fault, false);
    const back = this.#recover();
    return {
      fault,
      scene,
      told,
      afterwards: [...this.#raisedMs.keys()].slice(told.length),
      heatHeldBy: heldFor(this.#held.heat),
      waterHeldBy: heldFor(this.#held.water),
      ...back,
    };
  }

  /** What the board says, if it says anything. */
  #look(faulty: boolean): void {
    const { nowMs } = this.#bench;
    let status: Status;
    try {
      status = this.#grower.link.status();
    } catch {
      return;
    }
    for (const { alarm, ageS } of status.alarms) {
      if (!this.#raisedMs.has(alarm)) this.#raisedMs.set(alarm, nowMs - ageS * 1000);
    }
    if (!faulty) return;
    for (const [held, by] of [
      [this.#held.heat, status.heat.heldBy],
      [this.#held.water, status.water.heldBy],
    ] as const) {
      if (by !== null) held.set(by, (held.get(by) ?? 0) + 1);
    }
  }

  #recover(): Pick<GuardRow, 'warmBackMs' | 'waterBackMs'> {
    const bench = this.#bench;
    const mendedMs = bench.nowMs;
    const seenBefore = this.#dosesSeen();
    let warmBackMs: Back | null = null;
    let waterBackMs: Back | null = null;
    let wasDry = false;
    for (let ms = LOOK_MS; ms <= MENDED_MS; ms += LOOK_MS) {
      bench.run(mendedMs + ms - bench.nowMs);
      this.#look(false);
      if (ms === LOOK_MS) warmBackMs = this.#isWarm() ? 'not-needed' : null;
      if (ms === FIRST_ROUND_MS) this.#grower.putThingsRight();
      if (ms === FIRST_ROUND_MS || ms % ROUND_MS === 0) this.#grower.round(this.#watcher);
      if (warmBackMs === null && this.#isWarm()) warmBackMs = ms;
      if (waterBackMs === null && this.#dosesSeen() > seenBefore) waterBackMs = ms;
      wasDry ||= 1 - bench.rig.plant.wool.share > this.#startShare;
    }
    return {
      warmBackMs: warmBackMs ?? 'late',
      waterBackMs: waterBackMs ?? (wasDry ? 'late' : 'not-needed'),
    };
  }

  #isWarm(): boolean {
    const { heat } = this.#grower.link.status();
    return this.#bench.state().rootZoneC >= this.#lowC - WARM_K && heat.heldBy === null;
  }

  #dosesSeen(): number {
    for (const entry of this.#grower.link.journal(this.#nextSequence)) {
      if (entry.kind === 'dose' && entry.verdict === 'seen') this.#seenDoses += 1;
      this.#nextSequence = entry.sequence + 1;
    }
    return this.#seenDoses;
  }
}

/** Alarms first: what else holds an output off then is the less of it. */
function heldFor(held: ReadonlyMap<string, number>): readonly string[] {
  const isReason = (by: string): boolean => HELD_REASONS.some((reason) => reason === by);
  const lasting = [...held].filter(([, looks]) => looks >= HELD_LOOKS).map(([by]) => by);
  return [...lasting.filter((by) => !isReason(by)), ...lasting.filter(isReason)];
}
