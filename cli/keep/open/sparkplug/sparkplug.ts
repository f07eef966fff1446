/** The edge node at a real broker: opened again when it breaks, with what hosts order carried to the trays. */
import type { SparkplugPlan } from '../../config/plan';
import { DoorError, idOf } from '../../doors/door';
import { OPEN_LIMITS } from '../../limits';
import type { SparkplugWord } from '../words';
import { Echo } from './echo';
import { EdgeNode } from './edge-node';
import { type Line, openLine } from './line';
import type { Frame } from './messages';
import type { Seen } from './node-model';
import type { Order } from './orders';
import type { SessionNumber } from './session-number';
import { topicOf } from './topics';

export interface SparkplugParts {
  readonly plan: SparkplugPlan;
  readonly devices: readonly string[];
  /** Of this keeper, over its starts: two keepers with one node have two of them. */
  readonly identity: string;
  readonly session: Pick<SessionNumber, 'read' | 'write'>;
  readonly now: () => number;
  /** Time that no setting of the clock moves, ms. */
  readonly steadyMs: () => number;
  readonly say: (text: string) => void;
  /** Does it at the tray; what became of it, in words. Never throws. */
  readonly obey: (device: string, order: Order) => Promise<string>;
}

const clientIdOf = ({ group, node }: SparkplugPlan, identity: string): string =>
  `trayward-${group}-${node}-${idOf(identity).slice(0, 8)}`;

export class Sparkplug {
  readonly #node: EdgeNode;
  readonly #echo = new Echo();
  readonly #birthTopic: string;
  #line: Line | null = null;
  #opening: Promise<void> | null = null;
  #tries = 0;
  #nextTryMs = Number.NEGATIVE_INFINITY;
  #why: string | null = null;
  #isTakenOver = false;
  readonly #end = new AbortController();
  #refused: string[] = [];
  #orders: Promise<void> = Promise.resolve();
  #waitingOrders = 0;

  constructor(private readonly parts: SparkplugParts) {
    const { plan, devices, session } = parts;
    this.#birthTopic = topicOf(plan, 'NBIRTH');
    this.#node = new EdgeNode({ ...plan, devices }, session.read());
  }

  get state(): {
    readonly state: SparkplugWord;
    readonly why: string | null;
    readonly kept: number;
    readonly dropped: number;
  } {
    const { phase, history } = this.#node;
    const state = { away: 'down', waiting: 'waiting', born: 'up' } as const;
    return {
      state: this.#isTakenOver ? 'taken-over' : state[phase],
      why: this.#why,
      ...{ kept: history.waiting, dropped: history.dropped },
    };
  }

  /** Tells what is new of the trays, and begins to open the line where that is due. */
  round(trays: readonly Seen[]): void {
    const { now, steadyMs } = this.parts;
    this.#publish(this.#node.look(trays, now()));
    this.#sayRefused();
    if (this.#echo.isMissing(steadyMs())) this.#because(this.#unheard());
    const isDue = this.#line === null && !this.#isTakenOver && steadyMs() >= this.#nextTryMs;
    if (!isDue || this.#end.signal.aborted) return;
    this.#opening ??= this.#open().finally(() => {
      this.#opening = null;
    });
  }

  /** This computer's clock was set by `byMs`. */
  clockMoved(byMs: number): void {
    this.#publish(this.#node.clockMoved(byMs, this.parts.now()));
  }

