/** Counts of emergence in a grower's words. */

import { localTime } from '../terminal/local-time';
import { type Style, table, wrap } from '../terminal/output';
import { percent } from '../words/percent';
import { type KeptCount, placeText, type Sowing, type SowingResult } from './kept';
import { DAY_MS } from './limits';

export const days = (value: number): string => `${value.toFixed(1)} d`;

/**
 * What was just kept, what it says beside the counts `before` it, and what it calls for. `hereAlone`: the tray's own
 * journal does not have it.
 */
export function countText(kept: KeptCount, before: Sowing | undefined, hereAlone: boolean): string {
  const { standing, of, unixMs, sownMs } = kept;
  const earlier = (before?.counts ?? []).filter((one) => one.unixMs < unixMs);
  const mostBefore = Math.max(0, ...earlier.map((one) => one.standing));
  const share = standing / of;
  const day = ((unixMs - sownMs) / DAY_MS).toFixed(1);
  return [
    `Kept: ${standing} of ${of} stand on day ${day}, ${percent(share)}.`,
    ...(standing < mostBefore
      ? [
          `That is ${mostBefore - standing} fewer than before: have they fallen, or was it a slip? Look for damping off.`,
        ]
      : []),
    ...(share >= 0.5 && mostBefore / of < 0.5
      ? ['Half of them are up: `trayward mark emerged`, where it is not marked yet.']
      : []),
    ...(hereAlone ? ['It is kept on this laptop, not in the journal of the tray.'] : []),
  ].join(' ');
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
