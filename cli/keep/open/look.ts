/** What open doors see of the trays now. */
import { statusAhead } from '../../away/status';
import { WATCH_LIMITS } from '../limits';
import type { Live, TrayWatch } from '../tray/watch';
import type { Reading } from './measures';

/** A tray, for whoever reads the doors. */
export interface Look {
  readonly tray: string;
  readonly controller: string | null;
  /** When it last answered, Unix ms. */
  readonly heardMs: number | null;
  /** Null while it is not heard. */
  readonly reading: Reading | null;
}

/** When the next dose is expected, reckoned once for each end of a journal: a forecast takes some milliseconds. */
export class Forecasts {
  readonly #known = new Map<string, { readonly end: string; readonly doseMs: number | null }>();

  /** In the tray's own time; null where the journal tells too little. */
  doseMs(tray: string, { life, profiles, status }: Live): number | null {
    if (life === null || status === null) return null;
    const end = `${life.life} ${life.entries.at(-1)?.sequence}`;
    const known = this.#known.get(tray);
    if (known?.end === end) return known.doseMs;
    const doseMs = statusAhead([life], profiles, status, 'metric')?.nextDose?.unixMs ?? null;
    this.#known.set(tray, { end, doseMs });
    return doseMs;
  }
}

/** A tray as it stands at `nowMs`. */
export function lookAt(
  { plan: { name }, live }: Pick<TrayWatch, 'plan' | 'live'>,
  forecasts: Forecasts,
  nowMs: number,
): Look {
  const { boardId, heardMs, status, trayMs, lost } = live;
  const about = { tray: name, controller: boardId, heardMs };
  const isFresh = heardMs !== null && nowMs - heardMs <= WATCH_LIMITS.staleMs;
  if (status === null || trayMs === null || lost !== null || !isFresh) {
    return { ...about, reading: null };
  }
  const apartMs = heardMs - trayMs;
  const doseMs = forecasts.doseMs(name, live);
  return {
    ...about,
    reading: { status, apartMs, nextDoseMs: doseMs === null ? null : doseMs + apartMs },
  };
}
