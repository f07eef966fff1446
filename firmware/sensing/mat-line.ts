/** What a look at the mat's line means: its fuse, its lead and its own switch, whatever the supply's voltage. Pure. */
import { loadNodes, type MatPath } from '../../shared/board/loads';
import { loadsSenseCode } from '../../shared/board/map';

/** ADC codes of the sense line with the mat's own switch told to be open and to be closed, the second switch closed both times. */
export interface MatCodes {
  readonly openCode: number;
  readonly closedCode: number;
}

/** One look. */
export interface MatLook extends MatCodes {
  /** Made as the mat was let go: there is no second one until it is wanted again. */
  readonly isAsLetGo: boolean;
}

/** `switch-open`: the mat's own switch does not close. `welded`: it does not open. */
export type MatLine = 'sound' | 'lead-open' | 'fuse-blown' | 'switch-open' | 'welded';

/** 12 V less a tenth, and 24 V and a tenth: a supply has no less and no more. */
const SUPPLY_V = [10.8, 26.4] as const;

const SOUND: Omit<MatPath, 'switchClosed'> = { fuse: 'whole', lead: 'whole' };
const codeAt = (feedV: number, path: Omit<MatPath, 'switchClosed'>, switchClosed: boolean) =>
  loadsSenseCode(loadNodes(feedV, { ...path, switchClosed }));
/** The supply's voltage falls out. */
const ratioOf = (path: Omit<MatPath, 'switchClosed'>): number =>
  codeAt(1, path, false) / codeAt(1, path, true);
/** As many times the lower as the higher is of it: what a reading is off by is a share of it. */
const between = (lower: number, higher: number): number => Math.sqrt(lower * higher);

/** Reading with the switch open over that with it closed, in ascending order; a switch that does not move has 1. */
const RATIO = {
  stuck: 1,
  leadOpen: ratioOf({ ...SOUND, lead: 'open' }),
  sound: ratioOf(SOUND),
  fuseBlown: ratioOf({ ...SOUND, fuse: 'blown' }),
};
/** Up to where each reaches; the outermost as far again as to their neighbours, and what is beyond that is none of these. */
const LIMIT = {
  least: RATIO.stuck / RATIO.leadOpen,
  stuck: between(RATIO.stuck, RATIO.leadOpen),
  leadOpen: between(RATIO.leadOpen, RATIO.sound),
  sound: between(RATIO.sound, RATIO.fuseBlown),
  most: RATIO.fuseBlown * (RATIO.fuseBlown / RATIO.sound),
};
/** A switch that never closes leaves all nodes up, at any supply; one that never opens holds the mat's low side down. */
const SWITCH_OPEN_CODE = between(
  codeAt(SUPPLY_V[1], SOUND, true),
  codeAt(SUPPLY_V[0], SOUND, false),
);

/** What a look's codes tell; null where it tells none of these. As `loadsSenseCode` gives them. */
export function matLineOf({ openCode, closedCode }: MatCodes): MatLine | null {
  const ratio = openCode / closedCode;
  if (!(ratio > LIMIT.least && ratio < LIMIT.most)) return null;
  if (ratio < LIMIT.stuck) return closedCode > SWITCH_OPEN_CODE ? 'switch-open' : 'welded';
  if (ratio < LIMIT.leadOpen) return 'lead-open';
  return ratio < LIMIT.sound ? 'sound' : 'fuse-blown';
}
