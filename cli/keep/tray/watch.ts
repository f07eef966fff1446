/** One tray: its port opened and held, its clock set, its journal pulled as entries appear, its state kept. */
import type { Hello } from '../../../shared/link/methods';
import type { Status } from '../../../shared/link/status';
import { setClock } from '../../connection';
import type { World } from '../../context';
import { CommandError } from '../../failure';
import type { KnownProfiles } from '../../journal/profiles';
import { keptProfiles } from '../../journal/profiles';
import { pullOnce } from '../../journal/pull-into';
import { readStoreEnd, type StoredLife } from '../../journal/store';
import { type Client, LinkError, type LinkErrorKind } from '../../link/client';
import type { KeptTray } from '../config/plan';
import { WATCH_LIMITS } from '../limits';

/** What a watch needs of the world around it. */
export interface WatchAround {
  readonly world: Pick<World, 'now' | 'nowAt' | 'connect' | 'findControllers'>;
  /** Time that no setting of the clock moves, ms. */
  readonly steadyMs: () => number;
  /** Folder of journals. */
  readonly store: string;
  /** Makes a port this keeper's, to be shared with the other commands. Throws where another keeper has it. */
  readonly share: (port: string) => Promise<void>;
  /** The same for the controller that answered there; throws `LinkError` where another tray of this keeper has it. */
  readonly claim: (tray: string, hello: Hello) => void;
  readonly say: (text: string) => void;
}

/** What is known of a tray now. */
export interface Live {
  readonly port: string | null;
  readonly boardId: string | null;
  /** When it last answered, Unix ms; null: not since the keeper started. */
  readonly heardMs: number | null;
  /** Its last status, and the time at the tray then. */
  readonly status: Status | null;
  readonly trayMs: number | null;
  /** Why it is not heard now; null while it is. */
  readonly lost: { readonly kind: LinkErrorKind; readonly message: string } | null;
  /** The end of its journal, and the profiles it speaks of. */
  readonly life: StoredLife | null;
  readonly profiles: KnownProfiles;
  /** The disk does not take its journal. */
  readonly diskFull: boolean;
}

const NO_PROFILES: KnownProfiles = { byId: new Map(), activeId: null };

