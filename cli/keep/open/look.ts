/** What open doors see of the trays now. */
import { statusAhead } from '../../away/status';
import { OPEN_LIMITS, WATCH_LIMITS } from '../limits';
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

interface Forecast {
  /** End of the journal that it is by. */
  readonly end: string;
  /** When it was reckoned, and the dose, both in the tray's own time. */
  readonly atMs: number;
  readonly doseMs: number | null;
}

/** When next doses are expected. A forecast takes a fifth of a second, so they are reckoned by turns. */
export class Forecasts {
  readonly #known = new Map<string, Forecast>();
  #left = 0;

  /** Another look at all trays begins. */
  lookBegins(): void {
    this.#left = OPEN_LIMITS.forecastsAtOnce;
  }

  /** In the tray's own time; null where the journal tells too little, or its turn has not come. */
  doseMs(tray: string, { life, profiles, status, trayMs }: Live): number | null {
    if (life === null || status === null || trayMs === null) return null;
    const end = `${life.life} ${life.entries.at(-1)?.sequence}`;
    const known = this.#known.get(tray);
    if (this.#left === 0 || !isDue(known, end, trayMs)) return known?.doseMs ?? null;
    this.#left -= 1;
    const answered = { lives: [life], profiles, status, nowUnixMs: trayMs };
    const found = statusAhead({ ...answered, units: 'metric' });
    const dose = found.ok ? found.ahead.nextDose : null;
    const doseMs = dose?.kind === 'expected' ? dose.unixMs : null;
    this.#known.set(tray, { end, atMs: trayMs, doseMs });
    return doseMs;
  }
}

function isDue(known: Forecast | undefined, end: string, nowMs: number): boolean {
  if (known === undefined) return true;
  if (known.end === end) return false;
  const isPast = known.doseMs !== null && known.doseMs < nowMs;
  return isPast || Math.abs(nowMs - known.atMs) >= OPEN_LIMITS.forecastEveryMs;
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
