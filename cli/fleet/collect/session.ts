/**
 * A collector while broker and database are both there: one lane for entries, one for alarms that overtake them, each
 * with lines of its own; and a desk for ends, profiles and questions. Any of them lost ends it: what was not
 * acknowledged comes again to the next one, or to another collector.
 */

import type { Received } from '../broker/receiver';
import { Receiver } from '../broker/receiver';
import type { BrokerError } from '../broker/refusal';
import { DatabaseError, databaseError, openDatabase } from '../database/connect';
import { FleetStore } from '../database/store';
import { COLLECT_LIMITS } from '../limits';
import type { FleetPlan } from '../plan';
import { decodeEnds, encodeAsked, placeOf, topicOf } from '../wire';
import { type Counts, Lane } from './lane';

export interface SessionParts {
  readonly plan: FleetPlan;
  /** Of this collector, among those of its group. */
  readonly name: string;
  readonly counts: Counts;
  readonly now: () => number;
  readonly say: (text: string) => void;
}

type Lost = BrokerError | DatabaseError;

export class Session {
  readonly #ends: (() => Promise<void>)[] = [];
  #entries: Lane | null = null;
  #alarms: Lane | null = null;
  #desk: Promise<void> = Promise.resolve();
  #isAsking = false;
  #lose: (error: Lost) => void = () => undefined;
  /** Resolves with the reason once anything is lost. */
  readonly lost = new Promise<Lost>((resolve) => {
    this.#lose = resolve;
  });

  private constructor(private readonly parts: SessionParts) {}

  /** Throws `BrokerError` or `DatabaseError`; then nothing stays open. */
  static async open(parts: SessionParts): Promise<Session> {
    const session = new Session(parts);
    try {
      await session.#open();
      return session;
    } catch (error) {
      await session.close();
      throw error;
    }
  }

  /** Stores what has come, then leaves. */
  async close(): Promise<void> {
    await Promise.all([this.#entries?.settled(), this.#alarms?.settled(), this.#desk]);
    for (const end of this.#ends.splice(0).reverse()) await end();
  }

  async #open(): Promise<void> {
    const { topic, group } = this.parts.plan;
    const shared = (channel: string): string => `$share/${group}/${topic}/${channel}/+/+`;
    const desk = await this.#store();
    this.#alarms = await this.#lane();
    this.#entries = await this.#lane();
    const quick = await this.#receive(
      'quick',
      [shared('alarms'), shared('profiles'), `${topic}/ends/+`],
      (message) => this.#quick(message, desk),
    );
    await this.#receive('entries', [shared('entries')], (message) => this.#entries?.take(message));
    const timer = setInterval(() => this.#askSoon(desk, quick), COLLECT_LIMITS.gapsEveryMs);
    this.#ends.push(async () => clearInterval(timer));
  }

  async #store(): Promise<FleetStore> {
    const { plan, now } = this.parts;
    const client = await openDatabase(plan.database, 'collector');
    this.#ends.push(() => client.end().catch(() => undefined));
    client.on('error', (error) => this.#lose(this.#understood(error)));
    try {
      return await FleetStore.on(client, now);
    } catch (error) {
      throw this.#understood(error);
    }
  }

  async #lane(): Promise<Lane> {
    const { plan, counts, say } = this.parts;
    const store = await this.#store();
    return new Lane({
      ...{ base: plan.topic, counts, say },
      write: (batches) => store.write(batches),
      understood: (error) => this.#understood(error),
      failed: (error) => this.#lose(error),
    });
  }

  async #receive(
    of: string,
    topics: readonly string[],
    take: (message: Received) => void,
  ): Promise<Receiver> {
    const { plan, name } = this.parts;
    const receiver = await Receiver.open(plan.broker, {
      ...{ clientId: `trayward-${plan.group}-${name}-${of}`, topics, take },
      aheadMost: COLLECT_LIMITS.aheadMost,
      sessionS: COLLECT_LIMITS.sessionS,
      lost: (why) => this.#lose(why),
    });
    this.#ends.push(() => receiver.close());
    return receiver;
  }

  #quick(message: Received, desk: FleetStore): void {
    const place = placeOf(this.parts.plan.topic, message.topic);
    if (place?.channel === 'alarms') {
      this.#alarms?.take(message);
      return;
    }
    this.#atDesk(async () => {
      if (place?.channel === 'profiles') await desk.profile(place.controller, message.payload);
      const ends = place?.channel === 'ends' ? decodeEnds(message.payload) : null;
      if (place !== null && ends !== null) await desk.ends(place.keeper, ends);
      message.acknowledge();
    });
  }

  /** One after the other: they share a connection. */
  #atDesk(work: () => Promise<void>): void {
    this.#desk = this.#desk.then(work).catch((error) => this.#lose(this.#understood(error)));
  }

  /** A database that is slow to answer is asked once, and not again behind each time. */
  #askSoon(desk: FleetStore, receiver: Receiver): void {
    if (this.#isAsking) return;
    this.#isAsking = true;
    this.#atDesk(() =>
      this.#ask(desk, receiver).finally(() => {
        this.#isAsking = false;
      }),
    );
  }

  /** Gaps of the database, asked for at the keepers that sent what is around them. */
  async #ask(desk: FleetStore, receiver: Receiver): Promise<void> {
    // While entries wait here, what seems to be missing is likely to be among them.
    if (this.#entries?.isCaughtUp !== true) return;
    const { topic } = this.parts.plan;
    for (const { keeper, ...asked } of await desk.dueAsks(COLLECT_LIMITS.asksMost)) {
      receiver.publish(topicOf(topic, 'ask', keeper), encodeAsked(asked));
    }
  }

  #understood(error: unknown): DatabaseError {
    return error instanceof DatabaseError
      ? error
      : databaseError(this.parts.plan.database, 'collector', error);
  }
}