export class TrayWatch {
  #client: Client | null = null;
  #live: Live = {
    ...{ port: null, boardId: null, heardMs: null, status: null, trayMs: null, lost: null },
    ...{ life: null, profiles: NO_PROFILES, diskFull: false },
  };
  #busy = false;
  #tries = 0;
  #nextTryMs = Number.NEGATIVE_INFINITY;
  #clockSetMs = Number.NEGATIVE_INFINITY;
  /** First sequence number that is not pulled yet. */
  #pulledTo = 0;

  constructor(
    readonly plan: KeptTray,
    private readonly around: WatchAround,
  ) {}

  get live(): Live {
    return this.#live;
  }

  /** Looks once; while a look is under way another one does nothing. Throws only where another keeper has the tray. */
  async look(): Promise<void> {
    if (this.#busy) return;
    this.#busy = true;
    try {
      await this.#lookNow();
    } catch (error) {
      await this.#lost(error);
    } finally {
      this.#busy = false;
    }
  }

  /** Does `work` at the tray, between looks. Throws `LinkError` where it is not heard, or says no. */
  async act<T>(work: (client: Client) => Promise<T>): Promise<T> {
    const { lost } = this.#live;
    if (this.#client === null || lost !== null) {
      throw new LinkError('absent', lost?.message ?? `${this.plan.name} is not heard yet.`);
    }
    return work(this.#client);
  }

  /** This computer's clock was set by `byMs`. */
  clockMoved(byMs: number): void {
    const { heardMs } = this.#live;
    if (heardMs !== null) this.#live = { ...this.#live, heardMs: heardMs + byMs };
  }

  async close(): Promise<void> {
    const client = this.#client;
    this.#client = null;
    await client?.close().catch(() => undefined);
  }

  async #lookNow(): Promise<void> {
    const { world, steadyMs } = this.around;
    if (this.#client === null && steadyMs() < this.#nextTryMs) return;
    this.#client ??= await this.#connect();
    const client = this.#client;
    const status = await client.call('status.read', {});
    const trayMs = await world.nowAt(client.port);
    await this.#keepClock(client, status, trayMs);
    this.#heard(status, trayMs);
    if (status.journal.next > this.#pulledTo) await this.#pull(client, status);
  }

  #heard(status: Status, trayMs: number): void {
    if (this.#live.lost !== null) this.around.say(`${this.plan.name}: heard again.`);
    this.#tries = 0;
    this.#live = { ...this.#live, status, trayMs, heardMs: this.around.world.now(), lost: null };
  }

  async #connect(): Promise<Client> {
    const { world, share, claim } = this.around;
    const port = this.plan.port ?? (await this.#find());
    await share(port);
    const client = await world.connect(port);
    try {
      const { hello } = client;
      const { controller } = this.plan;
      if (controller !== null && hello.boardId !== controller) {
        throw new LinkError(
          'not-ours',
          `At ${port} answers controller ${hello.boardId}, and this tray has ${controller}.`,
        );
      }
      claim(this.plan.name, hello);
      await setClock(client, world);
      this.#know(hello.boardId, port);
      return client;
    } catch (error) {
      await client.close();
      throw error;
    }
  }

  async #find(): Promise<string> {
    const { controller, name } = this.plan;
    const found = await this.around.world.findControllers();
    const mine = found.find(({ hello }) => hello.boardId === controller);
    if (mine !== undefined) return mine.port;
    throw new LinkError('absent', `Controller ${controller} of ${name} answers at no port.`);
  }

  #know(boardId: string, port: string): void {
    if (boardId !== this.#live.boardId) this.#pulledTo = 0;
    this.#live = { ...this.#live, boardId, port };
  }

  async #keepClock(client: Client, { unixMs }: Status, trayMs: number): Promise<void> {
    const { clockOffMs, clockEveryMs } = WATCH_LIMITS;
    const nowMs = this.around.steadyMs();
    if (unixMs !== null && Math.abs(unixMs - trayMs) <= clockOffMs) return;
    if (nowMs - this.#clockSetMs < clockEveryMs) return;
    this.#clockSetMs = nowMs;
    await client.call('clock.set', { unixMs: Math.round(trayMs) });
  }

  async #pull(client: Client, status: Status): Promise<void> {
    const { store, world, say } = this.around;
    const { boardId } = client.hello;
    try {
      await pullOnce(client, store, world.now());
      this.#live = { ...this.#live, diskFull: false };
      this.#pulledTo = status.journal.next;
    } catch (error) {
      if (!(error instanceof CommandError) && typeof Object(error).syscall !== 'string')
        throw error;
      const isFull = Object(error).reason !== 'pull-under-way';
      if (isFull && !this.#live.diskFull) say(`${this.plan.name}: ${Object(error).message}`);
      this.#live = { ...this.#live, diskFull: isFull };
    }
    const life = readStoreEnd(store, boardId, WATCH_LIMITS.entries);
    const profiles = { byId: keptProfiles(store, boardId), activeId: status.profile?.id ?? null };
    this.#live = { ...this.#live, life, profiles };
  }

  async #lost(error: unknown): Promise<void> {
    await this.close();
    if (!(error instanceof LinkError) && !(error instanceof CommandError)) throw error;
    if (error instanceof CommandError && error.reason === 'kept-already') throw error;
    const kind = error instanceof LinkError ? error.kind : 'absent';
    const { retryMs } = WATCH_LIMITS;
    // A board that has just restarted is there again at once.
    const waitMs = retryMs[Math.min(this.#tries, retryMs.length - 1)] ?? 0;
    this.#tries += 1;
    this.#nextTryMs = this.around.steadyMs() + waitMs;
    const { message } = error;
    if (this.#live.lost?.message !== message) this.around.say(`${this.plan.name}: ${message}`);
    this.#live = { ...this.#live, lost: { kind, message } };
  }
}
