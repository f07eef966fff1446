/** Draws a plan from a seed. The same seed gives the same plan, on any machine. */

import { FAULT_NAMES, type FaultName } from '../../firmware/bench/faults';
import type { HandActionName } from '../../firmware/bench/hand-actions';
import { Random } from '../../firmware/bench/random';
import { FLASH_MAP, FLASH_SECTOR_BYTES } from '../../shared/board/map';
import { RESET_CAUSES } from '../../shared/board/words';
import { CROP_FILE_NAMES } from '../../shared/profile/host/crops';
import { LID_PLACES, type Mark } from '../../shared/profile/profile';
import { DAY_MIN } from '../../shared/units/time';
import { type Happening, type Plan, type PlanEvent, STOP_MIN } from './plan';
import { shippedProfile, varied } from './vary';

/** Long enough for what comes late, short enough that a seed takes a second or two. */
const LENGTH_MIN = [8 * 60, 60 * 60] as const;
const RECOVER_MIN = 11 * 60;
const EVENTS_MOST = 24;
/** Longest fault: one that outlasts a night. */
const FAULT_MOST_MIN = 14 * 60;
/** A board that hangs is a matter of minutes: the lease ends its outputs, and nobody can tell of anything meanwhile. */
const HUNG_MOST_MIN = 20;
/**
 * The tray of half of them is put back for minutes only before it goes elsewhere once more: it wants water by then, and has
 * none yet. Drawn by seeds from here on, and from a stream of its own: what older seeds find stays as it is.
 */
const BRIEF_STOPS_FROM_SEED = 1_000_000;
const BRIEF_STOPS_STREAM = 0x3c3c;
const BRIEF_STOPS_SHARE = 0.5;
const BRIEF_STOP_MIN = [4, 6] as const;
const WRONG_CLOCK_MOST_MIN = 400 * DAY_MIN;

/** What hands do, and with how much of it: g, ml or s. */
const HANDS: readonly (readonly [HandActionName, number, number] | readonly [HandActionName])[] = [
  ['lift-tray', 5, 5_400],
  ['mist', 3, 300],
  ['soak'],
  ['soak-beside', 300, 7_200],
  ['put-weight', 20, 3_000],
  ['take-weight'],
  ['leave-in-tray', 20, 1_500],
  ['clear-tray'],
  ['take-tray'],
  ['put-tray'],
  ['refill', 200, 4_000],
  ['drain-reservoir', 0, 400],
  ['move-probe', 10, 3_600],
  ['lamp-off'],
  ['lamp-on'],
  ['lower-lamp'],
  ['raise-lamp'],
  ['sun', 600, 14_400],
];
/** Made without doing what they say, too early or twice. One that says of other plants what is not so is left out: nobody can take it back. */
const MARKS: readonly Mark[] = ['emerged', 'vented', 'refilled', 'soaked', 'dry', 'sown'];

export class Draw extends Random {
  whole(low: number, high: number): number {
    return Math.floor(this.between(low, high + 1));
  }

  one<T>(of: readonly T[]): T {
    const [first] = of;
    if (first === undefined) throw new Error('nothing to choose from');
    return of[Math.floor(this.share() * of.length)] ?? first;
  }

  /** One of them, each as often as its weight. */
  weighted<T>(of: readonly (readonly [weight: number, one: T])[]): T {
    let at = this.share() * of.reduce((sum, [weight]) => sum + weight, 0);
    const found = of.find(([weight]) => {
      at -= weight;
      return at < 0;
    });
    return (found ?? this.one(of))[1];
  }

  /** Mostly small, sometimes large: mishaps of minutes are as telling as those of hours. */
  skewed(low: number, high: number): number {
    return Math.round(low * (high / low) ** this.share());
  }
}

/** Kinds of happening by how often they come. */
const KINDS: readonly (readonly [weight: number, draw: (draw: Draw) => Happening])[] = [
  [8, drawFault],
  [7, drawHand],
  [2, (draw) => ({ kind: 'lid', place: draw.one(LID_PLACES) })],
  [2, (draw) => ({ kind: 'mark', ...drawMark(draw) })],
  [1, drawClock],
  [1, (draw) => ({ kind: 'restart', cause: draw.one(RESET_CAUSES) })],
  [1, (draw) => ({ kind: 'cut-in-write', writes: draw.whole(1, 6), forMin: draw.skewed(1, 300) })],
  [1, drawWornFlash],
  [1, () => ({ kind: 'soak-and-mark' })],
  [1, () => ({ kind: 'refill-and-mark' })],
  [0.5, (draw) => ({ kind: 'recalibrate', massG: draw.one([1_000, 2_000, 5_000]) })],
  [3, () => ({ kind: 'round' })],
  [1, () => ({ kind: 'next-stage' })],
];

