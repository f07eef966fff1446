/** Keeps an open page as it is now: takes its news, and says so when none come. Goes by no clock that anybody sets. */
import { Idiomorph } from 'idiomorph';
import { PAGE_LIMITS } from '../limits';

interface News {
  readonly at: string;
  readonly parts: readonly (readonly [id: string, html: string])[];
}

/** After a page comes back into sight its line is doubted so soon, ms: phones cut it without a word. */
const DOUBT_MS = 4_000;
const AGAIN_MS = 3_000;
const LOOK_MS = 1_000;

class Live {
  #source: EventSource | null = null;
  #heardMs = performance.now();
  #at = '';
  #again = 0;

  constructor(
    private readonly path: string,
    private readonly line: HTMLElement,
    private readonly changed: (ids: readonly string[]) => void,
  ) {}

  open(): void {
    this.close();
    const source = new EventSource(this.path);
    this.#source = source;
    source.addEventListener('news', ({ data }) => this.#take(data));
    source.addEventListener('error', () => {
      // Browsers try a line that broke again by themselves, but not one that was refused.
      if (source.readyState === EventSource.CLOSED) void this.#refused();
    });
  }

  close(): void {
    clearTimeout(this.#again);
    this.#source?.close();
    this.#source = null;
  }

  /** What is on the screen may be old: so it is said unless news come soon. */
  doubt(): void {
    this.#heardMs = Math.min(this.#heardMs, performance.now() - PAGE_LIMITS.silentMs + DOUBT_MS);
  }

  look(): void {
    if (performance.now() - this.#heardMs > PAGE_LIMITS.silentMs) this.#say('');
  }

  #take(data: string): void {
    // Sound: the keeper has written it, and the policy lets no script in it run.
    const { at, parts } = JSON.parse(data) as News;
    this.#heardMs = performance.now();
    this.#at = at;
    for (const [id, html] of parts) {
      const element = document.getElementById(id);
      if (element !== null) Idiomorph.morph(element, html, { morphStyle: 'innerHTML' });
    }
    if (!this.line.hidden) {
      this.line.hidden = true;
      this.line.textContent = '';
    }
    this.changed(parts.map(([id]) => id));
  }

  #say(more: string): void {
    const old = this.#at === '' ? 'What you see may be old.' : `What you see is of ${this.#at}.`;
    const text = `Not connected to the keeper. ${old} ${more}`.trim();
    if (this.line.textContent === text) return;
    this.line.textContent = text;
    this.line.hidden = false;
  }

  async #refused(): Promise<void> {
    this.#again = window.setTimeout(() => this.open(), AGAIN_MS);
    const answer = await fetch(location.pathname, { method: 'HEAD' }).catch(() => null);
    if (answer?.status !== 401) return;
    this.close();
    this.#say('This phone is no longer signed in: load the page again.');
  }
}

/** Follows the keeper while the page is in sight. `changed`: told which parts are new. */
export function follow(changed: (ids: readonly string[]) => void): void {
  const { live } = document.body.dataset;
  const line = document.getElementById('line');
  if (live === undefined || line === null) return;
  const page = new Live(live, line, changed);
  page.open();
  setInterval(() => {
    if (!document.hidden) page.look();
  }, LOOK_MS);
  // A page that nobody sees needs no news, and browsers have few lines to one keeper.
  document.addEventListener('visibilitychange', () => {
    if (document.hidden) page.close();
    else {
      page.doubt();
      page.open();
    }
  });
  window.addEventListener('offline', () => page.doubt());
  window.addEventListener('online', () => page.open());
}

/** Whether this browser has all that the pages use; else it is told to who looks. */
export function works(): boolean {
  const has = 'EventSource' in window && typeof HTMLDialogElement === 'function';
  const old = document.getElementById('old');
  if (!has && old !== null) old.hidden = false;
  if (has) document.body.classList.add('works');
  return has;
}
