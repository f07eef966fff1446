/** A night of the bench in which the power failed, explained as any journal is: what the README shows. */
import { accountOf } from '../../cli/explain/account';
import { accountText } from '../../cli/explain/text';
import { createStyle } from '../../cli/terminal/output';
import { runNight } from '../../firmware/bench/nights/night';
import { HOUR_MS } from '../../shared/units/time';

/** A screen of a terminal. */
export const COLUMNS = 80;

/** Sown in the afternoon in a cool room; the mains fails in the second night, and somebody comes in the morning. */
export function explainedNight(): string {
  const { journal, profile, profileId, nowMs } = runNight({
    ...{ seed: 2, kind: 'single', scene: 'germinating', roomC: 17, startHour: 15 },
    troubles: [{ fault: 'mains-cut', fromMs: 34.6 * HOUR_MS, forMs: 4.4 * HOUR_MS }],
    askedMs: 46 * HOUR_MS,
  });
  const account = accountOf(
    [{ life: 1, entries: journal, damaged: 0 }],
    { byId: new Map([[profileId, profile]]), activeId: profileId },
    { sinceMs: nowMs - 24 * HOUR_MS, untilMs: nowMs, nowMs, units: 'metric' },
  );
  const options = {
    style: createStyle(false, COLUMNS),
    units: 'metric',
    nowMs,
    evidence: false,
  } as const;
  return accountText(account, options);
}
