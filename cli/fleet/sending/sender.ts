/**
 * A keeper's journals on their way to a fleet: whatever its store has goes to the broker, in order and in batches, from
 * the last acknowledged entry on. Alarms overtake. What a collector misses it is asked for, and sends again.
 */
import { join } from 'node:path';
import { keptImages } from '../../journal/profiles';
import { segmentFiles } from '../../journal/store';
import type { Around } from '../../keep/start';
import { SEND_LIMITS } from '../limits';
import type { BrokerPlan } from '../plan';
import {
  type Asked,
  type Batch,
  type End,
  encodeBatch,
  encodeEnds,
  nameOnWire,
  sameMark,
  topicOf,
} from '../wire';
import { Asks } from './asks';
import { Cursor, type Sent } from './cursor';
import { Hold, NobodyThere } from './hold';
import { upTo, withLife } from './life-file';
import { SendingLine } from './line';

export interface SenderPlan {
  readonly broker: BrokerPlan;
  /** Topic that all of the fleet's begin with. */
  readonly topic: string;
  /** Name of the keeper. */
  readonly keeper: string;
}

/** A tray whose journal is sent. */
export interface SentTray {
  readonly name: string;
  readonly boardId: string;
}

export class JournalSender {
  readonly #cursor: Cursor;
  /** Of each tray: how far its alarms went ahead. */
  readonly #ahead = new Map<string, Sent>();
  readonly #asks = new Asks();
  readonly #imagesSent = new Map<string, number>();
  #trays: readonly SentTray[] = [];
  #line: SendingLine | null = null;
  #opening: Promise<SendingLine> | null = null;
  #quick: Promise<void> | null = null;
  #bulk: Promise<void> | null = null;
  readonly #hold: Hold;
  #endsToldMs = Number.NEGATIVE_INFINITY;
  #ended = false;

  constructor(
    private readonly plan: SenderPlan,
    private readonly around: Around,
  ) {
    const { broker, topic, keeper } = plan;
    const path = join(around.store, 'keep', keeper, 'sent-journals.json');
    this.#cursor = new Cursor(path, `${broker.url} ${topic}`);
    this.#hold = new Hold(around.steadyMs, around.say);
  }

