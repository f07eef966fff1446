/** A grower at the bench: the link as typed calls, and the steps of commissioning. */
import { DOOR, type Door } from '../../shared/board/map';
import { crc32, fromBase64, toBase64 } from '../../shared/bytes';
import { ENTRY_BYTES, unpackEntry } from '../../shared/journal/codec';
import type { JournalEntry } from '../../shared/journal/kinds';
import { createLineDecoder, encodeLine } from '../../shared/link/framing';
import { refusalSentence } from '../../shared/link/host/refusals';
import { LINK_LIMITS, type MethodName, type Params, type Result } from '../../shared/link/methods';
import { decodeProfile, encodeProfile } from '../../shared/profile/image';
import type { Profile } from '../../shared/profile/profile';
import { MINUTE_MS } from '../../shared/units/time';
import type { Rig } from './rig';
import type { ServableBench } from './servable';

/** What a grower needs of a bench: either way of running the firmware has it. */
export type GrowersBench = ServableBench & { readonly rig: Rig };

/** The board said no; the message is its sentence. */
export class BoardRefusal extends Error {
  override readonly name = 'BoardRefusal';
  constructor(
    readonly reason: string,
    readonly facts: readonly unknown[],
  ) {
    super(refusalSentence(reason, facts));
  }
}

export class GrowerAt<B extends GrowersBench> {
  #token = 1;
  #id = 1;
  #reply: unknown = null;
  #write: (bytes: Uint8Array) => void = () => {};

  constructor(
    readonly bench: B,
    readonly door: Door = DOOR.usb,
  ) {
    this.connect();
  }

  connect(): void {
    const decode = createLineDecoder(LINK_LIMITS.lineToHostBytes, (line) => {
      if (line.kind === 'text') this.#reply = replyIn(line.text);
    });
    const end = this.bench.connect((bytes) => {
      decode(bytes);
      return true;
    }, this.door);
    if (end !== null) this.#write = (bytes) => end.write(bytes);
  }

  /** Calls a method; throws the sentence for its refusal. */
  call<M extends MethodName>(
    method: M,
    params: Omit<Params<M>, 'token'>,
    changes = true,
  ): Result<M> {
    this.#reply = null;
    const token = changes ? { token: this.#token++ } : {};
    const request = { jsonrpc: '2.0', id: this.#id++, method, params: { ...params, ...token } };
    this.#write(encodeLine(JSON.stringify(request)));
    const reply = this.#reply as {
      result?: Result<M>;
      error?: { message: string; data: readonly unknown[] };
    } | null;
    if (reply === null) throw new Error(`no reply to ${method}`);
    if (reply.error) throw new BoardRefusal(reply.error.message, reply.error.data);
    if (reply.result === undefined) throw new Error('no result');
    return reply.result;
  }

  status(): Result<'status.read'> {
    return this.call('status.read', {}, false);
  }

  alarms(): string[] {
    return this.status().alarms.map(({ alarm }) => alarm);
  }

  /** Every entry of the board's journal, oldest first, or those from the sequence number `sinceSequence` on. */
  journal(sinceSequence = 0): JournalEntry[] {
    const entries: JournalEntry[] = [];
    const { first } = this.call('journal.info', {}, false);
    let from = Math.max(first, sinceSequence);
    for (;;) {
      const page = this.call('journal.page', { from, count: LINK_LIMITS.pageEntries }, false);
      const bytes = fromBase64(page.data);
      if (bytes === null || page.count === 0) return entries;
      for (let i = 0; i < page.count; i++) {
        const entry = unpackEntry(bytes, i * ENTRY_BYTES);
        if (entry !== null) entries.push(entry);
      }
      from = page.from + page.count;
    }
  }

  measureCode(): number {
    this.call('scale.measure', { samples: 20 });
    this.bench.run(40_000);
    return this.call('scale.measured', {}, false).meanCode;
  }

  calibrateScale(massG = 2000): void {
    this.bench.hand.takeTray();
    this.bench.run(MINUTE_MS);
    const zeroCode = this.measureCode();
    this.bench.hand.putWeight(massG);
    this.bench.run(MINUTE_MS);
    const countsPerG = (this.measureCode() - zeroCode) / massG;
    this.bench.hand.takeWeight();
    this.bench.run(MINUTE_MS);
    this.call('scale.calibrate', {
      zeroCode,
      countsPerG,
      massG,
      cellG: 10_000,
      uncertaintyG: 0.2,
      zeroCodePerK: 0,
      atC: 20,
      unixMs: 0,
    });
  }

  load(profile: Profile, stage: number | null = null): number {
    const image = encodeProfile(profile);
    const decoded = decodeProfile(image);
    if (!decoded.ok) throw new Error(decoded.reason);
    this.call('profile.begin', { bytes: image.length, crc: crc32(image) });
    for (let at = 0; at < image.length; at += LINK_LIMITS.profileChunkBytes) {
      const end = Math.min(image.length, at + LINK_LIMITS.profileChunkBytes);
      this.call('profile.chunk', { offset: at, data: toBase64(image, at, end) }, false);
    }
    this.call('profile.commit', { id: decoded.id, stage });
    return decoded.id;
  }

  /** From an unpacked board to a sown tray. */
  commission(profile: Profile): void {
    this.calibrateScale();
    this.call('pump.calibrate', {
      mlPerS: this.bench.rig.plant.parameters.pump.mlPerS,
      cvPercent: 1,
    });
    this.load(profile);
    this.bench.hand.putTray();
    this.bench.run(5 * MINUTE_MS);
    this.call('mark.set', { mark: 'dry' });
    this.bench.hand.soak();
    this.bench.run(30 * MINUTE_MS);
    this.call('mark.set', { mark: 'soaked' });
    this.bench.hand.sow();
    // As the profile asks: under an open lid the seed would dry.
    this.bench.hand.setLid(profile.stages[0]?.lid ?? 'closed');
    this.bench.run(10 * MINUTE_MS);
    this.call('mark.set', { mark: 'sown' });
  }
}

/** A line that noise has hurt is no reply. */
function replyIn(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
