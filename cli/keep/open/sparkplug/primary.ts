/** The host that a node waits for: whether it is there, by its STATE messages (specification, 5.4 and 6.4.25). Pure. */
import { decodeUtf8 } from '../../../../shared/bytes';

interface Said {
  readonly online: boolean;
  readonly atMs: number;
}

/** What a STATE message says; null for one that is none. */
function saidIn(payload: Uint8Array): Said | null {
  const text = decodeUtf8(payload);
  if (text === null) return null;
  try {
    const { online, timestamp } = Object(JSON.parse(text));
    if (typeof online !== 'boolean' || !Number.isSafeInteger(timestamp)) return null;
    return { online, atMs: timestamp };
  } catch {
    return null;
  }
}

export class PrimaryHost {
  /** Of the last STATE message that counted. */
  #last: Said | null = null;

  get online(): boolean {
    return this.#last?.online ?? false;
  }

  /** Hears a STATE message; one that is older than the last that counted, or none at all, changes nothing. */
  heard(payload: Uint8Array): void {
    const said = saidIn(payload);
    if (said === null) return;
    if (this.#last !== null && said.atMs < this.#last.atMs) return;
    this.#last = said;
  }

  /** A new session begins: whether the host is there is heard anew; how late it was stays known. */
  sessionBegins(): void {
    if (this.#last !== null) this.#last = { ...this.#last, online: false };
  }
}
