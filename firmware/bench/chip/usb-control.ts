/** Control transfers on endpoint 0, packet by packet, as a host makes them (USB 2.0 section 8.5.3). */
import type { Handshake, Packet, UsbController } from './usb-controller';

const PACKET_BYTES = 64;
const FROM_DEVICE = 0x80;

export interface ControlTransfer {
  readonly type: number;
  readonly request: number;
  readonly value: number;
  readonly index?: number;
  /** Bytes asked for, or sent with `data`. */
  readonly length?: number;
  readonly data?: Uint8Array;
}

/** The device's answer to a control transfer; null when it refused (STALL). */
export type ControlReply = Uint8Array | null;

type Stage = 'setup' | 'data' | 'status';

/** One transfer under way. `step` moves it on by a packet, when the device has one or room for it. */
export class ControlPipe {
  private stage: Stage = 'setup';
  private data1 = true;
  private sent = 0;
  private readonly collected: number[] = [];

  constructor(
    readonly transfer: ControlTransfer,
    private readonly usb: UsbController,
    private readonly complain: (complaint: string) => void,
  ) {}

  /** What came of the next packet: the whole reply when it was the last one. */
  step(): 'moved' | 'waiting' | { readonly reply: ControlReply } {
    switch (this.stage) {
      case 'setup':
        this.usb.setup(this.setupPacket());
        this.stage = (this.transfer.length ?? 0) > 0 ? 'data' : 'status';
        return 'moved';
      case 'data':
        return this.isRead ? this.readData() : this.writeData();
      case 'status':
        return this.endWith(this.isRead ? this.statusOut() : this.statusIn());
    }
  }

  /** The device is to give data next, for which it has longer than for all else. */
  get waitsForData(): boolean {
    return this.stage === 'data';
  }

  private get isRead(): boolean {
    return (this.transfer.type & FROM_DEVICE) !== 0 && (this.transfer.length ?? 0) > 0;
  }

  private setupPacket(): Uint8Array {
    const { type, request, value, index = 0, length = 0 } = this.transfer;
    const words = [value, index, length].flatMap((word) => [word & 255, word >> 8]);
    return Uint8Array.of(type, request, ...words);
  }

  private readData() {
    const packet = this.usb.take(0);
    if (typeof packet === 'string') return this.without(packet);
    if (!this.isInTurn(packet)) return 'moved';
    this.collected.push(...packet.bytes);
    const whole = this.collected.length >= (this.transfer.length ?? 0);
    if (whole || packet.bytes.length < PACKET_BYTES) this.stage = 'status';
    return 'moved';
  }

  private writeData() {
    const { data = new Uint8Array() } = this.transfer;
    const bytes = data.subarray(this.sent, this.sent + PACKET_BYTES);
    const answer = this.usb.give(0, { bytes, data1: this.data1 });
    if (answer !== 'ack') return this.without(answer);
    this.data1 = !this.data1;
    this.sent += bytes.length;
    if (this.sent >= data.length) this.stage = 'status';
    return 'moved';
  }

  private statusOut(): Handshake {
    return this.usb.give(0, { bytes: new Uint8Array(), data1: true });
  }

  private statusIn(): Handshake {
    const packet = this.usb.take(0);
    if (typeof packet === 'string') return packet;
    if (!packet.data1 || packet.bytes.length > 0) this.complain('status stage that is none');
    return 'ack';
  }

  private endWith(answer: Handshake) {
    if (answer !== 'ack') return this.without(answer);
    return { reply: Uint8Array.from(this.collected) };
  }

  private without(answer: Handshake): 'waiting' | { readonly reply: null } {
    return answer === 'stall' ? { reply: null } : 'waiting';
  }

  /** A packet with the toggle of the one before is that one again: the host drops it. */
  private isInTurn({ data1 }: Packet): boolean {
    if (data1 !== this.data1) {
      this.complain('endpoint 0 sent a packet with the wrong data toggle');
      return false;
    }
    this.data1 = !this.data1;
    return true;
  }
}
