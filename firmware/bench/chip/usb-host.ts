/**
 * A computer's end of the USB cable: enumerates the device as an operating system does, opens its
 * serial port, and moves packets with the pace and back-pressure of the bus. Everything happens in
 * simulated time.
 */
import type { RP2040 } from 'rp2040js';
import type { ChipClock } from './clock';
import { ControlPipe, type ControlReply, type ControlTransfer } from './usb-control';
import { UsbController } from './usb-controller';

const DEVICE_ADDRESS = 7;
const PACKET_BYTES = 64;
/** A full-speed bus carries 19 such packets in each 1 ms frame (USB 2.0 table 5-9). */
export const USB_PACKETS_PER_MS = 19;
const PACKET_NANOS = 1e6 / USB_PACKETS_PER_MS;
/** Between two control transfers: what a driver takes to make up the next one. */
const CONTROL_GAP_NANOS = 50_000;
/** A device has so long to take its new address (USB 2.0 section 9.2.6.3). */
const ADDRESS_GAP_NANOS = 2e6;
const BUS_RESET_NANOS = 10e6;
/** Without frames for so long, a device must suspend. */
const SUSPEND_NANOS = 3e6;

const REQUEST = {
  setAddress: 5,
  getDescriptor: 6,
  setConfiguration: 9,
  setLineCoding: 0x20,
  getLineCoding: 0x21,
  setControlLineState: 0x22,
} as const;
const DESCRIPTOR = { device: 1, configuration: 2, string: 3, endpoint: 5, qualifier: 6 } as const;
const TO_DEVICE = 0x00;
const FROM_DEVICE = 0x80;
const CLASS_TO_INTERFACE = 0x21;
const CLASS_FROM_INTERFACE = 0xa1;
const ENGLISH = 0x0409;
const LINE_CODING = Uint8Array.of(0x00, 0xc2, 0x01, 0x00, 0, 0, 8);
const DTR_AND_RTS = 3;

type ControlScript = Generator<ControlTransfer, void, ControlReply>;

export class UsbHost {
  /** Bytes from the device. */
  onData: (bytes: Uint8Array) => void = () => {};
  /** What enumeration found. */
  product: string | null = null;
  serialNumber: string | null = null;
  deviceDescriptor: ControlReply = null;
  configurationDescriptor: ControlReply = null;
  /** Every control transfer and how many bytes came back, null when refused. */
  readonly transfers: { transfer: ControlTransfer; reply: ControlReply }[] = [];
  /** Bulk packets received with no data: they end a transfer that filled its last packet. */
  zeroLengthPackets = 0;
  readonly controller: UsbController;
  private bulkIn = 0;
  private bulkOut = 0;
  private inData1 = false;
  private outData1 = false;
  private wantedOpen = false;
  private isOpen = false;
  private plugged = true;
  private asleep = false;
  private ready = false;
  private readonly scripts: ControlScript[] = [];
  private pipe: ControlPipe | null = null;
  /** The pause before the next control transfer is over. */
  private isPipeDue = false;
  private isInTurn = true;
  private readonly queue: number[] = [];
  private readonly resetAlarm;
  private readonly suspendAlarm;
  private readonly controlAlarm;
  private readonly packetAlarm;
  private isPacketDue = false;

  constructor(
    chip: RP2040,
    clock: ChipClock,
    private readonly complain: (complaint: string) => void,
  ) {
    this.controller = new UsbController(chip, complain);
    this.resetAlarm = clock.createAlarm(() => this.controller.reset());
    this.suspendAlarm = clock.createAlarm(() => this.controller.suspend());
    this.controlAlarm = clock.createAlarm(() => {
      this.isPipeDue = true;
      this.packetSoon();
    });
    this.packetAlarm = clock.createAlarm(() => this.movePackets());
    this.controller.onAttached = () => {
      if (this.plugged) this.resetAlarm.schedule(BUS_RESET_NANOS);
    };
    this.controller.onReset = () => this.afterReset();
    this.controller.onReady = () => this.packetSoon();
  }

  /** The port is configured, whether a program has it open or not. */
  get isReady(): boolean {
    return this.ready && this.plugged;
  }

  /** A program opens or closes the serial port (DTR). */
  setOpen(open: boolean): void {
    this.wantedOpen = open;
    if (!open) this.isOpen = false;
    if (this.isReady) this.run(this.lineState());
  }

  /** Bytes towards the device. They wait until it has room. */
  write(bytes: Uint8Array): void {
    for (const byte of bytes) this.queue.push(byte);
    this.packetSoon();
  }

  get onTheWay(): number {
    return this.queue.length;
  }

  /** Pulls the cable, in the middle of whatever goes on; the bus falls silent. */
  unplug(): void {
    this.plugged = false;
    this.forget();
    this.queue.length = 0;
    this.suspendAlarm.schedule(SUSPEND_NANOS);
  }

  /** Puts it back: bus reset and a new enumeration. */
  plug(): void {
    this.plugged = true;
    this.asleep = false;
    this.suspendAlarm.cancel();
    this.controller.resume();
    this.resetAlarm.schedule(BUS_RESET_NANOS);
  }

  /** The computer goes to sleep, cable in place, port open: no frames until it wakes. */
  sleep(): void {
    this.asleep = true;
    this.suspendAlarm.schedule(SUSPEND_NANOS);
  }

  /** It wakes, and goes on where it was. */
  wake(): void {
    this.asleep = false;
    this.suspendAlarm.cancel();
    this.controller.resume();
    this.packetSoon();
  }

  /** Runs one control transfer of a test's own. */
  control(transfer: ControlTransfer, done: (reply: ControlReply) => void): void {
    this.run(
      (function* (): ControlScript {
        done(yield transfer);
      })(),
    );
  }

