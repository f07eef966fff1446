/** A room of simulated trays whose keeper serves its page on loopback. */
import { actsOf } from '../../../cli/commands/page-acts';
import type { PagePlan } from '../../../cli/keep/config/plan';
import { type PageServer, pageServer } from '../../../cli/keep/page/serve/listen';
import type { Watched } from '../../../cli/keep/page/serve/reckoner';
import { PageRoom } from '../../../cli/keep/page/serve/room';
import type { Profile } from '../../../shared/profile/profile';
import { HOUR_MS, SECOND_MS } from '../../../shared/units/time';
import { worldOf } from '../../cli/worlds';
import { Grower, TEST_PROFILE } from '../../simulation/grower';
import { Room } from '../room';

export interface HouseOptions {
  readonly trays: Readonly<Record<string, Grower>>;
  readonly page?: Partial<PagePlan>;
  /** Shows so many trays: the same ones again and again, under names of their own. */
  readonly shown?: number;
}

/** A tray in service for `hours`. */
export function trayInUse(seed: number, hours = 26, profile: Profile = TEST_PROFILE): Grower {
  const grower = new Grower({ seed });
  grower.commission(profile);
  grower.call('mark.set', { mark: 'refilled', volumeMl: 2500, feedEc: 0.8 });
  grower.bench.run(hours * HOUR_MS);
  return grower;
}

export class House {
  private constructor(
    readonly room: Room,
    readonly server: PageServer,
    readonly pages: PageRoom,
  ) {}

  static async open({ trays, page = {}, shown }: HouseOptions): Promise<House> {
    const room = new Room({ trays, tells: [] });
    room.start(new Map());
    await room.run(30 * SECOND_MS);
    const { watches } = room.keeper.parts;
    const pages = new PageRoom({
      ...{ title: 'north-room', units: 'metric', times: () => room.keeper.times },
      watches: shown === undefined ? watches : manyOf(watches, shown),
      keeper: () => ({ diskFailing: null, doors: [] }),
    });
    const plan = { listen: { host: '127.0.0.1', port: 0 }, url: null, token: null, ...page };
    const server = await pageServer(plan, {
      ...{ room: pages, keeper: 'north-room', say: () => {} },
      perform: actsOf({ world: worldOf(room.world), store: room.store, units: 'metric' }),
      ...{ nowMs: () => room.nowMs, steadyMs: () => room.steadyMs },
    });
    while (pages.reckoner.step());
    await server.open();
    return new House(room, server, pages);
  }

  get url(): string {
    return this.server.state.address;
  }

  /** Lets time pass at the trays, and has it shown. */
  async run(ms: number): Promise<void> {
    await this.room.run(ms);
    while (this.pages.reckoner.step());
  }

  end(): void {
    this.server.close();
    this.room.end();
  }
}

/** The same trays under names of their own, each with readings of its own: else a page of them would be packed too well. */
function manyOf(watches: readonly Watched[], count: number): readonly Watched[] {
  return Array.from({ length: count }, (_, i) => {
    const watch = watches[i % watches.length];
    if (watch === undefined) throw new Error('a room has a tray');
    return {
      plan: { ...watch.plan, name: `${watch.plan.name} ${i + 1}` },
      live: unlike(watch.live, i),
      look: () => watch.look(),
    };
  });
}

function unlike(live: Watched['live'], i: number): Watched['live'] {
  let random = i + 1;
  const off = (size: number): number => {
    random = (random * 1_103_515_245 + 12_345) % 2 ** 31;
    return (random / 2 ** 31 - 0.5) * size;
  };
  const { life } = live;
  if (life === null) throw new Error('no journal is kept yet');
  const entries = life.entries.map((entry) =>
    entry.kind === 'reading'
      ? { ...entry, rootZoneC: entry.rootZoneC + off(0.6), trayG: entry.trayG + off(20) }
      : entry,
  );
  return { ...live, life: { ...life, entries } };
}
