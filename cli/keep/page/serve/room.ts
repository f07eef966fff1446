/** What is shown of a room: the watches of its trays, and what is reckoned of them, as the pages have it. */
import type { UnitSystem } from '../../../../shared/units';
import type { Plot } from '../../../report/plot/model';
import { localTime } from '../../../terminal/local-time';
import type { Fact } from '../../../terminal/output';
import { trayFacts } from '../../../words/status';
import { trayPath } from '../address';
import type { RoomShown } from '../draw/room';
import type { TrayShown } from '../draw/tray';
import { alarmsShown } from '../shown/alarms';
import { byButton } from '../shown/by-button';
import { type KeeperNow, roomHead } from '../shown/room';
import { alarmsOf, lineOf, type TrayNow } from '../shown/tray';
import { endOf, Reckoner, type Watched } from './reckoner';

const withButtons = (fact: Fact): Fact => ({ ...fact, note: byButton(fact.note ?? '') });

export interface PageRoomParts {
  /** Name of the keeper; null where one tray is shown without any. */
  readonly title: string | null;
  readonly units: UnitSystem;
  readonly watches: readonly Watched[];
  /** When it began to look and what time it is, Unix ms, by the clock that the watches go by. */
  readonly times: () => { readonly startedMs: number; readonly nowMs: number };
  /** How the keeper itself does; null where there is none. */
  readonly keeper: () => KeeperNow | null;
}

export class PageRoom {
  readonly reckoner: Reckoner;

  constructor(readonly parts: PageRoomParts) {
    const { watches, units, times } = parts;
    this.reckoner = new Reckoner(watches, units, () => times().nowMs);
  }

  watch(tray: string): Watched | null {
    return this.parts.watches.find(({ plan }) => plan.name === tray) ?? null;
  }

  room(): RoomShown {
    const { watches, title, keeper, times } = this.parts;
    const lines = watches.map((watch) => lineOf(this.#now(watch)));
    return {
      title: title ?? 'Trayward',
      head: roomHead(lines, keeper(), times().nowMs),
      lines,
      plots: watches.map(({ plan }) => this.reckoner.figures(plan.name)?.plot ?? null),
    };
  }

  tray(watch: Watched): TrayShown {
    const { title, units, watches, times } = this.parts;
    const now = this.#now(watch);
    const { status } = watch.live;
    const report = this.reckoner.report(watch);
    return {
      ...{ line: lineOf(now), units, report },
      room: watches.length > 1 ? title : null,
      at: localTime(times().nowMs).slice(11, 16),
      alarms: alarmsShown(now, alarmsOf(now).length === 0 ? null : this.reckoner.detail(watch)),
      facts: status === null ? [] : trayFacts(status, units).map(withButtons),
      plotAt: report === null ? null : `${trayPath(now.name)}/plot?end=${endOf(watch.live)}`,
    };
  }

  plot(watch: Watched): Plot | null {
    return this.reckoner.report(watch)?.plot ?? null;
  }

  #now({ plan, live }: Watched): TrayNow {
    const { units, times } = this.parts;
    return { name: plan.name, live, units, figures: this.reckoner.figures(plan.name), ...times() };
  }
}