  /** Begins to send what is new of `trays`; returns at once, and never throws. */
  round(trays: readonly SentTray[]): void {
    this.#trays = trays;
    if (this.#ended || this.#hold.isOn) return;
    this.#quick ??= this.#attempt(() => this.#sendAhead()).finally(() => {
      this.#quick = null;
    });
    this.#bulk ??= this.#attempt(() => this.#sendAll()).finally(() => {
      this.#bulk = null;
    });
  }

  /** Resolves when nothing is on its way. */
  async settled(): Promise<void> {
    await Promise.all([this.#quick, this.#bulk]);
  }

  async close(): Promise<void> {
    this.#ended = true;
    this.#drop();
    await this.settled();
    this.#save();
  }

  async #attempt(work: () => Promise<void>): Promise<void> {
    try {
      await work();
      this.#save();
    } catch (error) {
      this.#failed(error);
    }
  }

  #failed(error: unknown): void {
    if (!(error instanceof NobodyThere)) this.#drop();
    this.#save();
    if (!this.#ended) this.#hold.failed(error);
  }

  #drop(): void {
    this.#line?.close();
    this.#line = null;
  }

  #save(): void {
    try {
      this.#cursor.save();
    } catch (error) {
      // What is sent again is left out there: no reason to stop.
      this.around.say(
        `journals: how far they were sent cannot be written (${Object(error).code}).`,
      );
    }
  }

  async #open(): Promise<SendingLine> {
    if (this.#line?.isOpen === true) return this.#line;
    this.#opening ??= this.#connect().finally(() => {
      this.#opening = null;
    });
    return this.#opening;
  }

  async #connect(): Promise<SendingLine> {
    this.#drop();
    const { broker, topic, keeper } = this.plan;
    const line = await SendingLine.open(broker, {
      clientId: `trayward-${keeper}-journals`,
      askTopic: topicOf(topic, 'ask', keeper),
      asked: (question) => this.#asked(question),
    });
    if (this.#ended) line.close();
    this.#line = line;
    // What was not acknowledged to us may be there or not: both ends are told anew.
    this.#endsToldMs = Number.NEGATIVE_INFINITY;
    return line;
  }

  async #publish(batch: Omit<Batch, 'keeper'>, channel: 'entries' | 'alarms'): Promise<void> {
    const { topic, keeper } = this.plan;
    const line = await this.#open();
    const at = topicOf(topic, channel, keeper, batch.controller);
    const isHeard = await line.publish(at, encodeBatch({ ...batch, keeper }));
    if (!isHeard) {
      throw new NobodyThere(
        this.plan.broker.url,
        `Nobody collects at ${topic}: \`trayward fleet collect\` does.`,
      );
    }
    this.#hold.over();
  }

  /** Alarms, and the clocks that date them, of all trays. */
  async #sendAhead(): Promise<void> {
    for (const tray of this.#trays) await this.#sendAheadOf(tray);
  }

  async #sendAheadOf({ name, boardId }: SentTray): Promise<void> {
    const newest = segmentFiles(this.around.store, boardId).at(-1);
    if (newest === undefined) return;
    await withLife(newest.path, async (file, mark) => {
      const { life } = newest;
      const ahead = this.#ahead.get(boardId);
      const isSame = ahead !== undefined && ahead.life === life && sameMark(ahead.mark, mark);
      const sentTo = this.#cursor.of(boardId, life, mark)?.to ?? 0;
      const behind = Math.max(mark.sequence - 1, sentTo, isSame ? ahead.to : 0);
      const { bytes, lastSequence } = file.overtaking(behind, SEND_LIMITS.batchEntries);
      if (lastSequence === null) return;
      if (bytes.length > 0) {
        const atMs = file.timeOf(bytes);
        await this.#publish(
          { controller: boardId, tray: nameOnWire(name), mark, whole: null, atMs, bytes },
          'alarms',
        );
      }
      this.#ahead.set(boardId, { life, mark, to: lastSequence });
    });
  }

  /** Everything: what is asked for first, then what is new, tray by tray, some at a time. */
  async #sendAll(): Promise<void> {
    // Also where nothing is new: what a broker has lost is asked for over it.
    await this.#open();
    await this.#answer();
    const waiting = [...this.#trays];
    const worker = async (): Promise<void> => {
      for (let tray = waiting.shift(); tray !== undefined; tray = waiting.shift()) {
        await this.#sendNew(tray);
        if (this.#asks.size > 0) await this.#answer();
      }
    };
    const works = Array.from({ length: SEND_LIMITS.traysOnTheWay }, worker);
    // All of them have stopped before any begins anew.
    const failed = (await Promise.allSettled(works)).find(({ status }) => status === 'rejected');
    if (failed?.status === 'rejected') throw failed.reason;
    await this.#tellEnds();
  }

  async #sendNew(tray: SentTray): Promise<void> {
    const { boardId, name } = tray;
    for (const { life, path } of segmentFiles(this.around.store, boardId)) {
      await withLife(path, async (file, mark) => {
        let to = this.#cursor.of(boardId, life, mark)?.to ?? mark.sequence - 1;
        for (;;) {
          const { bytes, lastSequence } = file.after(to, SEND_LIMITS.batchEntries);
          if (lastSequence === null || this.#ended) return;
          const whole = { from: to + 1, to: lastSequence };
          const atMs = file.timeOf(bytes);
          await this.#publish(
            { controller: boardId, tray: nameOnWire(name), mark, whole, atMs, bytes },
            'entries',
          );
          to = lastSequence;
          this.#cursor.set(boardId, { life, mark, to });
        }
      });
    }
    await this.#sendProfiles(boardId);
  }

  async #sendProfiles(boardId: string): Promise<void> {
    const images = keptImages(this.around.store, boardId);
    if (this.#imagesSent.get(boardId) === images.length) return;
    const { topic, keeper } = this.plan;
    for (const image of images) {
      const line = await this.#open();
      await line.publish(topicOf(topic, 'profiles', keeper, boardId), Buffer.from(image));
    }
    this.#imagesSent.set(boardId, images.length);
  }

  #asked(question: Asked): void {
    if (!this.#trays.some(({ boardId }) => boardId === question.controller)) return;
    this.#asks.add(question);
    this.round(this.#trays);
  }

  async #answer(): Promise<void> {
    for (let one = this.#asks.take(); one !== null; one = this.#asks.take()) {
      await this.#answerOne(one);
    }
  }

  async #answerOne({ controller, mark: wanted, from, to }: Asked): Promise<void> {
    const tray = this.#trays.find(({ boardId }) => boardId === controller);
    if (tray === undefined) return;
    for (const { path } of segmentFiles(this.around.store, controller)) {
      await withLife(path, async (file, mark) => {
        if (!sameMark(mark, wanted)) return;
        // What lies behind the end is no loss: it has not been written yet.
        const end = Math.min(to, file.lastSequence() ?? 0);
        for (let at = from; at <= end; ) {
          const slice = file.after(at - 1, SEND_LIMITS.batchEntries);
          const whole = { from: at, to: Math.min(end, slice.lastSequence ?? end) };
          const bytes = upTo(slice.bytes, whole.to);
          const about = { controller, tray: nameOnWire(tray.name), mark, whole, bytes };
          await this.#publish({ ...about, atMs: file.timeOf(bytes) }, 'entries');
          at = whole.to + 1;
        }
      });
    }
  }

  /** Retained, so that a collector that starts later knows them as well. */
  async #tellEnds(): Promise<void> {
    const nowMs = this.around.steadyMs();
    if (nowMs - this.#endsToldMs < SEND_LIMITS.endsEveryMs) return;
    const ends = this.#trays.flatMap(({ name, boardId }) =>
      this.#cursor
        .allOf(boardId)
        .map(({ mark, to }): End => ({ controller: boardId, tray: nameOnWire(name), mark, to })),
    );
    if (ends.length === 0) return;
    const line = await this.#open();
    const { topic, keeper } = this.plan;
    await line.publish(topicOf(topic, 'ends', keeper), encodeEnds(ends), true);
    this.#endsToldMs = nowMs;
  }
}
