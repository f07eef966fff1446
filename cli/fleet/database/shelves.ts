/** Where entries belong, asked of the database once for each life and block, and remembered. */
import type { Client } from 'pg';
import { ENTRY_BYTES, entrySequence } from '../../../shared/journal/codec';
import { SHELF_LIMITS } from '../limits';
import type { Batch, LifeMark } from '../wire';
import type { Shelf } from './rows';

const blockOf = (sequence: number): number => Math.floor(sequence / SHELF_LIMITS.blockEntries);

const keyOf = (controller: string, { sequence, crc }: LifeMark, block: number): string =>
  `${controller} ${sequence} ${crc} ${block}`;

interface Wanted {
  readonly key: string;
  readonly batch: Pick<Batch, 'controller' | 'tray' | 'keeper' | 'mark'>;
  readonly block: number;
  readonly day: string;
}

export class Shelves {
  readonly #known = new Map<string, Shelf>();

  constructor(
    private readonly client: Client,
    private readonly now: () => number,
  ) {}

  /** Sees to it that `of` knows where all entries of `batches` belong. Throws what the database does. */
  async place(batches: readonly Batch[]): Promise<void> {
    // Before anything is looked up: of these batches none may be forgotten between here and `of`.
    if (this.#known.size > SHELF_LIMITS.rememberedMost) this.#known.clear();
    const wanted = new Map<string, Wanted>();
    for (const batch of batches) {
      for (const block of blocksOf(batch)) {
        const key = keyOf(batch.controller, batch.mark, block);
        if (this.#known.has(key) || wanted.has(key)) continue;
        wanted.set(key, { key, batch, block, day: this.#dayOf(batch.atMs) });
      }
    }
    await this.#ask([...wanted.values()]);
  }

  /** Where an entry of a batch belongs that was placed. */
  of({ controller, mark }: Pick<Batch, 'controller' | 'mark'>, sequence: number): Shelf {
    const shelf = this.#known.get(keyOf(controller, mark, blockOf(sequence)));
    if (shelf === undefined) throw new Error(`entry ${sequence} of ${controller} has no place`);
    return shelf;
  }

  async #ask(wanted: readonly Wanted[]): Promise<void> {
    if (wanted.length === 0) return;
    const { rows } = await this.client.query(
      'SELECT n, controller, life, filed_on::text AS filed_on FROM fleet.place($1, $2, $3, $4, $5, $6, $7, $8)',
      [
        wanted.map(({ batch }) => batch.controller),
        wanted.map(({ batch }) => batch.tray),
        wanted.map(({ batch }) => batch.keeper),
        wanted.map(({ batch }) => batch.mark.sequence),
        wanted.map(({ batch }) => batch.mark.crc),
        wanted.map(({ batch }) => batch.mark.boot),
        wanted.map(({ block }) => block),
        wanted.map(({ day }) => day),
      ],
    );
    for (const { n, controller, life, filed_on: filedOn } of rows) {
      const one = wanted[Number(n) - 1];
      if (one !== undefined) this.#known.set(one.key, { controller, life, filedOn });
    }
  }

  #dayOf(atMs: number | null): string {
    const nowMs = this.now();
    const { oldestMs, aheadMs } = SHELF_LIMITS;
    const isLikely = atMs !== null && atMs > nowMs - oldestMs && atMs < nowMs + aheadMs;
    return new Date(isLikely ? atMs : nowMs).toISOString().slice(0, 10);
  }
}

/** Blocks that a batch has entries of, or speaks of where it has none. */
function blocksOf({ bytes, whole, mark }: Batch): ReadonlySet<number> {
  const blocks = new Set<number>();
  for (let at = 0; at < bytes.length; at += ENTRY_BYTES)
    blocks.add(blockOf(entrySequence(bytes, at)));
  if (blocks.size === 0) blocks.add(blockOf(whole?.from ?? mark.sequence));
  return blocks;
}
