/** The serial port's bulk pipes at the computer's end: bytes in order, packets by their data toggles. */
import type { UsbController } from './usb-controller';
import type { FoundDevice } from './usb-enumeration';

const PACKET_BYTES = 64;

export class BulkPipes {
  /** A program has the port open: only then is anything moved. */
  isOpen = false;
  /** And reads it. */
  isReading = true;
  /** Packets received with no data: they end a transfer that filled its last packet. */
  zeroLengthPackets = 0;
  private inData1 = false;
  private outData1 = false;
  private readonly queue: number[] = [];

  constructor(
    private readonly controller: UsbController,
    private readonly complain: (complaint: string) => void,
    private readonly onData: (bytes: Uint8Array) => void,
  ) {}

  /** Bytes that wait to be sent. */
  get onTheWay(): number {
    return this.queue.length;
  }

  /** Bytes towards the device. They wait until it has room. */
  write(bytes: Uint8Array): void {
    for (const byte of bytes) this.queue.push(byte);
  }

  /** What is not sent yet never is. */
  drop(): void {
    this.queue.length = 0;
  }

  /** A device that was just configured begins with DATA0, both ways. */
  begin(): void {
    this.inData1 = this.outData1 = false;
  }

  /** One packet, from the device or to it, whichever has one; false when there was none to move. */
  move(found: FoundDevice | null, inFirst: boolean): boolean {
    return inFirst
      ? this.moveIn(found) || this.moveOut(found)
      : this.moveOut(found) || this.moveIn(found);
  }

  private moveIn(found: FoundDevice | null): boolean {
    if (!this.isOpen || !this.isReading) return false;
    const packet = this.controller.take(found?.bulkIn ?? 0);
    if (typeof packet === 'string') return false;
    if (packet.data1 !== this.inData1) {
      this.complain('bulk packet with the wrong data toggle');
      return true;
    }
    this.inData1 = !this.inData1;
    if (packet.bytes.length === 0) this.zeroLengthPackets += 1;
    this.onData(packet.bytes);
    return true;
  }

  private moveOut(found: FoundDevice | null): boolean {
    if (!this.isOpen || this.queue.length === 0) return false;
    const bytes = Uint8Array.from(this.queue.slice(0, PACKET_BYTES));
    const packet = { bytes, data1: this.outData1 };
    if (this.controller.give(found?.bulkOut ?? 0, packet) !== 'ack') return false;
    this.outData1 = !this.outData1;
    this.queue.splice(0, bytes.length);
    return true;
  }
}
