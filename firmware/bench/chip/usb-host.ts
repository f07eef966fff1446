/**
 * A computer's end of the USB cable: enumerates the device as an operating system does, opens its
 * serial port, and moves bulk packets with the pace and back-pressure of the bus. Everything happens
 * in simulated time.
 */
import type { RP2040 } from 'rp2040js';
import type { ChipClock } from './clock';

const DEVICE_ADDRESS = 7;
/** Between two control transfers, and before the first after plugging in. */
const CONTROL_GAP_NANOS = 50_000;
const PACKET_BYTES = 64;
/** A full-speed bus carries 19 such packets in each 1 ms frame (USB 2.0 table 5-9). */
const BULK_PACKET_NANOS = 1e6 / 19;
const EP0_IN_BUFFER_CONTROL = 0x80;
const EP0_OUT_BUFFER_CONTROL = 0x84;
const BUFFER_STALL = 1 << 11;

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
const SIE_STATUS_SUSPENDED = 1 << 4;
const SIE_STATUS_RESUME = 1 << 11;

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
  private bulkIn = -1;
  private bulkOut = -1;
  private open = false;
  private plugged = true;
  private ready = false;
  private readonly scripts: ControlScript[] = [];
  private current: ControlTransfer | null = null;
  /** The setup packet of `current` is out. */
  private begun = false;
  private sentData = false;
  private readonly collected: number[] = [];
  private readonly queue: number[] = [];
  private outRoom = -1;
  private readonly controlAlarm;
  private readonly bulkAlarm;

  constructor(
    private readonly chip: RP2040,
    clock: ChipClock,
  ) {
    const usb = chip.usbCtrl;
    this.controlAlarm = clock.createAlarm(() => this.begin());
    this.bulkAlarm = clock.createAlarm(() => this.pump());
    usb.onUSBEnabled = () => {
      if (this.plugged) usb.resetDevice();
    };
    usb.onResetReceived = () => this.afterReset();
    usb.onEndpointWrite = (endpoint, bytes) => this.received(endpoint, bytes);
    usb.onEndpointRead = (endpoint, room) => this.offered(endpoint, room);
    this.watchStall();
  }

  /** The port is configured, whether a program has it open or not. */
  get isReady(): boolean {
    return this.ready && this.plugged;
  }

  /** A program opens or closes the serial port (DTR). */
  setOpen(open: boolean): void {
    this.open = open;
    if (this.isReady) this.run(this.lineState());
  }

  /** Bytes towards the device. They wait until it has room. */
  write(bytes: Uint8Array): void {
    for (const byte of bytes) this.queue.push(byte);
    this.pumpSoon();
  }

  get onTheWay(): number {
    return this.queue.length;
  }

  /** Pulls the cable, in the middle of whatever goes on; the bus falls silent. */
  unplug(): void {
    this.plugged = false;
    this.forget();
    this.queue.length = 0;
    this.raise(SIE_STATUS_SUSPENDED);
  }

  /** Puts it back: bus reset and a new enumeration. */
  plug(): void {
    this.plugged = true;
    this.raise(SIE_STATUS_RESUME);
    this.chip.usbCtrl.resetDevice();
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
    this.current = null;
    this.scripts.length = 0;
    this.outRoom = -1;
    this.controlAlarm.cancel();
    this.bulkAlarm.cancel();
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
    yield { type: CLASS_FROM_INTERFACE, request: REQUEST.getLineCoding, value: 0, length: 7 };
    yield {
      type: CLASS_TO_INTERFACE,
      request: REQUEST.setLineCoding,
      value: 0,
      length: LINE_CODING.length,
      data: LINE_CODING,
    };
    yield* this.lineState();
    this.ready = true;
    this.pumpSoon();
  }

  private *lineState(): ControlScript {
    const value = this.open ? 3 : 0;
    yield { type: CLASS_TO_INTERFACE, request: REQUEST.setControlLineState, value };
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
    if (this.scripts.length === 1) this.step(null);
  }

  /** Gives the running script its reply and takes its next transfer. */
  private step(reply: ControlReply): void {
    const [script] = this.scripts;
    const next = script?.next(reply);
    if (next === undefined) return;
    if (next.done === true) {
      this.scripts.shift();
      this.step(null);
      return;
    }
    this.current = next.value;
    this.controlAlarm.schedule(CONTROL_GAP_NANOS);
  }

  private begin(): void {
    const { current } = this;
    if (current === null) return;
    const { type, request, value, index = 0, length = 0 } = current;
    this.begun = true;
    this.sentData = false;
    this.collected.length = 0;
    const words = [value, index, length].flatMap((word) => [word & 255, word >> 8]);
    this.chip.usbCtrl.sendSetupPacket(Uint8Array.of(type, request, ...words));
  }

  private finish(reply: ControlReply): void {
    const { current } = this;
    if (current === null || !this.begun) return;
    this.current = null;
    this.begun = false;
    this.transfers.push({ transfer: current, reply });
    this.step(reply);
  }

  private received(endpoint: number, bytes: Uint8Array): void {
    if (!this.plugged) return;
    if (endpoint === 0) {
      this.receivedControl(bytes);
    } else if (endpoint === this.bulkIn) {
      if (bytes.length === 0) this.zeroLengthPackets += 1;
      this.onData(bytes);
    }
  }

  private receivedControl(bytes: Uint8Array): void {
    const { current } = this;
    if (current === null) return;
    if ((current.type & FROM_DEVICE) === 0) {
      if (bytes.length === 0) this.finish(new Uint8Array());
      return;
    }
    this.collected.push(...bytes);
    if (this.collected.length >= (current.length ?? 0) || bytes.length < PACKET_BYTES) {
      this.finish(Uint8Array.from(this.collected));
    }
  }

  /** The device has room for a packet. */
  private offered(endpoint: number, room: number): void {
    if (!this.plugged) return;
    if (endpoint === 0) {
      const data = this.sentData ? undefined : this.current?.data;
      this.sentData = true;
      this.chip.usbCtrl.endpointReadDone(0, data ?? new Uint8Array());
    } else if (endpoint === this.bulkOut) {
      this.outRoom = room;
      this.pumpSoon();
    }
  }

  private pumpSoon(): void {
    if (this.ready && this.outRoom >= 0 && this.queue.length > 0) {
      this.bulkAlarm.schedule(BULK_PACKET_NANOS);
    }
  }

  private pump(): void {
    if (this.outRoom < 0 || this.queue.length === 0) return;
    const packet = Uint8Array.from(this.queue.splice(0, Math.min(this.outRoom, PACKET_BYTES)));
    this.outRoom = -1;
    this.chip.usbCtrl.endpointReadDone(this.bulkOut, packet, 0);
  }

  /** The emulator does not tell when the device refuses a control transfer. */
  private watchStall(): void {
    const { usbCtrl } = this.chip;
    const stock = usbCtrl.DPRAMUpdated.bind(usbCtrl);
    usbCtrl.DPRAMUpdated = (offset, value) => {
      const isControl = offset === EP0_IN_BUFFER_CONTROL || offset === EP0_OUT_BUFFER_CONTROL;
      if (isControl && (value & BUFFER_STALL) !== 0) this.finish(null);
      else stock(offset, value);
    };
  }

  /** Sets a bit of SIE_STATUS, which the emulator leaves out for suspend and resume. */
  private raise(bit: number): void {
    const { usbCtrl } = this.chip;
    const before: unknown = Reflect.get(usbCtrl, 'sieStatus');
    if (typeof before !== 'number') return;
    Reflect.set(usbCtrl, 'sieStatus', before | bit);
    Reflect.apply(usbCtrl.writeUint32, usbCtrl, [0x50, 0]);
    Reflect.set(usbCtrl, 'sieStatus', before);
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
