/** A room of simulated trays in this process, with a keeper at real doors: its hours pass in moments. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { KeepPlan, KeptTray, PagePlan, Tell } from '../../cli/keep/config/plan';
import type { Door } from '../../cli/keep/doors/door';
import { Keeper } from '../../cli/keep/keeper';
import { type OutboxDisk, openOutboxDisk } from '../../cli/keep/outbox/disk';
import { Outbox } from '../../cli/keep/outbox/outbox';
import { Postman } from '../../cli/keep/postman';
import { TrayWatch } from '../../cli/keep/tray/watch';
import { type Client, LinkError } from '../../cli/link/client';
import { SECOND_MS } from '../../shared/units/time';
import { clientOf } from '../cli/worlds';
import type { Grower } from '../simulation/grower';

export const tell = (who: string, door: string, changes: Partial<Tell> = {}): Tell => ({
  ...{ id: `${who} by ${door}`, who, door, to: null, trays: null, what: 'all', quiet: null },
  ...changes,
});

export interface RoomOptions {
  readonly trays: Readonly<Record<string, Grower>>;
  readonly tells: readonly Tell[];
  readonly disk?: OutboxDisk;
  readonly page?: PagePlan;
}

/** Trays are reached at ports of their own name. */
export class Room {
  readonly store = mkdtempSync(join(tmpdir(), 'trayward-room-'));
  readonly said: string[] = [];
  /** Ports that are pulled out. */
  readonly pulled = new Set<string>();
  /** How far this computer's clock is from the room's. */
  clockOffMs = 0;
  #keeper: Keeper | null = null;
  #postman: Postman | null = null;
  #steadyMs = 0;
  #watches: readonly TrayWatch[] = [];
  /** Runs after each round, as the keeper's open doors do. */
  afterRound: () => unknown = () => undefined;

  constructor(private readonly options: RoomOptions) {}

  get nowMs(): number {
    const [first] = Object.values(this.options.trays);
    return (first?.bench.unixMs ?? 0) + this.clockOffMs;
  }

  get keeper(): Keeper {
    if (this.#keeper === null) throw new Error('no keeper runs');
    return this.#keeper;
  }

  /** What its keeper sees, for open doors. */
  get watches(): readonly TrayWatch[] {
    return this.#watches;
  }

  /** The world of its keeper, and of commands beside it. */
  readonly world = {
    now: () => this.nowMs,
    nowAt: async () => this.nowMs,
    connect: async (port: string) => this.#connect(port),
    findControllers: async () => [],
  };

  /** Time that no setting of the clock moves, ms. */
  get steadyMs(): number {
    return this.#steadyMs;
  }

  /** Starts a keeper on what an earlier one left on the disk. */
  start(doors: ReadonlyMap<string, Door>, tells = this.options.tells): void {
    const { trays } = this.options;
    const plan = this.#plan(Object.keys(trays), tells);
    const disk = this.options.disk ?? openOutboxDisk(join(this.store, 'keep'));
    const outbox = Outbox.open(disk, this.nowMs, () => 'keeper');
    const around = { now: () => this.nowMs, steadyMs: () => this.#steadyMs };
    const say = (text: string): unknown => this.said.push(text);
    const postman = new Postman(doors, tells, outbox, { from: plan.name, ...around, say });
    this.#watches = plan.trays.map((tray) => this.#watch(tray));
    this.#postman = postman;
    this.#keeper = new Keeper({ plan, watches: this.#watches, outbox, postman, ...around, say });
  }

  /** Lets time pass, with a look each `everyMs`. */
  async run(ms: number, everyMs = 10 * SECOND_MS): Promise<void> {
    for (let doneMs = 0; doneMs < ms; doneMs += everyMs) {
      for (const grower of Object.values(this.options.trays)) grower.bench.run(everyMs);
      this.#steadyMs += everyMs;
      await this.keeper.round();
      await this.#postman?.settled();
      await this.afterRound();
    }
  }

  end(): void {
    rmSync(this.store, { recursive: true, force: true });
  }

  #plan(names: readonly string[], tells: readonly Tell[]): KeepPlan {
    return {
      ...{ file: 'room.yaml', name: 'room', units: 'metric', morningMin: 420, heartbeat: null },
      ...{ page: this.options.page ?? null, sparkplug: null, metrics: null },
      trays: names.map((name) => ({ name, port: name, controller: null })),
      ...{ doors: [], tells },
    };
  }

  #watch(tray: KeptTray): TrayWatch {
    return new TrayWatch(tray, {
      world: this.world,
      store: this.store,
      steadyMs: () => this.#steadyMs,
      share: async () => {},
      claim: () => {},
      say: (text) => this.said.push(text),
    });
  }

  #connect(port: string): Client {
    const grower = this.options.trays[port];
    if (grower === undefined || this.pulled.has(port)) {
      throw new LinkError('absent', `There is no port ${port}.`);
    }
    const silent = (): LinkError => new LinkError('silent', `Nothing answers at ${port}.`);
    let line: Client;
    try {
      grower.connect();
      line = clientOf(grower);
    } catch {
      throw silent();
    }
    return {
      ...line,
      port,
      call: async (method, params) => {
        if (this.pulled.has(port)) throw new LinkError('lost', `The line to ${port} was cut.`);
        try {
          return await line.call(method, params);
        } catch (error) {
          throw error instanceof LinkError ? error : silent();
        }
      },
    };
  }
}
