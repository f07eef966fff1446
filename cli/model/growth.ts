/** What plants gain, by two weighings of the same pieces full of water: what is more then is plants. Pure. */
import { GROWTH_LIMITS } from '../../firmware/limits';
import { accept, decline, type Verdict } from '../../shared/physics/verdict';
import { DAY_MS } from '../../shared/units/time';
import { type NoteOf, notesOf, type Record } from '../explain/record';
import { type Figure, figureOf } from './figure';
import { MODEL_LIMITS as LIMITS } from './limits';

export interface PlantGrowth {
  /** The mean of the time between the two; below 0 it is drops, not plants. */
  readonly gPerDay: Figure;
  readonly gainedG: number;
  readonly fromMs: number;
  readonly toMs: number;
}

type Full = NoteOf<'capacity'>;

/** Between the last two times at container capacity. Declines where they are not of the same pieces on the same scale. */
export function growthOf(record: Record): Verdict<PlantGrowth> {
  const full = notesOf(record, 'capacity');
  const last = full.at(-1);
  if (last === undefined) return decline(`The tray was never weighed full of water. ${SOAK}`);
  const brokenMs = lastBreakMs(record, last.atMs);
  const same = full.filter(({ atMs }) => atMs < last.atMs && atMs > brokenMs);
  if (same.length === 0)
    return decline(
      full.length > 1
        ? `Since other pieces stand there, or the scale was calibrated, the tray was weighed full of water only once; growth takes two. ${SOAK}`
        : `The tray was weighed full of water only once; growth takes two. ${SOAK}`,
    );
  const apart = same.filter(({ atMs }) => last.atMs - atMs >= GROWTH_LIMITS.leastMs);
  const before = apart.at(-1);
  if (before === undefined)
    return decline(
      `The tray was weighed full of water twice within ${GROWTH_LIMITS.leastMs / DAY_MS} days: plants gain less in that time than drops weigh. ${SOAK}`,
    );
  return gainOf(before, last);
}
const SOAK = 'Soak it again some days later, let it drain, and `mark soaked`.';

function gainOf(before: Full, last: Full): Verdict<PlantGrowth> {
  const waterG = before.entry.capacityG - before.entry.dryG;
  const gainedG = last.entry.capacityG - before.entry.capacityG;
  const days = (last.atMs - before.atMs) / DAY_MS;
  const { lessShare, mostShare } = GROWTH_LIMITS;
  if (!(gainedG >= -lessShare * waterG && gainedG <= mostShare * waterG))
    return decline(
      `Full of water the tray weighed ${Math.abs(gainedG).toFixed(0)} g ${gainedG < 0 ? 'less' : 'more'} than the time before: no plants do that in ${days.toFixed(0)} days. Pieces went or came without a mark, or it was not full.`,
    );
  return accept({
    gPerDay: figureOf(gainedG / days, (LIMITS.soakShare * waterG) / days),
    ...{ gainedG, fromMs: before.atMs, toMs: last.atMs },
  });
}

/** The last time before that from which on other pieces stand on the scale, or a gram is another one. */
function lastBreakMs(record: Record, untilMs: number): number {
  const marks = notesOf(record, 'mark').filter(({ entry }) => OTHER_PIECES.includes(entry.mark));
  const scales = notesOf(record, 'calibration').filter(
    ({ entry }) => entry.target === 'scale' || entry.target === 'scale-zero',
  );
  return [...marks, ...scales]
    .map(({ atMs }) => atMs)
    .filter((atMs) => atMs <= untilMs)
    .reduce((most, atMs) => Math.max(most, atMs), Number.NEGATIVE_INFINITY);
}
const OTHER_PIECES: readonly string[] = ['dry', 'moved', 'transplanted'];
