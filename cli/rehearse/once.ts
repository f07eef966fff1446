/** One short rehearsal of a profile: what it warns of, and in which words that is told. */
import { CROP_NAMES } from '../../firmware/bench/plant/crops';
import { LOAD_CELL } from '../../firmware/bench/plant/load-cell';
import type { Room } from '../../shared/planning/pace';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import type { Compiled } from '../profile/compile';
import type { ShortWarning } from './short';
import type { Impossible } from './task';

/** The room that is rehearsed in unless another one is named, and as it is typed. */
export const USUAL_AIR: Room = { nightC: 16, dayC: 20 };
export const USUAL_ROOM = roomTyped(USUAL_AIR, 'metric');
/** The first seed: the same file gives the same warnings. */
const SEED = 1;

export interface ShortRehearsal {
  readonly crop: string;
  readonly room: Room;
  readonly days: number;
  readonly warnings: readonly ShortWarning[];
}

/** The crop as the bench knows it; null for one it knows nothing of. */
export const rehearsable = (crop: string): string | null =>
  CROP_NAMES.find((name) => name === crop.trim().toLowerCase()) ?? null;

/** Why a profile was not rehearsed, in a sentence or two. */
export interface NotRehearsed {
  readonly why: string;
}

const cropUnknown = (crop: string): NotRehearsed => ({
  why: `nothing is known here of how ${crop} comes up and grows. \`trayward rehearse\` does it with the crop most like it, by --crop: ${CROP_NAMES.join(', ')}.`,
});

/** Why a tray cannot be rehearsed that the board of the bench refuses. */
export function boardSaid({ boardSays, isTooHeavy }: Impossible, units: UnitSystem): string {
  if (!isTooHeavy) return `the simulated board says "${boardSays}"`;
  const most = formatQuantity('mass', LOAD_CELL.capacityG, units);
  return `soaked, it is more than the scale of the simulated tray bears, ${most}.`;
}

/** Runs it, a second of the machine. What the bench cannot set up is no mistake of the file: it says why. */
export async function rehearseOnce(
  { profile, image }: Compiled,
  room: Room,
  units: UnitSystem,
): Promise<ShortRehearsal | NotRehearsed> {
  const crop = rehearsable(profile.crop);
  if (crop === null) return cropUnknown(profile.crop);
  // The firmware and its bench are loaded only now.
  const [{ rehearse }, { SHORT_DAYS, shortWarnings }] = await Promise.all([
    import('./task'),
    import('./short'),
  ]);
  const task = {
    ...({ image, crop, habits: 'daily', days: SHORT_DAYS, seed: SEED } as const),
    roomC: (room.nightC + room.dayC) / 2,
    swingK: (room.dayC - room.nightC) / 2,
  };
  const rehearsal = rehearse(task);
  if ('boardSays' in rehearsal) return { why: boardSaid(rehearsal, units) };
  return { crop, room, days: SHORT_DAYS, warnings: shortWarnings(rehearsal, profile, units) };
}

/** A path as it is typed in a shell. */
export const asTyped = (path: string): string => (/^[\w./\\:-]+$/.test(path) ? path : `"${path}"`);

/** A room as it is typed, whole degrees of the units in use where they are whole. */
function roomTyped({ nightC, dayC }: Room, units: UnitSystem): string {
  const written = (celsius: number): string =>
    units === 'us' ? ((celsius * 9) / 5 + 32).toFixed(0) : String(Number(celsius.toFixed(1)));
  const unit = units === 'us' ? 'F' : 'C';
  return nightC === dayC
    ? `${written(nightC)} ${unit}`
    : `${written(nightC)}..${written(dayC)} ${unit}`;
}

/** The command that shows what a profile will do in a room. */
export const rehearseCommand = (file: string, room: Room, units: UnitSystem): string =>
  `trayward rehearse ${asTyped(file)} --room "${roomTyped(room, units)}"`;

/** The room in a sentence. */
export function roomText({ nightC, dayC }: Room, units: UnitSystem): string {
  const temperature = (celsius: number) => formatQuantity('temperature', celsius, units);
  return nightC === dayC ? temperature(nightC) : `${temperature(nightC)} to ${temperature(dayC)}`;
}

/** What it came to, and where more is told. */
export function shortText(
  short: ShortRehearsal | NotRehearsed,
  file: string,
  units: UnitSystem,
): readonly string[] {
  if ('why' in short) return [`It was not rehearsed: ${short.why}`];
  const { room, days, warnings } = short;
  const how = `Rehearsed once, for ${days} days in a room of ${roomText(room, units)}`;
  const more = `\`${rehearseCommand(file, room, units)}\` tells more: whole seasons, several of them.`;
  if (warnings.length === 0) return [`${how}: nothing goes wrong. ${more}`];
  return [`${how}, it warns of this:`, ...warnings.map(({ says }) => `Warning: ${says}`), more];
}
