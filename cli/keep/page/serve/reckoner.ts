/**
 * Figures of each tray, reckoned as its journal grows: one tray at a time, and resting in between, so that the keeping of
 * trays never waits for a page.
 */
import type { UnitSystem } from '../../../../shared/units';
import type { Report } from '../../../report/model';
import { reportOf } from '../../../report/of-journal';
import type { Detail, Kept } from '../../tray/detail';
import { Details } from '../../tray/details';
import type { Live, TrayWatch } from '../../tray/watch';
import { plotMarkup } from '../draw/room';
import { PAGE_LIMITS } from '../limits';
import { type Figures, figuresOf, offsetMinAt } from '../shown/figures';

export type Watched = Pick<TrayWatch, 'plan' | 'live' | 'look'>;

/** Of which entry of which life it was reckoned. */
interface Reckoned<T> {
  readonly end: string;
  readonly value: T;
}

/** The end of a journal, as a word; null while none is kept. */
export function endOf({ life }: Live): string | null {
  const last = life?.entries.at(-1);
  return life === null || last === undefined ? null : `${life.life}-${last.sequence}`;
}

function keptOf(
  { life, profiles, status, trayMs }: Live,
  units: UnitSystem,
  nowMs: number,
): Kept | null {
  return life === null ? null : { life, profiles, status, units, nowMs: trayMs ?? nowMs };
}

export class Reckoner {
  readonly #figures = new Map<string, Reckoned<Figures>>();
  readonly #reports = new Map<string, Reckoned<Report | null>>();
  readonly #details = new Details();
  #timer: NodeJS.Timeout | null = null;

  constructor(
    private readonly watches: readonly Watched[],
    private readonly units: UnitSystem,
    private readonly nowMs: () => number,
  ) {}

  figures(tray: string): Figures | null {
    return this.#figures.get(tray)?.value ?? null;
  }

  /** What is kept in memory of a tray as a report; null where nothing is. Once for each end of its journal. */
  report({ plan: { name }, live }: Watched): Report | null {
    const end = endOf(live);
    const known = this.#reports.get(name);
    if (end !== null && known?.end === end) return known.value;
    const kept = keptOf(live, this.units, this.nowMs());
    if (end === null || kept === null) return null;
    const { life, profiles, nowMs } = kept;
    const value = reportOf([life], profiles, {
      ...{ boardId: live.boardId ?? '', sinceMs: null, untilMs: null, nowMs, units: this.units },
      ...{ offsetMin: offsetMinAt(nowMs), matW: null, tariff: null },
    });
    this.#reports.set(name, { end, value });
    return value;
  }

  /** What its journal says of causes; null where none is kept. Reckoned when it is asked for. */
  detail({ plan, live }: Watched): Detail | null {
    const kept = keptOf(live, this.units, this.nowMs());
    return kept === null ? null : this.#details.now(plan.name, kept);
  }

  /** Reckons one tray that has news; whether there was one. */
  step(): boolean {
    for (const { plan, live } of this.watches) {
      const end = endOf(live);
      if (end === null || this.#figures.get(plan.name)?.end === end) continue;
      const kept = keptOf(live, this.units, this.nowMs());
      if (kept === null) continue;
      const value = figuresOf(kept);
      this.#figures.set(plan.name, { end, value });
      // Whoever opens the page does not wait for it to be drawn.
      plotMarkup(value.plot, plan.name);
      return true;
    }
    return false;
  }

  /** Goes on by itself until it is stopped. */
  start(): void {
    const beganMs = performance.now();
    const isBusy = this.step();
    const tookMs = performance.now() - beganMs;
    const restMs = isBusy ? tookMs * PAGE_LIMITS.restTimes : PAGE_LIMITS.newsEveryMs;
    this.#timer = setTimeout(() => this.start(), restMs);
    this.#timer.unref();
  }

  stop(): void {
    if (this.#timer !== null) clearTimeout(this.#timer);
  }
}
