/** Draws what happens to a tray on the flash image, within minutes: a plan as the swarm has them, but for its length. */
import { FAULT_NAMES } from '../../firmware/bench/faults';
import { DOOR, type Door } from '../../shared/board/map';
import { CROP_FILE_NAMES } from '../../shared/profile/host/crops';
import { LID_PLACES, type Mark } from '../../shared/profile/profile';
import { DAY_MIN, MINUTE_S } from '../../shared/units/time';
import { isMishap, type Mishap } from './befall';
import { Draw, drawClock, drawHand, drawWornFlash } from './draw';
import type { Happening, Plan } from './plan';

const SECOND_MIN = 1 / MINUTE_S;
/** The emulated chip takes milliseconds for each second: minutes of many trays tell more than hours of a few. */
const HAPPENS_S = 40;
const RECOVERS_S = 15;
const EVENTS = [5, 12] as const;
const FAULT_S = [1, 30] as const;
const CUT_S = [0.2, 8] as const;
/** A board that hangs is reset by its watchdog after eight seconds. */
const HUNG_S = 12;
/** What is said so soon after the power was told to go in a write makes the board write. */
const SAID_AFTER_S = 0.2;
/** Made without doing what they say. What a tray weighs is left as it was marked: minutes are too short to weigh anew. */
const MARKS: readonly Mark[] = ['emerged', 'vented', 'refilled'];

/** What the grower says to the board, or asks of it, at one of its doors. */
export type Word =
  | Extract<Happening, { readonly kind: 'mark' | 'clock' | 'next-stage' }>
  /** The profile once more, in its pieces. */
  | { readonly kind: 'load' }
  | { readonly kind: 'read-journal' };

export type ImageEvent = { readonly atMin: number } & (Mishap | (Word & { readonly door: Door }));

export interface ImagePlan extends Omit<Plan, 'events' | 'stopMin'> {
  /** The tray has been in service for so long when the image takes it over, min. */
  readonly agedMin: number;
  readonly events: readonly ImageEvent[];
}

const KINDS: readonly (readonly [weight: number, draw: (draw: Draw) => Mishap | Word])[] = [
  [4, drawFault],
  [2, drawHand],
  [1, (draw) => ({ kind: 'lid', place: draw.one(LID_PLACES) })],
  [3, drawCut],
  [4, drawCutInWrite],
  [1, (draw) => ({ ...drawWornFlash(draw), forMin: seconds(draw, FAULT_S) })],
  [5, (draw) => ({ kind: 'mark', mark: draw.one(MARKS) })],
  [1, drawClock],
  [1, () => ({ kind: 'next-stage' })],
  [3, () => ({ kind: 'load' })],
  [3, () => ({ kind: 'read-journal' })],
];

function seconds(draw: Draw, [least, most]: readonly [number, number]): number {
  return draw.between(least, most) * SECOND_MIN;
}

function drawFault(draw: Draw): Mishap {
  const fault = draw.one(FAULT_NAMES);
  if (fault === 'board-hung') return { kind: 'fault', fault, forMin: HUNG_S * SECOND_MIN };
  return { kind: 'fault', fault, forMin: seconds(draw, fault === 'mains-cut' ? CUT_S : FAULT_S) };
}

function drawCut(draw: Draw): Mishap {
  return { kind: 'fault', fault: 'mains-cut', forMin: seconds(draw, CUT_S) };
}

function drawCutInWrite(draw: Draw): Mishap {
  return { kind: 'cut-in-write', writes: draw.skewed(1, 12), forMin: seconds(draw, FAULT_S) };
}

/** What makes the board write so often that the power goes in the middle of it. */
function drawWriting(draw: Draw, writes: number): Word {
  return writes > 4 ? { kind: 'load' } : { kind: 'mark', mark: draw.one(MARKS) };
}

/** The plan of this seed: at least one cut of the power, and words at both doors. */
export function drawImagePlan(seed: number): ImagePlan {
  const draw = new Draw(seed ^ 0x1ab5);
  const putRightMin = HAPPENS_S * SECOND_MIN;
  const when = (): number => draw.between(0, putRightMin);
  const door = (): Door => draw.one([DOOR.usb, DOOR.uart]);
  const drawn = Array.from({ length: draw.whole(...EVENTS) }, (): ImageEvent[] => {
    const happening = draw.weighted(KINDS)(draw);
    const atMin = when();
    if (!isMishap(happening)) return [{ atMin, ...happening, door: door() }];
    if (happening.kind !== 'cut-in-write') return [{ atMin, ...happening }];
    const word = drawWriting(draw, happening.writes);
    const saidMin = atMin + SAID_AFTER_S * SECOND_MIN;
    return [
      { atMin, ...happening },
      { atMin: saidMin, ...word, door: door() },
    ];
  }).flat();
  const always: readonly ImageEvent[] = [
    { atMin: when(), ...drawCut(draw) },
    { atMin: when(), kind: 'mark', mark: 'refilled', door: DOOR.usb },
    { atMin: when(), kind: 'mark', mark: 'refilled', door: DOOR.uart },
  ];
  return {
    seed,
    crop: draw.one(CROP_FILE_NAMES),
    profile: null,
    room: { meanC: draw.whole(12, 28), swingK: draw.whole(0, 5) },
    trayG: draw.whole(120, 400),
    skipStages: draw.whole(0, 1),
    agedMin: draw.skewed(10, 2 * DAY_MIN),
    events: [...drawn, ...always].sort((a, b) => a.atMin - b.atMin),
    putRightMin,
    recoverMin: RECOVERS_S * SECOND_MIN,
  };
}
