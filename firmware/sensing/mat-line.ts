/** What a look at the mat's line means: its fuse, its lead and its own switch, whatever the supply's voltage. Pure. */
import { loadNodes, type MatPath } from '../../shared/board/loads';
import { loadsSenseCode } from '../../shared/board/map';

/** ADC codes of the sense line with the mat's own switch told to be open and to be closed, the second switch closed both times. */
export interface MatLook {
  readonly openCode: number;
  readonly closedCode: number;
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
const halfWay = (a: number, b: number): number => (a + b) / 2;

/** Reading with the switch open over that with it closed, in ascending order; a switch that does not move has 1. */
const RATIO = {
  stuck: 1,
  leadOpen: ratioOf({ ...SOUND, lead: 'open' }),
  sound: ratioOf(SOUND),
  fuseBlown: ratioOf({ ...SOUND, fuse: 'blown' }),
};
const LIMIT = {
  // Beyond the outermost as far as to the next of them: there a reading is none of these.
  least: 1.5 * RATIO.stuck - 0.5 * RATIO.leadOpen,
  stuck: halfWay(RATIO.stuck, RATIO.leadOpen),
  leadOpen: halfWay(RATIO.leadOpen, RATIO.sound),
  sound: halfWay(RATIO.sound, RATIO.fuseBlown),
  most: 1.5 * RATIO.fuseBlown - 0.5 * RATIO.sound,
};
/** A switch that never closes leaves all nodes up, at any supply; one that never opens holds the mat's low side down. */
const SWITCH_OPEN_CODE = halfWay(
  codeAt(SUPPLY_V[1], SOUND, true),
  codeAt(SUPPLY_V[0], SOUND, false),
);

/** What the look tells; null where it tells none of these. Codes as `loadsSenseCode` gives them. */
export function matLineOf({ openCode, closedCode }: MatLook): MatLine | null {
  const ratio = openCode / closedCode;
  if (!(ratio > LIMIT.least && ratio < LIMIT.most)) return null;
  if (ratio < LIMIT.stuck) return closedCode > SWITCH_OPEN_CODE ? 'switch-open' : 'welded';
  if (ratio < LIMIT.leadOpen) return 'lead-open';
  return ratio < LIMIT.sound ? 'sound' : 'fuse-blown';
}
