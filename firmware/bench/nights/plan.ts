/**
 * Nights drawn by a seed: a tray, a room, and what goes wrong in it. They judge what the journal is said to mean: rules
 * are tuned on even seeds alone, and odd ones are looked at as figures only, at the end. Calm weeks 3 and 15 have been
 * seen: in both one visit kept two doses from being weighed, and water ended; the board waits for the hand now.
 */
import { HOUR_MS } from '../../../shared/units/time';
import { FAULT_NAMES, type FaultName } from '../faults';
import { Random } from '../random';
import { SCENE_NAMES, type SceneName } from './scenes';

/** What is wrong, counted from sowing, ms. */
export interface Trouble {
  readonly fault: FaultName;
  readonly fromMs: number;
  readonly forMs: number;
}

export type NightKind = 'single' | 'pair' | 'calm';

export interface NightPlan {
  readonly seed: number;
  readonly kind: NightKind;
  readonly scene: SceneName;
  readonly roomC: number;
  /** Hour of the day at which the tray is unpacked, 0..24: with `fromMs` it decides between day and night. */
  readonly startHour: number;
  readonly troubles: readonly Trouble[];
  /** From sowing until somebody comes and asks, ms. */
  readonly askedMs: number;
}

/** Kept from whoever tunes the rules. */
export const isUnseen = ({ seed }: NightPlan): boolean => seed % 2 !== 0;

/** Rooms in which the mat can hold the band, C: colder ones would be a trouble of their own. */
const COOL_C = [16, 19] as const;
const WARM_C = [20, 24] as const;
const CALM_DAYS = 7;

/** Before anything goes wrong the tray has been itself for a while, so that what is usual can be known. */
const BEFORE_H = [20, 44] as const;
const LASTS_H = [1.5, 10] as const;
/** The second of a pair begins so long after the first at most: the same night. */
const APART_H = 8;
/** And somebody comes so long after the last has begun, whether or not it is over. */
const ASKED_H = [6, 14] as const;

/** The night of this seed. Singles and pairs go round all faults, so that none is left to chance. */
export function nightOf(seed: number, kind: NightKind): NightPlan {
  const draw = new Random(seed ^ 0x9147);
  const half = Math.floor(seed / 2);
  const first = at(FAULT_NAMES, half);
  const scene = at(SCENE_NAMES, Math.floor(draw.share() * SCENE_NAMES.length));
  const [lowC, highC] = draw.share() < 0.5 ? COOL_C : WARM_C;
  const base = {
    seed,
    kind,
    scene,
    roomC: draw.between(lowC, highC),
    startHour: Math.floor(draw.between(0, 24)),
  };
  if (kind === 'calm') return { ...base, troubles: [], askedMs: CALM_DAYS * 24 * HOUR_MS };
  const fromMs = hours(draw, BEFORE_H);
  const troubles = [{ fault: first, fromMs, forMs: hours(draw, LASTS_H) }];
  if (kind === 'pair') {
    const others = FAULT_NAMES.filter((name) => name !== first);
    const fault = at(others, Math.floor(draw.share() * others.length));
    const laterMs = fromMs + Math.round(draw.between(0, APART_H) * HOUR_MS);
    troubles.push({ fault, fromMs: laterMs, forMs: hours(draw, LASTS_H) });
  }
  const lastMs = Math.max(...troubles.map((trouble) => trouble.fromMs));
  return { ...base, troubles, askedMs: lastMs + hours(draw, ASKED_H) };
}

const hours = (draw: Random, [low, high]: readonly [number, number]): number =>
  Math.round(draw.between(low, high) * HOUR_MS);

function at<T>(list: readonly T[], index: number): T {
  const one = list[index % list.length];
  if (one === undefined) throw new RangeError('an empty list');
  return one;
}
