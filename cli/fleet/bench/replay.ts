/** Days of many trays, made by the real firmware on a few benches and replayed with their clocks shifted. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createBench } from '../../../firmware/bench/bench';
import { GrowerAt } from '../../../firmware/bench/grower';
import { fromBase64 } from '../../../shared/bytes';
import { ENTRY_BYTES, packEntry, unpackEntry } from '../../../shared/journal/codec';
import { LINK_LIMITS } from '../../../shared/link/methods';
import { HOUR_MS } from '../../../shared/units/time';
import { FIGURES_PROFILE } from '../../figures-scene';

const DAY_H = 24;
/** So many trays are unlike each other; more would only take longer to make. */
export const TEMPLATES = 14;

/** The journal of a day at a tray in service: readings, doses, and now and then a broken probe that is mended. */
export function dayOf(seed: number, startMs: number, hours = DAY_H): Uint8Array {
  const bench = createBench({ seed, room: { meanC: 20 + (seed % 6) } });
  const grower = new GrowerAt(bench);
  grower.commission(FIGURES_PROFILE);
  grower.call('clock.set', { unixMs: startMs });
  for (let hour = 0; hour < hours; hour++) {
    if (hour === 3 + (seed % 5)) bench.fault('probe-open', true, HOUR_MS / 2);
    bench.run(HOUR_MS);
  }
  return journalOf(grower);
}

function journalOf(grower: GrowerAt<ReturnType<typeof createBench>>): Uint8Array {
  const { first, next } = grower.call('journal.info', {}, false);
  const parts: Uint8Array[] = [];
  for (let from = first; from < next; ) {
    const count = Math.min(LINK_LIMITS.pageEntries, next - from);
    const page = grower.call('journal.page', { from, count }, false);
    const bytes = fromBase64(page.data);
    if (bytes === null || page.count === 0) throw new Error(`no journal page from ${from} on`);
    parts.push(bytes);
    from = page.from + page.count;
  }
  return new Uint8Array(Buffer.concat(parts));
}

/** The same journal of a tray whose clock is `shiftMs` later. */
export function shifted(bytes: Uint8Array, shiftMs: number): Uint8Array {
  const copy = bytes.slice();
  for (let at = 0; at < copy.length; at += ENTRY_BYTES) {
    const entry = unpackEntry(copy, at);
    if (entry?.kind !== 'clock') continue;
    packEntry(entry, { ...entry, unixMs: entry.unixMs + shiftMs }, copy, at);
  }
  return copy;
}

/** Sixteen hex digits, another for each number. */
export const boardOf = (tray: number): string =>
  (0xfe00_0000 + tray).toString(16).padStart(16, '0');

/** Puts entries into a store as a keeper has them, the `life`th one's. */
export function intoStore(store: string, boardId: string, bytes: Uint8Array, life = 1): void {
  const folder = join(store, boardId);
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, `life-${String(life).padStart(4, '0')}.entries`), bytes);
}
