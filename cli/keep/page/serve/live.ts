/** News for pages that are open: what has changed since they were told last, as server-sent events. */
import type { Context } from 'hono';
import { type SSEStreamingApi, streamSSE } from 'hono/streaming';
import type { Parts } from '../draw/room';
import { PAGE_LIMITS } from '../limits';

/** What a page shows now, and the time of day that it goes by. */
export interface Seen {
  readonly parts: Parts;
  readonly at: string;
}

export class LivePages {
  readonly #pages = new Set<SSEStreamingApi>();
  readonly #wakes = new Set<() => void>();

  /** Something has happened: all pages look now. */
  poke(): void {
    for (const wake of this.#wakes) wake();
  }

  close(): void {
    for (const page of this.#pages) page.abort();
    this.poke();
  }

  /** Tells a page until it goes away; refused where too many are open. */
  open(context: Context, look: () => Seen): Response {
    if (this.#pages.size >= PAGE_LIMITS.openMost) {
      return context.text('Too many pages are open. Close some.', 503);
    }
    return streamSSE(context, async (stream) => {
      this.#pages.add(stream);
      stream.onAbort(() => void this.#pages.delete(stream));
      try {
        await this.#tell(stream, look);
      } finally {
        this.#pages.delete(stream);
      }
    });
  }

  async #tell(stream: SSEStreamingApi, look: () => Seen): Promise<void> {
    const told = new Map<string, string>();
    let beatMs = Number.NEGATIVE_INFINITY;
    while (!stream.aborted && !stream.closed) {
      const { parts, at } = look();
      const news = Object.entries(parts).filter(([id, { text }]) => told.get(id) !== text);
      for (const [id, { text }] of news) told.set(id, text);
      const isBeat = performance.now() - beatMs >= PAGE_LIMITS.beatEveryMs;
      if (news.length > 0 || isBeat) {
        const data = JSON.stringify({ at, parts: news.map(([id, { text }]) => [id, text]) });
        await stream.writeSSE({ event: 'news', data, retry: 2_000 });
        beatMs = performance.now();
      }
      await this.#pause();
    }
  }

  /** Until something happens, or it is time to look anyway. */
  #pause(): Promise<void> {
    return new Promise((resolve) => {
      const wake = (): void => {
        clearTimeout(timer);
        this.#wakes.delete(wake);
        resolve();
      };
      const timer = setTimeout(wake, PAGE_LIMITS.newsEveryMs);
      this.#wakes.add(wake);
    });
  }
}
