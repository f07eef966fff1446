/** Today's firmware under a tray that an older one held, on the flash that it left. */
import { readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { expect } from 'vitest';
import type { BenchOptions } from '../../firmware/bench/bench';
import { createController } from '../../firmware/main';
import { FLASH_MAP } from '../../shared/board/map';
import { FAULT } from '../../shared/board/words';
import type { JournalEntry } from '../../shared/journal/kinds';
import { DAY_MS } from '../../shared/units/time';
import { Grower } from './grower';

/** Flash of a tray that an older firmware held. How each was made: `fixtures/README.md`. */
export interface Past {
  readonly flash: Uint8Array;
  /** Of the bench it was held on: its scale, probes and pump, and the room. */
  readonly parts: Pick<BenchOptions, 'seed' | 'ntcs'> & Partial<Pick<BenchOptions, 'room'>>;
  /** What the tray weighs as the board starts again, g. */
  readonly trayG: number;
  /** A weight that stood on it besides, g. */
  readonly weightG?: number;
}

export function flashOf(name: string): Uint8Array {
  const file = new URL(`fixtures/${name}.flash.gz.b64`, import.meta.url);
  return gunzipSync(Buffer.from(readFileSync(file, 'utf8'), 'base64'));
}

/** A cut costs a checkpoint at most. */
export const CHECKPOINT_S = 300;
export const RESTARTED_MS = 30_000;

/** The same parts and tray as then, dried to that weight, and today's firmware on that flash. */
export function updatedTray({ flash, parts, trayG, weightG }: Past): Grower {
  let updated = false;
  const idle = { tick: () => {}, rest: () => {}, receive: () => {} };
  const grower = new Grower({
    ...parts,
    firmware: (board) => (updated ? createController(board) : idle),
  });
  const { bench } = grower;
  bench.hand.putTray();
  bench.hand.soak();
  bench.hand.sow();
  bench.hand.setLid('off');
  const asHeavy = () => bench.state().tray.massG <= trayG;
  expect(bench.runUntil(asHeavy, 20 * DAY_MS)).toBe(true);
  if (weightG !== undefined) bench.hand.putWeight(weightG);
  bench.cutPower();
  bench.flash.bytes.set(flash, FLASH_MAP.settings.offset);
  updated = true;
  bench.restorePower();
  bench.run(RESTARTED_MS);
  return grower;
}

/** What the journal has of a run state that could not be read. */
export const lostIn = (entries: readonly JournalEntry[]): readonly JournalEntry[] =>
  entries.filter((one) => one.kind === 'fault' && one.code === FAULT.runStateLost);
