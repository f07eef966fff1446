/** What the keeper knows of trays, what it remembers having told, and what is due. Plain data. */
import { ALARM_NAMES, type AlarmName } from '../../../shared/alarms/catalogue';
import { ALARM_PRIORITY, type AlarmPriority } from '../../../shared/alarms/priority';

/** What only a keeper can find: a tray that is silent, a disk that is full, a door that nothing goes out by. */
export const KEEPER_TROUBLES = ['unheard', 'disk-failing', 'door-failing'] as const;
export type KeeperTrouble = (typeof KEEPER_TROUBLES)[number];
export type Trouble = AlarmName | KeeperTrouble;
export const TROUBLES: readonly Trouble[] = [...ALARM_NAMES, ...KEEPER_TROUBLES];

const KEEPER_PRIORITY: Readonly<Record<KeeperTrouble, AlarmPriority>> = {
  unheard: 'high',
  'disk-failing': 'high',
  'door-failing': 'medium',
};

const isKeeperTrouble = (trouble: Trouble): trouble is KeeperTrouble =>
  KEEPER_TROUBLES.some((one) => one === trouble);

export const priorityOf = (trouble: Trouble): AlarmPriority =>
  isKeeperTrouble(trouble) ? KEEPER_PRIORITY[trouble] : ALARM_PRIORITY[trouble];

export const isAlarm = (trouble: Trouble): trouble is AlarmName => !isKeeperTrouble(trouble);

/**
 * Alarms that come of each other, for the time before `explain` can tell: a tray that is not heated is cold, and one whose
 * doses do not come gets dry.
 */
const FAMILIES: readonly (readonly Trouble[])[] = [
  ['mat-no-effect', 'too-cold', 'band-out-of-reach'],
  ['mat-stuck-on', 'mat-hot', 'root-zone-hot', 'too-warm'],
  ['dose-not-seen', 'water-held', 'too-dry'],
  ['scale-silent', 'scale-saturated', 'scale-noisy'],
];

/** Whether the one may well have come of what the others came of. */
export const isOfFamily = (trouble: Trouble, others: readonly Trouble[]): boolean =>
  FAMILIES.some((all) => all.includes(trouble) && others.some((one) => all.includes(one)));

/** Something that is wrong now. */
export interface Standing {
  readonly trouble: Trouble;
  readonly sinceMs: number;
  /** Somebody has said so at the controller. */
  readonly seen: boolean;
  /** Root zone outside its band, K; 0 where the trouble is none of heat. */
  readonly offK: number;
}

/** An alarm that the journal says was raised since the last look. */
export interface Raised {
  readonly alarm: AlarmName;
  readonly atMs: number;
}

/** How far the journal has been looked through. */
export interface Cursor {
  readonly life: number;
  readonly sequence: number;
}

/** A tray as the keeper sees it; the keeper itself is seen as one more. */
export interface TrayView {
  readonly tray: string;
  /** Null: how it stands is not known just now. */
  readonly standing: readonly Standing[] | null;
  /** Since when nothing was heard, once that is an alarm. */
  readonly unheardSinceMs: number | null;
  readonly raised: readonly Raised[];
  readonly cursor: Cursor | null;
  /** What `explain` says is behind an alarm: those alike have one cause. */
  readonly causeOf: Readonly<Partial<Record<Trouble, string>>>;
}

/** One cause, and what was told of it. */
export interface Topic {
  /** Number, once for a keeper. */
  readonly id: number;
  readonly cause: string | null;
  readonly troubles: readonly Trouble[];
  readonly priority: AlarmPriority;
  readonly sinceMs: number;
  /** Since when nothing of it stands; null while it does. */
  readonly goneMs: number | null;
  /** Over, and told so where it was told at all. */
  readonly closed: boolean;
  /** Times it came again after it was over. */
  readonly again: number;
  /** Messages since it last came, the last of them, and what that said. */
  readonly told: number;
  readonly toldMs: number | null;
  readonly toldTroubles: readonly Trouble[];
  readonly toldOffK: number;
  /** A morning line has told of it since it was over. */
  readonly inMorning: boolean;
}

export interface TrayMemory {
  readonly cursor: Cursor | null;
  readonly topics: readonly Topic[];
}

export interface Memory {
  /** Drawn when the outbox was made: with `count` it names each message once in the world. */
  readonly keeper: string;
  /** Numbers given to topics and messages. */
  readonly count: number;
  readonly morningMs: number;
  readonly trays: Readonly<Record<string, TrayMemory>>;
}

export const NEW_TRAY: TrayMemory = { cursor: null, topics: [] };

/** `happened`: it came and was over before it could be told. `again`: it was told to be over. */
export type DueKind = 'new' | 'again' | 'worse' | 'still' | 'over' | 'happened';

/** A message that is due, without its words. */
export interface Due {
  readonly number: number;
  readonly kind: DueKind;
  readonly tray: string;
  /** As it is remembered from now on. */
  readonly topic: Topic;
  /** Of the topic, those that stand. */
  readonly standing: readonly Standing[];
}

export interface Decision {
  readonly memory: Memory;
  readonly due: readonly Due[];
  /** The morning's lines are due. */
  readonly morning: boolean;
}
