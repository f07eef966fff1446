/** The grower's actions by name, as the bench door and the program `trayward bench hand` take them. */
import { accept, decline, type Verdict } from '../../shared/physics/verdict';
import { LID_PLACES, type LidPlace } from '../../shared/profile/profile';
import type { Hand } from './hand';
import { USUAL_FEED_MS } from './plant/salts';

/** What an action needs to be told. Amounts are in g, ml and s. */
interface WithAmount {
  readonly takes: 'mass' | 'volume' | 'duration';
  readonly max: number;
  /** Whether it may be left unsaid; `act` then knows the usual amount. */
  readonly optional: boolean;
  act(hand: Hand, amount: number | undefined): void;
}
interface WithLid {
  readonly takes: 'lid';
  act(hand: Hand, place: LidPlace): void;
}
interface WithNothing {
  readonly takes: 'nothing';
  act(hand: Hand): void;
}
export type HandAction = { readonly says: string } & (WithAmount | WithLid | WithNothing);

const HEAVIEST_G = 50_000;
const MOST_ML = 20_000;
/** Inside a closed hand (common practice), and in stirred ice and water, C. */
const HAND_C = 33;
const ICE_C = 0;
const HELD_S = 180;

export const HAND_ACTIONS = {
  'put-tray': {
    says: 'puts the tray on the scale, dry or as it is',
    takes: 'nothing',
    act: (hand) => hand.putTray(),
  },
  'take-tray': {
    says: 'takes the tray off the scale',
    takes: 'nothing',
    act: (hand) => hand.takeTray(),
  },
  'lift-tray': {
    says: 'holds the tray up for a while, then puts it back',
    takes: 'duration',
    max: 86_400,
    optional: true,
    act: (hand, s = 60) => hand.liftTray(s * 1000),
  },
  soak: {
    says: 'soaks the tray, lets it drain, and puts it on the scale',
    takes: 'nothing',
    act: (hand) => hand.soak(),
  },
  'soak-beside': {
    says: 'soaks the tray in a tub beside the scale for a while, then drains it and puts it back',
    takes: 'duration',
    max: 86_400,
    optional: true,
    act: (hand, s = 900) => hand.soakBeside(s * 1000),
  },
  sow: { says: 'sows one seed to a plug', takes: 'nothing', act: (hand) => hand.sow() },
  lid: {
    says: `puts the lid so: ${LID_PLACES.join(', ')}`,
    takes: 'lid',
    act: (hand, place) => hand.setLid(place),
  },
  vent: {
    says: 'opens the vents of the lid',
    takes: 'nothing',
    act: (hand) => hand.setLid('vents-open'),
  },
  'put-weight': {
    says: 'puts a known weight on the scale',
    takes: 'mass',
    max: HEAVIEST_G,
    optional: false,
    act: (hand, g = 0) => hand.putWeight(g),
  },
  'take-weight': {
    says: 'takes the weight off again',
    takes: 'nothing',
    act: (hand) => hand.takeWeight(),
  },
  'put-jug': {
    says: 'puts a jug under the tube, on the scale',
    takes: 'nothing',
    act: (hand) => hand.putJug(),
  },
  'take-jug': {
    says: 'takes the jug away and pours it back into the reservoir',
    takes: 'nothing',
    act: (hand) => {
      hand.takeJug();
    },
  },
  refill: {
    says: 'fills the reservoir, to the top or to a volume',
    takes: 'volume',
    max: MOST_ML,
    optional: true,
    act: (hand, ml) => hand.refill(ml),
  },
  'drain-reservoir': {
    says: 'lets water out of the reservoir until so much is left',
    takes: 'volume',
    max: MOST_ML,
    optional: true,
    act: (hand, ml = 0) => hand.drainReservoir(ml),
  },
  mist: {
    says: 'sprays water over the tray',
    takes: 'mass',
    max: 2000,
    optional: true,
    act: (hand, g = 20) => hand.mist(g),
  },
  'refill-water': {
    says: 'fills the reservoir with plain water, to the top or to a volume',
    takes: 'volume',
    max: MOST_ML,
    optional: true,
    act: (hand, ml) => hand.refill(ml, 0),
  },
  'refill-strong': {
    says: 'fills the reservoir with feed of twice the usual strength, to the top or to a volume',
    takes: 'volume',
    max: MOST_ML,
    optional: true,
    act: (hand, ml) => hand.refill(ml, 2 * USUAL_FEED_MS),
  },
  'leave-in-tray': {
    says: 'leaves something of a known weight lying in the tray',
    takes: 'mass',
    max: HEAVIEST_G,
    optional: false,
    act: (hand, g = 0) => hand.leaveInTray(g),
  },
  'clear-tray': {
    says: 'takes out of the tray what was left in it',
    takes: 'nothing',
    act: (hand) => hand.clearTray(),
  },
  'move-probe': {
    says: 'pulls the root-zone probe out for a while, then puts it back',
    takes: 'duration',
    max: 86_400,
    optional: true,
    act: (hand, s = 60) => hand.moveProbe(s * 1000),
  },
  'warm-probe': {
    says: 'holds the root-zone probe in a warm hand for a while, then puts it back',
    takes: 'duration',
    max: 86_400,
    optional: true,
    act: (hand, s = HELD_S) => hand.holdProbe('rootZone', HAND_C, s * 1000),
  },
  'warm-mat-probe': {
    says: 'holds the mat probe in a warm hand for a while, then puts it back',
    takes: 'duration',
    max: 86_400,
    optional: true,
    act: (hand, s = HELD_S) => hand.holdProbe('mat', HAND_C, s * 1000),
  },
  'ice-probe': {
    says: 'holds the root-zone probe in melting ice for a while, then puts it back',
    takes: 'duration',
    max: 86_400,
    optional: true,
    act: (hand, s = HELD_S) => hand.holdProbe('rootZone', ICE_C, s * 1000),
  },
  'lamp-off': {
    says: 'switches the lamp off',
    takes: 'nothing',
    act: (hand) => hand.switchLamp('off'),
  },
  'lamp-on': {
    says: 'switches the lamp on, day and night',
    takes: 'nothing',
    act: (hand) => hand.switchLamp('on'),
  },
  'lamp-timer': {
    says: 'gives the lamp back to its timer',
    takes: 'nothing',
    act: (hand) => hand.switchLamp('timer'),
  },
  'raise-lamp': {
    says: 'hangs the lamp twice as high as usual: a quarter of the light',
    takes: 'nothing',
    act: (hand) => hand.hangLamp(2),
  },
  'lower-lamp': {
    says: 'hangs the lamp where it usually hangs',
    takes: 'nothing',
    act: (hand) => hand.hangLamp(1),
  },
  sun: {
    says: 'lets the sun in on the tray for a while',
    takes: 'duration',
    max: 86_400,
    optional: true,
    act: (hand, s = 3600) => hand.letSunIn(s * 1000),
  },
  'split-tray': {
    says: 'moves every other plug on to another tray',
    takes: 'nothing',
    act: (hand) => hand.splitInHalf(),
  },
  transplant: {
    says: 'moves the best plugs into soaked blocks',
    takes: 'nothing',
    act: (hand) => hand.transplant(),
  },
} as const satisfies Record<string, HandAction>;

export type HandActionName = keyof typeof HAND_ACTIONS;
export const HAND_ACTION_NAMES = Object.keys(HAND_ACTIONS) as readonly HandActionName[];

function isLidPlace(value: unknown): value is LidPlace {
  return LID_PLACES.some((place) => place === value);
}

/** Does it, or refuses a value that does not fit. `value`: g, ml, s, a lid place, or undefined. */
export function perform(hand: Hand, name: HandActionName, value: unknown): Verdict<null> {
  const action: HandAction = HAND_ACTIONS[name];
  switch (action.takes) {
    case 'nothing':
      if (value !== undefined) return decline(`${name} takes no value.`);
      action.act(hand);
      return accept(null);
    case 'lid':
      if (!isLidPlace(value)) return decline(`Say how the lid goes: ${LID_PLACES.join(', ')}.`);
      action.act(hand, value);
      return accept(null);
    default: {
      const left = value === undefined && action.optional;
      const fits = typeof value === 'number' && value >= 0 && value <= action.max;
      if (!left && !fits) {
        return decline(`Say the ${action.takes} for ${name}, from 0 to ${action.max}.`);
      }
      action.act(hand, typeof value === 'number' ? value : undefined);
      return accept(null);
    }
  }
}
