/** Counts of emergence in a grower's words. */

import { DAY_MS } from '../../shared/units/time';
import { localTime } from '../terminal/local-time';
import { type Style, table, wrap } from '../terminal/output';
import { percent } from '../words/percent';
import { type KeptCount, placeText, type SeedPlace, type Sowing, type SowingResult } from './kept';

export const days = (value: number): string => `${value.toFixed(1)} d`;

/**
 * What was just kept, what it says beside the counts `before` it, and what it calls for. `hereAlone`: the tray's own
 * journal does not have it.
 */
export function countText(
  kept: KeptCount,
  before: Sowing | undefined,
  { kind }: SeedPlace,
  hereAlone: boolean,
): string {
  const { standing, of, unixMs, sownMs, insteadMs } = kept;
  const counts = before?.counts ?? [];
  const slip = counts.find((one) => one.unixMs === insteadMs);
  const earlier = counts.filter((one) => one.unixMs < unixMs && one !== slip);
  const mostBefore = Math.max(0, ...earlier.map((one) => one.standing));
  const share = standing / of;
  const day = dayText((unixMs - sownMs) / DAY_MS);
  return [
    slip === undefined
      ? `Kept: ${standing} of ${of} ${standing === 1 ? 'stands' : 'stand'} ${day}, ${percent(share)}.`
      : `Kept in place of ${slip.standing} of ${slip.of}: ${standing} of ${of} stood ${day}, ${percent(share)}.`,
    ...(standing < mostBefore
      ? [
          `That is ${mostBefore - standing} fewer than before. If they have fallen, look for damping off. If the count before was a slip, take it back: \`trayward seed count ... --instead\` with what it should have been.`,
        ]
      : []),
    ...(share >= 0.5 && mostBefore / of < 0.5 ? [halfUpText(of, kind)] : []),
    ...(hereAlone ? ['It is kept on this laptop, not in the journal of the tray.'] : []),
  ].join(' ');
}

/** When it was counted, in days from sowing. */
function dayText(day: number): string {
  const written = day.toFixed(1);
  return Number(written) === 0 ? 'on the day of sowing' : `on day ${written}`;
}

/** What half of the seed being up calls for: a lot stands on no tray that waits for a mark. */
function halfUpText(of: number, kind: SeedPlace['kind']): string {
  const up = of === 1 ? 'It is up' : 'Half of them are up';
  return kind === 'lot'
    ? `${up}.`
    : `${up}: \`trayward mark emerged\`, where it is not marked yet.`;
}

/** All counts of a sowing. */
export function sowingText({ place, sownMs, of, counts }: SowingResult, style: Style): string {
  const rows = counts.map(({ unixMs, day, standing }) => [
    localTime(unixMs),
    day.toFixed(1),
    String(standing),
    percent(standing / of),
  ]);
  const columns = [
    { title: 'counted' },
    { title: 'day', align: 'right' },
    { title: `of ${of}`, align: 'right' },
    { title: 'share', align: 'right' },
  ] as const;
  const head = `Counts of ${placeText(place)}, sown ${localTime(sownMs)}:`;
  return `${wrap(head, style.width)}\n${table(columns, rows, style)}`;
}
