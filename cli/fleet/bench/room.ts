/** A keeper with its trays for the figures: its store grows hour by hour, and is sent as a running keeper sends it. */
import { appendFileSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { ENTRY_BYTES, packEntry, unpackEntry } from '../../../shared/journal/codec';
import { HOUR_MS } from '../../../shared/units/time';
import { JournalSender, type SentTray } from '../sending/sender';
import { boardOf } from './replay';

export interface RoomTray extends SentTray {
  /** All that its day will bring. */
  readonly day: Uint8Array;
}

/** The trays of a keeper: numbers from `first` on, their days by number. */
export const traysFrom = (
  first: number,
  count: number,
  dayOf: (tray: number) => Uint8Array,
): readonly RoomTray[] =>
  Array.from({ length: count }, (_, i) => {
    const tray = first + i;
    return { name: `Tray ${tray}`, boardId: boardOf(tray), day: dayOf(tray) };
  });

export class FigureRoom {
  readonly sender: JournalSender;
  /** Of each tray, how many bytes of its day are in the store. */
  readonly #stored = new Map<string, number>();

  constructor(
    private readonly store: string,
    keeper: string,
    readonly trays: readonly RoomTray[],
    at: { readonly url: string; readonly topic: string },
    say: (text: string) => void,
  ) {
    this.sender = new JournalSender(
      { broker: { url: at.url, login: null, ca: null }, topic: at.topic, keeper },
      { store, steadyMs: () => performance.now(), say },
    );
  }

  /** Lets an hour pass at all trays, counted from 1; how many entries came. */
  hour(hour: number): number {
    let bytes = 0;
    for (const { boardId, day } of this.trays) {
      const from = this.#stored.get(boardId) ?? 0;
      let to = from;
      while (to < day.length && uptimeOf(day, to) < hour * HOUR_MS) to += ENTRY_BYTES;
      this.#append(boardId, day.subarray(from, to));
      this.#stored.set(boardId, to);
      bytes += to - from;
    }
    return bytes / ENTRY_BYTES;
  }

  /** One more alarm at a tray, and off it goes. */
  alarm(tray: number): { readonly boardId: string; readonly sequence: number } {
    const { boardId, day } = this.trays[tray % this.trays.length] ?? this.#noTray();
    const from = this.#stored.get(boardId) ?? day.length;
    const sequence = from / ENTRY_BYTES + 1;
    const bytes = new Uint8Array(ENTRY_BYTES);
    packEntry(
      { sequence, boot: 1, uptimeMs: from * 1000 },
      {
        ...{ kind: 'alarm', alarm: 'too-cold', change: 'raised', stage: 0 },
        ...{ value: 12, limit: 20, forS: 0 },
      },
      bytes,
      0,
    );
    this.#append(boardId, bytes);
    this.#stored.set(boardId, from + ENTRY_BYTES);
    this.sender.round(this.trays);
    return { boardId, sequence };
  }

  #append(boardId: string, bytes: Uint8Array): void {
    mkdirSync(join(this.store, boardId), { recursive: true });
    appendFileSync(join(this.store, boardId, 'life-0001.entries'), bytes);
  }

  #noTray(): never {
    throw new Error('a room without trays');
  }
}

const uptimeOf = (day: Uint8Array, at: number): number => unpackEntry(day, at)?.uptimeMs ?? 0;
