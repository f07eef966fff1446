/** Made-up nights that more than one test explains, and what is said of them. */
import { accountOf } from '../../cli/explain/account';
import type { Finding } from '../../cli/explain/finding';
import { accountText } from '../../cli/explain/text';
import { createStyle } from '../../cli/terminal/output';
import type { JournalEntry } from '../../shared/journal/kinds';
import { HOUR_MS } from '../../shared/units/time';
import { EVENING_MS, MadeJournal, PROFILE_ID, type Stretch, TRAY } from './made-journal';

/** Twelve hours in which all is well, so that what is usual is known. */
export const calm = (): MadeJournal => new MadeJournal().goOn(12, { trayG: (h) => 4590 - 0.2 * h });
export const findings = (made: MadeJournal): readonly Finding[] =>
  made.story.incidents.flatMap((incident) => incident.findings);
export const cold = (made: MadeJournal): Finding | undefined =>
  findings(made).find(({ kind }) => kind === 'cold');

/** Cools as a wet tray does, from 27 C towards 16 C. */
export const cooling = (h: number): number => 16 + 11 * Math.exp(-h / 6);
export const dead: Stretch = { rootC: cooling, matC: (h) => cooling(h) - 0.2, duty: 1 };

/** What `explain` says of it. */
export function textOf(
  made: { readonly entries: readonly JournalEntry[] },
  evidence = false,
): string {
  const nowMs = EVENING_MS + 40 * HOUR_MS;
  const account = accountOf(
    [{ life: 1, entries: made.entries, damaged: 0 }],
    { byId: new Map([[PROFILE_ID, TRAY]]), activeId: PROFILE_ID },
    { sinceMs: EVENING_MS, untilMs: nowMs, nowMs, units: 'metric' },
  );
  return accountText(account, { style: createStyle(false), units: 'metric', nowMs, evidence });
}

/** The same in one line. */
export const flatTextOf = (made: MadeJournal): string => textOf(made).replace(/\s+/g, ' ');
