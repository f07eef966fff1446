/**
 * The USB controller in device mode (RP2040 data sheet 4.1): registers, packet buffers and data
 * toggles, in place of the emulator's own, which takes every packet at once and checks none of that.
 * The other side of it is the bus: `usb-host.ts`.
 */
import { BasePeripheral, type RP2040 } from 'rp2040js';
import { ImageError } from './bus';

const ADDR_ENDP = 0x00;
const MAIN_CTRL = 0x40;
const SOF_RD = 0x48;
const SIE_CTRL = 0x4c;
const SIE_STATUS = 0x50;
const BUFF_STATUS = 0x58;
const EP_STALL_ARM = 0x68;
const USB_MUXING = 0x74;
const USB_PWR = 0x78;
const INTE = 0x90;
const INTS = 0x98;
const MAIN_CTRL_CONTROLLER_EN = 1 << 0;
const SIE_CTRL_PULLUP_EN = 1 << 16;
/** To the PHY, with the soft connect; VBUS told as there, since the board does not measure it. */
const MUXING_TO_PHY = (1 << 0) | (1 << 3);
const PWR_VBUS_DETECT = (1 << 3) | (1 << 2);
const FRAME_MASK = 0x7ff;
/** Bits of SIE_STATUS, each with its bit of INTS. */
const EVENT = {
  busReset: { status: 1 << 19, interrupt: 1 << 12 },
  setup: { status: 1 << 17, interrupt: 1 << 16 },
  resume: { status: 1 << 11, interrupt: 1 << 15 },
  suspend: { status: 1 << 4, interrupt: 1 << 14 },
} as const;
const INT_BUFF_STATUS = 1 << 4;
const IRQ = 5;

/** Dual-port RAM (data sheet 4.1.2.5). */
const ENDPOINTS = 16;
const BUFFER_CONTROL = 0x80;
const BUFFER_CONTROL_END = BUFFER_CONTROL + 8 * ENDPOINTS;
const CONTROL_DATA = 0x100;
const EP_CTRL_ENABLE = 0x80000000;
const EP_CTRL_ADDRESS_MASK = 0xffc0;
const BUFFER_FULL = 1 << 15;
const BUFFER_DATA1 = 1 << 13;
const BUFFER_STALL = 1 << 11;
const BUFFER_AVAILABLE = 1 << 10;
const BUFFER_LENGTH_MASK = 0x3ff;

export type Direction = 'in' | 'out';
/** What the device answers a token with that brings no data. */
export type Handshake = 'ack' | 'nak' | 'stall';

export interface Packet {
  readonly bytes: Uint8Array;
  readonly data1: boolean;
}

export class UsbController extends BasePeripheral {
  /** The device has drawn its line up: there is somebody to enumerate. And it has let go of it. */
  onAttached: () => void = () => {};
  onDetached: () => void = () => {};
  /** The device has handled a bus reset. */
  onReset: () => void = () => {};
  /** The device has given a buffer to the bus, or refuses a transfer. */
  onReady: () => void = () => {};
  private readonly registers = new Map<number, number>();
  private readonly memory: DataView;
  private readonly bytes: Uint8Array;
  private status = 0;
  private buffersDone = 0;
  private mask = 0;
  /** It moves nothing any more, as after erratum RP2040-E15, until it is reset. */
  private hung = false;

  /** `frame`: how many the bus has had. `mustRun`: throws without its clock. */
  constructor(
    private readonly chip: RP2040,
    private readonly complain: (complaint: string) => void,
    private readonly frame: () => number,
    private readonly mustRun: () => void,
  ) {
    super(chip, 'USBCTRL_REGS');
    this.memory = chip.usbDPRAMView;
    this.bytes = chip.usbDPRAM;
    const before = new Map<number, number>();
    chip.usbCtrl.DPRAMUpdated = (offset, value) => {
      if (offset < BUFFER_CONTROL || offset >= BUFFER_CONTROL_END) return;
      this.bufferWritten(offset, before.get(offset) ?? 0, value);
      before.set(offset, value);
    };
  }

  get address(): number {
    return (this.registers.get(ADDR_ENDP) ?? 0) & 0x7f;
  }

  /** Bus reset begins: the device must notice. */
  reset(): void {
    this.raise(EVENT.busReset.status);
  }

  hang(): void {
    this.hung = true;
  }

  /** Held in reset, and let go: all as at power-up. */
  startAfresh(): void {
    const was = this.isAttached;
    this.hung = false;
    this.registers.clear();
    this.status = this.buffersDone = this.mask = 0;
    this.update();
    if (was) this.onDetached();
  }

  /** Three milliseconds without a frame (USB 2.0 section 7.1.7.6). */
  suspend(): void {
    this.raise(EVENT.suspend.status);
  }

  /** Frames again. The suspend event tells of every change, this one too. */
  resume(): void {
    this.raise(EVENT.resume.status | EVENT.suspend.status);
  }

  setup(packet: Uint8Array): void {
    if (this.hung) return;
    this.bytes.set(packet);
    this.registers.set(EP_STALL_ARM, 0);
    this.raise(EVENT.setup.status);
  }

  /** An IN token: what the device gives. */
  take(endpoint: number): Packet | Handshake {
    const at = BUFFER_CONTROL + 8 * endpoint;
    const control = this.memory.getUint32(at, true);
    if (this.hung) return 'nak';
    if (this.refuses(endpoint, 'in', control)) return 'stall';
    if ((control & BUFFER_AVAILABLE) === 0) return 'nak';
    if ((control & BUFFER_FULL) === 0) this.complain('IN buffer made available empty');
    const start = this.dataAt(endpoint, 'in');
    const bytes = this.bytes.slice(start, start + (control & BUFFER_LENGTH_MASK));
    this.memory.setUint32(at, control & ~(BUFFER_AVAILABLE | BUFFER_FULL), true);
    this.done(endpoint, 'in');
    return { bytes, data1: (control & BUFFER_DATA1) !== 0 };
  }