  /** Says goodbye. What nobody has taken is lost: the journals have it. */
  async close(): Promise<void> {
    if (this.#line === null) this.#end.abort();
    await this.#opening;
    await this.#leave(this.#node.closing(this.parts.now()));
    this.#end.abort();
  }

  async #open(): Promise<void> {
    const { plan, identity, now } = this.parts;
    this.#echo.sessionBegins();
    const options = {
      ...{ plan, clientId: clientIdOf(plan, identity), signal: this.#end.signal },
      ...{ will: this.#node.will(now()), topics: this.#node.topics },
    };
    try {
      const line = await openLine(options, {
        opening: () => this.#keepNumber(this.#node.opening()),
        message: (topic, payload, isRetained) => this.#heard(topic, payload, isRetained),
        closed: (why, isTakenOver) => this.#broke(why, isTakenOver),
      });
      this.#line = line;
      this.#tries = 0;
      this.#because(null);
      this.#publish(this.#node.opened(now()));
    } catch (error) {
      if (this.#end.signal.aborted) return;
      this.#later();
      // A mistake of the program must not end the keeper, which nobody waits for here: it is told, and tried again.
      const mistake = `Something went wrong inside the program (${Object(error).message}).`;
      this.#because(error instanceof DoorError ? error.message : mistake);
    }
  }

  #keepNumber(bdSeq: number): void {
    const { session, say } = this.parts;
    const why = session.write(bdSeq);
    if (why !== null) say(`Sparkplug: the number of the session cannot be kept (${why}).`);
  }

  #heard(topic: string, payload: Uint8Array, isRetained: boolean): void {
    if (topic === this.#birthTopic) {
      this.#birthHeard(payload);
      return;
    }
    const heard = this.#node.received(topic, payload, isRetained, this.parts.now());
    this.#refused.push(...heard.refused);
    for (const { device, order } of heard.orders) this.#obey(device, order);
    if (!heard.leave) {
      this.#publish(heard.frames);
      return;
    }
    this.parts.say(`Sparkplug: the host "${this.parts.plan.host}" is gone: waiting for it.`);
    this.#later();
    void this.#leave(heard.frames);
  }

  #birthHeard(payload: Uint8Array): void {
    const whose = this.#echo.heard(payload);
    if (whose === 'ours' && this.#why !== null) this.#because(null);
    if (whose !== 'newer') return;
    const line = this.#line;
    this.#broke('', true);
    // Its death would be taken for that of the other one.
    void line?.end(true);
  }

  /** One order after the other: what a host gives together belongs together. */
  #obey(device: string, order: Order): void {
    if (this.#waitingOrders >= OPEN_LIMITS.ordersMost) {
      this.#refused.push(`${device}: too many orders at once.`);
      return;
    }
    this.#waitingOrders += 1;
    this.#orders = this.#orders.then(async () => {
      const answer = await this.parts.obey(device, order);
      this.#waitingOrders -= 1;
      this.parts.say(`Sparkplug: ${device}: ${answer}`);
      this.#publish(this.#node.answer(device, answer, this.parts.now()));
    });
  }

  #broke(why: string, isTakenOver: boolean): void {
    const { plan, now } = this.parts;
    this.#line = null;
    this.#node.closed(now());
    this.#later();
    this.#isTakenOver = isTakenOver;
    this.#because(
      isTakenOver
        ? `Another program has come to the broker ${plan.url} as node "${plan.node}" of group "${plan.group}", and has taken its place. This keeper stays out until it is started again: give one of the two another "node:".`
        : `The broker ${plan.url} is lost. ${why}`,
    );
  }

  /** Ends the session with its last words. */
  async #leave(frames: readonly Frame[]): Promise<void> {
    const line = this.#line;
    this.#line = null;
    line?.publish(frames);
    await line?.end(false);
  }

  #publish(frames: readonly Frame[]): void {
    if (this.#line === null) return;
    for (const { topic, payload } of frames) {
      if (topic === this.#birthTopic) this.#echo.told(payload, this.parts.steadyMs());
    }
    this.#line.publish(frames);
  }

  #unheard(): string {
    const { url, group, node } = this.parts.plan;
    return `The broker ${url} gives no birth back that it was told. Its user may not publish, or not read: whoever runs the broker must let it write to spBv1.0/${group}/+/${node}/# and read spBv1.0/${group}/NBIRTH/${node}.`;
  }

  #later(): void {
    const { retryMs } = OPEN_LIMITS;
    const waitMs = retryMs[Math.min(this.#tries, retryMs.length - 1)] ?? 0;
    this.#tries += 1;
    this.#nextTryMs = this.parts.steadyMs() + waitMs;
  }

  #because(why: string | null): void {
    if (why !== null && why !== this.#why) this.parts.say(`Sparkplug: ${why}`);
    if (why === null && this.#why !== null)
      this.parts.say('Sparkplug: the broker takes all again.');
    this.#why = why;
  }

  /** A line for all that was refused since the last round: a host may send a thousand. */
  #sayRefused(): void {
    const [first, ...others] = this.#refused;
    this.#refused = [];
    if (first === undefined) return;
    const more = others.length === 0 ? '' : ` And ${others.length} more.`;
    this.parts.say(`Sparkplug: refused: ${first}${more}`);
  }
}
