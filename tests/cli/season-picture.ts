/** A plain season of the bench, told by its journal as any tray's: what the README shows. */
import { dateEntries } from '../../cli/journal/dating';
import type { Report } from '../../cli/report/model';
import { reportOf } from '../../cli/report/of-journal';
import { ALONE_PX, aloneOf, NARROW_PX } from '../../cli/report/plot/alone';
import { planFor } from '../../firmware/bench/season/matrix';
import { runSeason } from '../../firmware/bench/season/season';
import { decodeProfile, encodeProfile } from '../../shared/profile/image';

/** A cool room, in which the mat has to work; days until the blocks have had their first feed. */
const ROOM = { swingK: 2, days: 24 } as const;
const PLAN = planFor('cucumber', 18, 4, 'daily');
/** Any number does for a controller that there is not. */
const BOARD = 'e66100000000000b';

/** Widths of the picture, px, by the name of its file. */
export const SHOWN: Readonly<Record<string, number>> = {
  'cli/report/season.svg': ALONE_PX,
  'cli/report/season-narrow.svg': NARROW_PX,
};

export function seasonReport(): Report {
  const { journal } = runSeason({ ...PLAN, ...ROOM });
  const decoded = decodeProfile(encodeProfile(PLAN.profile));
  if (!decoded.ok) throw new Error(decoded.reason);
  const report = reportOf(
    [{ life: 1, entries: journal, damaged: 0 }],
    { byId: new Map([[decoded.id, decoded.profile]]), activeId: null },
    {
      ...{ boardId: BOARD, sinceMs: null, untilMs: null },
      nowMs: dateEntries(journal).at(-1)?.unixMs ?? 0,
      ...{ units: 'metric', offsetMin: 0, matW: null, tariff: null },
    },
  );
  if (report === null) throw new Error('the season has no journal');
  return report;
}

export const seasonPictures = (report: Report): Readonly<Record<string, string>> =>
  Object.fromEntries(
    Object.entries(SHOWN).map(([file, widthPx]) => [file, aloneOf(report, widthPx)]),
  );
