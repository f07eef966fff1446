/** Reports of made-up journals as they are looked at: an evening's, unless more is said. */
import type { Report } from '../../cli/report/model';
import { reportOf, type Wanted } from '../../cli/report/of-journal';
import { HOUR_MS } from '../../shared/units/time';
import { EVENING_MS, MadeJournal, PROFILE_ID } from './made-journal';

export const WANTED: Wanted = {
  boardId: 'e66100000000000b',
  sinceMs: null,
  untilMs: null,
  nowMs: EVENING_MS,
  units: 'metric',
  offsetMin: 0,
  matW: null,
  tariff: null,
};

export function reported(made: MadeJournal, wanted: Partial<Wanted> = {}): Report {
  const report = reportOf(
    [{ life: 1, entries: made.entries, damaged: 0 }],
    { byId: new Map([[PROFILE_ID, made.profile]]), activeId: null },
    { ...WANTED, ...wanted },
  );
  if (report === null) throw new Error('there is no report');
  return report;
}
/** The same, looked at when the journal ends. */
export const fresh = (made: MadeJournal, hours: number): Report =>
  reported(made, { nowMs: EVENING_MS + hours * HOUR_MS });

export const calm = (): MadeJournal => new MadeJournal().goOn(12, { trayG: (h) => 4590 - 0.2 * h });
export const cooling = (h: number): number => 16 + 11 * Math.exp(-h / 6);
export const says = (lines: readonly { says: string }[]): string =>
  lines.map((line) => line.says).join(' ');
export const tableOf = (report: Report, title: string) =>
  report.tables.find((table) => table.title.startsWith(title));