  /** An OUT packet: whether the device takes it. */
  give(endpoint: number, { bytes, data1 }: Packet): Handshake {
    const at = BUFFER_CONTROL + 8 * endpoint + 4;
    const control = this.memory.getUint32(at, true);
    if (this.hung) return 'nak';
    if (this.refuses(endpoint, 'out', control)) return 'stall';
    if ((control & BUFFER_AVAILABLE) === 0) return 'nak';
    const room = control & BUFFER_LENGTH_MASK;
    if (bytes.length > room) this.complain(`packet of ${bytes.length} bytes into ${room}`);
    if (data1 !== ((control & BUFFER_DATA1) !== 0)) {
      this.complain(`endpoint ${endpoint} expected the other data toggle and lost a packet`);
      return 'ack';
    }
    this.bytes.set(bytes.subarray(0, room), this.dataAt(endpoint, 'out'));
    const kept = control & ~(BUFFER_AVAILABLE | BUFFER_LENGTH_MASK);
    this.memory.setUint32(at, kept | BUFFER_FULL | Math.min(bytes.length, room), true);
    this.done(endpoint, 'out');
    return 'ack';
  }

  override readUint32(offset: number): number {
    switch (offset) {
      case SIE_STATUS:
        return this.status;
      case BUFF_STATUS:
        return this.buffersDone;
      case INTE:
        return this.mask;
      case INTS:
        return this.interrupts;
      case SOF_RD:
        return this.hung ? 0 : this.frame() & FRAME_MASK;
      default:
        return this.registers.get(offset) ?? super.readUint32(offset);
    }
  }

  override writeUint32(offset: number, value: number): void {
    switch (offset) {
      case SIE_STATUS:
        this.acknowledge(this.rawWriteValue);
        return;
      case BUFF_STATUS:
        this.buffersDone &= ~this.rawWriteValue;
        this.update();
        return;
      case INTE:
        this.mask = value;
        this.update();
        return;
      case SIE_CTRL:
      case MAIN_CTRL:
        this.attach(offset, value);
        return;
      case ADDR_ENDP:
      case EP_STALL_ARM:
      case USB_MUXING:
      case USB_PWR:
        this.registers.set(offset, value);
        return;
      default:
        super.writeUint32(offset, value);
    }
  }

  private get isAttached(): boolean {
    const on = (offset: number, bit: number) => ((this.registers.get(offset) ?? 0) & bit) !== 0;
    return on(MAIN_CTRL, MAIN_CTRL_CONTROLLER_EN) && on(SIE_CTRL, SIE_CTRL_PULLUP_EN);
  }

  private get interrupts(): number {
    let raw = this.buffersDone === 0 ? 0 : INT_BUFF_STATUS;
    for (const { status, interrupt } of Object.values(EVENT)) {
      if ((this.status & status) !== 0) raw |= interrupt;
    }
    return raw & this.mask;
  }

  private attach(offset: number, value: number): void {
    const before = this.isAttached;
    this.registers.set(offset, value);
    if (offset === MAIN_CTRL) this.mustRun();
    if (!this.isAttached || before) return;
    const has = (register: number, bits: number) =>
      ((this.registers.get(register) ?? 0) & bits) === bits;
    if (!has(USB_MUXING, MUXING_TO_PHY) || !has(USB_PWR, PWR_VBUS_DETECT)) {
      throw new ImageError('USB drawn up without its PHY, or without VBUS: no host sees that.');
    }
    this.onAttached();
  }

  private acknowledge(bits: number): void {
    const wasReset = (this.status & bits & EVENT.busReset.status) !== 0;
    this.status &= ~bits;
    this.update();
    if (wasReset) this.onReset();
  }

  private bufferWritten(offset: number, before: number, value: number): void {
    if ((value & (BUFFER_AVAILABLE | BUFFER_STALL)) === 0) return;
    // The bus side may see AVAILABLE before what came with it (data sheet 4.1.2.5.1).
    const isTooSoon =
      (value & BUFFER_AVAILABLE) !== 0 && ((before ^ value) & ~BUFFER_AVAILABLE) !== 0;
    if (isTooSoon) this.complain(`buffer at 0x${offset.toString(16)} available in one write`);
    this.onReady();
  }

  private refuses(endpoint: number, direction: Direction, control: number): boolean {
    if ((control & BUFFER_STALL) === 0) return false;
    const armed = (this.registers.get(EP_STALL_ARM) ?? 0) & (direction === 'in' ? 1 : 2);
    return endpoint !== 0 || armed !== 0;
  }

  private dataAt(endpoint: number, direction: Direction): number {
    if (endpoint === 0) return CONTROL_DATA;
    const control = this.memory.getUint32(8 * endpoint + (direction === 'in' ? 0 : 4), true);
    if ((control & EP_CTRL_ENABLE) === 0) this.complain(`endpoint ${endpoint} is not enabled`);
    return control & EP_CTRL_ADDRESS_MASK;
  }

  private done(endpoint: number, direction: Direction): void {
    this.buffersDone |= (direction === 'in' ? 1 : 2) << (2 * endpoint);
    this.update();
  }

  private raise(bits: number): void {
    if (this.hung) return;
    this.status |= bits;
    this.update();
  }

  private update(): void {
    this.chip.setInterrupt(IRQ, this.interrupts !== 0);
  }
}
