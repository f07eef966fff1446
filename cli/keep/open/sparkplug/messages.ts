/** Messages of a node as frames, each with its number. Pure. */
import { DATA_TYPE, encode, type Metric } from './payload';
import { type NodeName, topicOf, type Verb } from './topics';

/** Published with quality of service 0, and never retained (specification, 4.5). */
export interface Frame {
  readonly topic: string;
  readonly payload: Uint8Array;
}

type Numbered = Exclude<Verb, 'NCMD' | 'DCMD' | 'NDEATH'>;

/** Numbers of messages and of sessions run to 255, and begin anew. */
const after = (number: number): number => (number + 1) % 256;

export class Messages {
  #seq = 0;

  /** `bdSeq`: number of the last session; null before the first. */
  constructor(
    private readonly name: NodeName,
    private bdSeq: number | null,
  ) {}

  /** The number of the next session. */
  get nextSession(): number {
    return this.bdSeq === null ? 0 : after(this.bdSeq);
  }

  /** Its CONNECT packet is on its way: the session has its number, whatever becomes of it. */
  sessionBegins(): void {
    this.bdSeq = this.nextSession;
  }

  /** The first of a sequence, with the number of the session in it. */
  birth(metrics: readonly Metric[], nowMs: number): Frame {
    this.#seq = 255;
    return this.of('NBIRTH', [session(this.bdSeq ?? 0, nowMs), ...metrics], nowMs);
  }

  of(verb: Numbered, metrics: readonly Metric[], nowMs: number, device?: string): Frame {
    this.#seq = after(this.#seq);
    const payload = encode({ timestamp: nowMs, metrics, seq: this.#seq });
    return { topic: topicOf(this.name, verb, device), payload };
  }

  /** The end of a session. It has no number of its own: nobody knows when a broker sends it. */
  death(nowMs: number, bdSeq = this.bdSeq ?? 0): Frame {
    const payload = encode({ timestamp: nowMs, metrics: [session(bdSeq, nowMs)] });
    return { topic: topicOf(this.name, 'NDEATH'), payload };
  }
}

function session(bdSeq: number, nowMs: number): Metric {
  const { int64: datatype } = DATA_TYPE;
  return { name: 'bdSeq', timestamp: nowMs, datatype, longValue: bdSeq };
}