  private afterReset(): void {
    if (!this.plugged) return;
    this.forget();
    this.run(this.enumerate());
  }

  private forget(): void {
    this.ready = false;
    this.isOpen = false;
    this.pipe = null;
    this.isPipeDue = false;
    this.scripts.length = 0;
    this.controlAlarm.cancel();
    this.packetAlarm.cancel();
    this.isPacketDue = false;
  }

  private *enumerate(): ControlScript {
    const get = (descriptor: number, index: number, length: number, language = 0) => ({
      type: FROM_DEVICE,
      request: REQUEST.getDescriptor,
      value: (descriptor << 8) | index,
      index: language,
      length,
    });
    yield get(DESCRIPTOR.device, 0, PACKET_BYTES);
    yield { type: TO_DEVICE, request: REQUEST.setAddress, value: DEVICE_ADDRESS };
    const device = yield get(DESCRIPTOR.device, 0, 18);
    if (this.controller.address !== DEVICE_ADDRESS) this.complain('device without its address');
    this.deviceDescriptor = device;
    yield get(DESCRIPTOR.string, 0, 255);
    this.product = textOf(yield get(DESCRIPTOR.string, device?.[15] ?? 0, 255, ENGLISH));
    this.serialNumber = textOf(yield get(DESCRIPTOR.string, device?.[16] ?? 0, 255, ENGLISH));
    yield get(DESCRIPTOR.qualifier, 0, 10);
    const head = yield get(DESCRIPTOR.configuration, 0, 9);
    const total = (head?.[2] ?? 0) | ((head?.[3] ?? 0) << 8);
    const configuration = yield get(DESCRIPTOR.configuration, 0, total);
    this.configurationDescriptor = configuration;
    this.findEndpoints(configuration ?? new Uint8Array());
    yield { type: TO_DEVICE, request: REQUEST.setConfiguration, value: 1 };
    this.inData1 = this.outData1 = false;
    yield { type: CLASS_FROM_INTERFACE, request: REQUEST.getLineCoding, value: 0, length: 7 };
    yield {
      type: CLASS_TO_INTERFACE,
      request: REQUEST.setLineCoding,
      value: 0,
      length: LINE_CODING.length,
      data: LINE_CODING,
    };
    this.ready = true;
    yield* this.lineState();
  }

  private *lineState(): ControlScript {
    const open = this.wantedOpen;
    const value = open ? DTR_AND_RTS : 0;
    yield { type: CLASS_TO_INTERFACE, request: REQUEST.setControlLineState, value };
    this.isOpen = open;
    this.packetSoon();
  }

  private findEndpoints(configuration: Uint8Array): void {
    const BULK = 2;
    for (let at = 0; at < configuration.length; at += configuration[at] || configuration.length) {
      const [, kind, address = 0, attributes] = configuration.subarray(at, at + 4);
      if (kind !== DESCRIPTOR.endpoint || attributes !== BULK) continue;
      if ((address & FROM_DEVICE) !== 0) this.bulkIn = address & 15;
      else this.bulkOut = address;
    }
  }

  private run(script: ControlScript): void {
    this.scripts.push(script);
    if (this.scripts.length === 1) this.next(null);
  }

  /** Gives the running script its reply and takes its next transfer. */
  private next(reply: ControlReply): void {
    const gapNanos =
      this.pipe?.transfer.request === REQUEST.setAddress ? ADDRESS_GAP_NANOS : CONTROL_GAP_NANOS;
    this.pipe = null;
    this.isPipeDue = false;
    for (;;) {
      const [script] = this.scripts;
      const next = script?.next(reply);
      if (next === undefined) return;
      if (next.done !== true) {
        this.pipe = new ControlPipe(next.value, this.controller, this.complain);
        this.controlAlarm.schedule(gapNanos);
        return;
      }
      this.scripts.shift();
    }
  }

  /** Packets move one at a time, each in its share of the frame. */
  private packetSoon(): void {
    if (this.isPacketDue || this.asleep || !this.plugged) return;
    this.isPacketDue = true;
    this.packetAlarm.schedule(PACKET_NANOS);
  }

  private movePackets(): void {
    this.isPacketDue = false;
    if (this.asleep || !this.plugged) return;
    this.isInTurn = !this.isInTurn;
    const moved =
      this.moveControl() ||
      (this.isInTurn ? this.moveIn() || this.moveOut() : this.moveOut() || this.moveIn());
    if (moved) this.packetSoon();
  }

  private moveControl(): boolean {
    const { pipe } = this;
    if (pipe === null || !this.isPipeDue) return false;
    const outcome = pipe.step();
    if (outcome === 'waiting') return false;
    if (outcome !== 'moved') {
      this.transfers.push({ transfer: pipe.transfer, reply: outcome.reply });
      this.next(outcome.reply);
    }
    return true;
  }

  /** Only an open port is read. */
  private moveIn(): boolean {
    if (!this.isOpen) return false;
    const packet = this.controller.take(this.bulkIn);
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

  private moveOut(): boolean {
    if (!this.isOpen || this.queue.length === 0) return false;
    const bytes = Uint8Array.from(this.queue.slice(0, PACKET_BYTES));
    if (this.controller.give(this.bulkOut, { bytes, data1: this.outData1 }) !== 'ack') return false;
    this.outData1 = !this.outData1;
    this.queue.splice(0, bytes.length);
    return true;
  }
}

function textOf(descriptor: ControlReply): string | null {
  if (descriptor === null) return null;
  const units: number[] = [];
  for (let at = 2; at + 1 < descriptor.length; at += 2) {
    units.push((descriptor[at] ?? 0) | ((descriptor[at + 1] ?? 0) << 8));
  }
  return String.fromCharCode(...units);
}
