/** What a tray did in a time, in figures: the band kept, the water given; for when there is nothing to explain. Pure. */
import { percent } from '../words/percent';
import type { Sentence } from './finding';
import { arrivedOf } from './given';
import { between, type Reading, type Record } from './record';

/** What the tray did. Null: nobody knows. */
export interface Quiet {
  readonly readings: number;
  readonly coldestC: number | null;
  readonly warmestC: number | null;
  /** Share of the readings inside the band, within the half kelvin that switching takes. */
  readonly inBandShare: number | null;
  readonly doses: number;
  readonly givenMl: number;
  readonly dryBackLeast: number | null;
  readonly dryBackMost: number | null;
}

/** Within this of its band a root zone is in it, K: the mat's switching and a probe's error. */
const IN_BAND_K = 0.5;

export function quietOf(record: Record, fromMs: number, toMs: number): Quiet {
  const readings = between(record.readings, fromMs, toMs).filter(
    ({ note }) => note.dated.entry.kind === 'reading',
  );
  const roots = readings.map(({ rootZoneC }) => rootZoneC).filter(Number.isFinite);
  const banded = readings.filter(
    ({ band, rootZoneC }) => band !== null && Number.isFinite(rootZoneC),
  );
  const inside = banded.filter(isInBand);
  const dry = readings.map(({ dryBackShare }) => dryBackShare).filter(Number.isFinite);
  const doses = between(arrivedOf(record), fromMs, toMs);
  return {
    readings: readings.length,
    coldestC: least(roots),
    warmestC: most(roots),
    inBandShare: banded.length === 0 ? null : inside.length / banded.length,
    doses: doses.length,
    givenMl: doses.reduce((sum, { ml }) => sum + ml, 0),
    dryBackLeast: least(dry),
    dryBackMost: most(dry),
  };
}

const isInBand = ({ band, rootZoneC }: Reading): boolean =>
  band !== null && rootZoneC >= band.lowC - IN_BAND_K && rootZoneC <= band.highC + IN_BAND_K;

/** Whether a root zone, with nothing wrong, is outside its band at the end: it was soaked, sown or given that band lately. */
export function isOnItsWay(record: Record, fromMs: number, toMs: number): boolean {
  const last = between(record.readings, fromMs, toMs).at(-1);
  return (
    last !== undefined && last.band !== null && Number.isFinite(last.rootZoneC) && !isInBand(last)
  );
}

const least = (values: readonly number[]): number | null =>
  values.length === 0 ? null : values.reduce((a, b) => Math.min(a, b));
const most = (values: readonly number[]): number | null =>
  values.length === 0 ? null : values.reduce((a, b) => Math.max(a, b));

/** `root zone 24.1 to 25.9 °C, in its band 100 % of the time; 3 doses, 180 ml; dry-back 1.0 to 3.1 %`. */
export const quietText =
  (quiet: Quiet, onItsWay: boolean): Sentence =>
  ({ value }) => {
    const { coldestC, warmestC, inBandShare, doses, givenMl, dryBackLeast, dryBackMost } = quiet;
    const way = onItsWay ? ' and on its way there now' : '';
    const band =
      inBandShare === null ? '' : `, in its band ${percent(inBandShare)} of the time${way}`;
    const parts = [
      ...(coldestC === null || warmestC === null
        ? []
        : [
            `root zone ${value('temperature', coldestC)} to ${value('temperature', warmestC)}${band}`,
          ]),
      doses === 0
        ? 'no doses'
        : `${doses === 1 ? '1 dose' : `${doses} doses`}, ${value('volume', givenMl)}`,
      ...(dryBackLeast === null || dryBackMost === null
        ? []
        : [`dry-back ${value('share', dryBackLeast)} to ${value('share', dryBackMost)}`]),
    ];
    return parts.join('; ');
  };
