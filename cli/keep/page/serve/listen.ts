/** The page's own server. A port that another program has is told of, and tried again: trays are kept without a page too. */
import type { Server } from 'node:http';
import { createAdaptorServer } from '@hono/node-server';
import type { PagePlan } from '../../config/plan';
import { localAddress } from '../address';
import { PAGE_LIMITS } from '../limits';
import { type AppParts, pageApp } from './app';
import { Assets } from './assets';

export interface PageState {
  /** As it is opened on this computer. */
  readonly address: string;
  /** Why nobody can open it; null while it is served. */
  readonly failing: string | null;
}

/** In plain words why a server cannot listen. */
function whyNot(error: unknown, address: string): string {
  const { code, message } = Object(error);
  if (code === 'EADDRINUSE') return `Another program listens at ${address} already.`;
  if (code === 'EADDRNOTAVAIL') return `This computer has no address ${address}.`;
  return code === 'EACCES'
    ? `This user may not listen at ${address}: choose a port above 1023.`
    : `The page cannot be served at ${address} (${message}).`;
}

export class PageServer {
  #server: Server | null = null;
  #failing: string | null = null;
  #timer: NodeJS.Timeout | null = null;
  #port: number;
  readonly #made;

  constructor(
    private readonly plan: PagePlan,
    private readonly parts: AppParts,
  ) {
    this.#port = plan.listen.port;
    this.#made = pageApp(parts);
  }

  get state(): PageState {
    const { host } = this.plan.listen;
    return { address: localAddress({ host, port: this.#port }), failing: this.#failing };
  }

  /** Listens, or knows why not. Never throws. */
  async open(): Promise<void> {
    const { host, port } = this.plan.listen;
    const server = createAdaptorServer({ fetch: this.#made.app.fetch });
    if (!('closeAllConnections' in server)) return;
    // A page that is open keeps its line; there are a few for each, and some for who is not let in.
    server.maxConnections = PAGE_LIMITS.openMost * 4;
    const why = await new Promise<string | null>((resolve) => {
      server.once('error', (error) => resolve(whyNot(error, this.state.address)));
      server.listen(port, host, () => resolve(null));
    });
    this.#failing = why;
    if (why === null) {
      server.on('error', () => undefined);
      const at = server.address();
      if (at !== null && typeof at === 'object') this.#port = at.port;
      this.#server = server;
      this.parts.room.reckoner.start();
    }
  }

  /** Tries again until it listens; says why not, once. */
  async openInTheEnd(): Promise<void> {
    const before = this.#failing;
    await this.open();
    if (this.#failing === null) return;
    if (this.#failing !== before) this.parts.say(`page: ${this.#failing}`);
    this.#timer = setTimeout(() => void this.openInTheEnd(), PAGE_LIMITS.listenAgainMs);
    this.#timer.unref();
  }

  close(): void {
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.parts.room.reckoner.stop();
    this.#made.live.close();
    this.#server?.close();
    this.#server?.closeAllConnections();
  }
}

/** A server of the page, with its scripts loaded. */
export async function pageServer(
  plan: PagePlan,
  parts: Omit<AppParts, 'assets' | 'plan'>,
): Promise<PageServer> {
  const { default: scripts } = await import('trayward:keeper-scripts');
  return new PageServer(plan, { ...parts, plan, assets: new Assets(scripts) });
}
