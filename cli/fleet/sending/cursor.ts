/** How far each journal was sent, on disk. Lost, it costs a repetition, which the database leaves out. */
import { existsSync, readFileSync } from 'node:fs';
import { dirname } from 'node:path';
import * as z from 'zod';
import { writeOver } from '../../files/atomic-write';
import { makeFolder } from '../../files/folder';
import { type LifeMark, sameMark } from '../wire';

const sent = z.object({
  life: z.int(),
  mark: z.object({ sequence: z.int(), crc: z.int(), boot: z.int() }),
  to: z.int(),
});
const cursorFile = z.object({
  version: z.literal(1),
  where: z.string(),
  sent: z.record(z.string(), z.array(sent)),
});

/** Acknowledged by the broker up to and with `to`, of a life that is known by its mark. */
export interface Sent {
  readonly life: number;
  readonly mark: LifeMark;
  readonly to: number;
}

export class Cursor {
  readonly #sent: Map<string, readonly Sent[]>;
  #changed = false;

  /** `where`: broker and topic; for another one all begins anew. */
  constructor(
    private readonly path: string,
    private readonly where: string,
  ) {
    this.#sent = new Map(Object.entries(readSent(path, where)));
  }

  /** Of each life of a controller's journal that was sent, how far. */
  allOf(controller: string): readonly Sent[] {
    return this.#sent.get(controller) ?? [];
  }

  /** Of the life in a store's file; one whose file begins otherwise is another. */
  of(controller: string, life: number, mark: LifeMark): Sent | null {
    const sent = this.allOf(controller).find((one) => one.life === life);
    return sent !== undefined && sameMark(sent.mark, mark) ? sent : null;
  }

  set(controller: string, to: Sent): void {
    const others = this.allOf(controller).filter(({ life }) => life !== to.life);
    this.#sent.set(controller, [...others, to]);
    this.#changed = true;
  }

  /** Throws what the disk throws. */
  save(): void {
    if (!this.#changed) return;
    makeFolder(dirname(this.path));
    const file = { version: 1, where: this.where, sent: Object.fromEntries(this.#sent) };
    writeOver(this.path, `${JSON.stringify(file)}\n`);
    this.#changed = false;
  }
}

function readSent(path: string, where: string): Readonly<Record<string, readonly Sent[]>> {
  if (!existsSync(path)) return {};
  try {
    const read = cursorFile.safeParse(JSON.parse(readFileSync(path, 'utf8')));
    return read.success && read.data.where === where ? read.data.sent : {};
  } catch {
    return {};
  }
}