/** Other ways in which the same thing comes about: each in place of it, by how long it lasts. So no draw of others moves. */
const WAYS: Partial<Readonly<Record<FaultName, readonly FaultName[]>>> = {
  'mat-dead': ['mat-dead', 'mat-lead-open', 'mat-fuse-blown'],
  'mat-stuck-on': ['mat-stuck-on', 'mat-switch-welded'],
};
const DRAWN = FAULT_NAMES.filter(
  (name) => !Object.entries(WAYS).some(([of, ways]) => of !== name && ways.includes(name)),
);

function drawFault(draw: Draw): Happening {
  const drawn = draw.one(DRAWN);
  const mostMin = drawn === 'board-hung' ? HUNG_MOST_MIN : FAULT_MOST_MIN;
  const forMin = draw.skewed(1, mostMin);
  const ways = WAYS[drawn] ?? [drawn];
  return { kind: 'fault', fault: ways[forMin % ways.length] ?? drawn, forMin };
}

export function drawHand(draw: Draw): Extract<Happening, { readonly kind: 'hand' }> {
  const [action, low, high] = draw.one(HANDS);
  if (low === undefined || high === undefined) return { kind: 'hand', action };
  return { kind: 'hand', action, value: Math.round(draw.between(low, high)) };
}

function drawMark(draw: Draw): { readonly mark: Mark; readonly volumeMl?: number } {
  const mark = draw.one(MARKS);
  return mark === 'refilled' ? { mark, volumeMl: draw.whole(100, 4_000) } : { mark };
}

export function drawClock(draw: Draw): Extract<Happening, { readonly kind: 'clock' }> {
  const byMin = draw.skewed(1, WRONG_CLOCK_MOST_MIN);
  return { kind: 'clock', wrongByMin: draw.one([0, byMin, -byMin]) };
}

export function drawWornFlash(draw: Draw): Extract<Happening, { readonly kind: 'worn-flash' }> {
  const region = draw.one([FLASH_MAP.settings, FLASH_MAP.journal]);
  const sector = draw.whole(0, Math.min(region.bytes / FLASH_SECTOR_BYTES, 4) - 1);
  const offset = region.offset + sector * FLASH_SECTOR_BYTES;
  return { kind: 'worn-flash', offset, forMin: draw.skewed(1, FAULT_MOST_MIN) };
}

/** Between two outings, minutes. */
function drawStop(seed: number): number {
  const draw = new Draw(seed ^ BRIEF_STOPS_STREAM);
  const isBrief = seed >= BRIEF_STOPS_FROM_SEED && draw.share() < BRIEF_STOPS_SHARE;
  return isBrief ? Math.round(draw.between(...BRIEF_STOP_MIN) * 10) / 10 : STOP_MIN;
}

/** The plan of this seed. */
export function drawPlan(seed: number): Plan {
  const draw = new Draw(seed ^ 0x5a5a);
  const crop = draw.one(CROP_FILE_NAMES);
  const shipped = shippedProfile(crop);
  const profile = draw.share() < 0.5 ? null : varied(shipped, draw);
  const putRightMin = draw.whole(...LENGTH_MIN);
  const events: PlanEvent[] = Array.from({ length: draw.skewed(2, EVENTS_MOST) }, () => ({
    atMin: draw.whole(1, putRightMin - 1),
    ...draw.weighted(KINDS)(draw),
  }));
  return {
    seed,
    crop,
    profile,
    room: { meanC: draw.whole(12, 28), swingK: draw.whole(0, 5) },
    trayG: draw.whole(120, 400),
    skipStages: draw.whole(0, skippable(shipped.stages)),
    events: events.sort((a, b) => a.atMin - b.atMin),
    putRightMin,
    stopMin: drawStop(seed),
    recoverMin: RECOVER_MIN,
  };
}

/** Stages before the one that ends with other pieces on the scale. */
function skippable(stages: readonly { readonly medium: number }[]): number {
  return Math.max(0, stages.findIndex(({ medium }) => medium !== stages[0]?.medium) - 1);
}
