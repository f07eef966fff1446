/**
 * A computer's end of the USB cable: enumerates the device as an operating system does, opens its
 * serial port, and moves packets with the pace and back-pressure of the bus. Everything happens in
 * simulated time.
 */
import type { RP2040 } from 'rp2040js';
import type { ChipClock } from './clock';
import { BulkPipes } from './usb-bulk';
import { ControlPipe, type ControlReply, type ControlTransfer } from './usb-control';
import { UsbController } from './usb-controller';
import {
  type ControlScript,
  DEVICE_ADDRESS,
  enumerate,
  type FoundDevice,
  SET_ADDRESS,
  setLineState,
  takeOn,
} from './usb-enumeration';

/** A full-speed bus carries 19 packets of 64 bytes in each 1 ms frame (USB 2.0 table 5-9). */
export const USB_PACKETS_PER_MS = 19;
const PACKET_NANOS = 1e6 / USB_PACKETS_PER_MS;
/** Between two control transfers: what a driver takes to make up the next one. */
const CONTROL_GAP_NANOS = 50_000;
/** A device has so long to take its new address (USB 2.0 section 9.2.6.3). */
const ADDRESS_GAP_NANOS = 2e6;
const BUS_RESET_NANOS = 10e6;
/** And so long to be ready after a reset (section 7.1.7.5). */
const RESET_RECOVERY_NANOS = 10e6;
/** Without data, or to its end; and to each packet of data (sections 9.2.6.4 and 7.1.7.5). */
const STATUS_NANOS = 50e6;
const DATA_NANOS = 500e6;
const FRAME_NANOS = 1e6;
/** Without frames for so long, a device must suspend. */
const SUSPEND_NANOS = 3e6;

export class UsbHost {
  /** Bytes from the device. */
  onData: (bytes: Uint8Array) => void = () => {};
  /** What enumeration found. */
  found: FoundDevice | null = null;
  /** Every control transfer and how many bytes came back, null when refused. */
  readonly transfers: { transfer: ControlTransfer; reply: ControlReply }[] = [];
  readonly controller: UsbController;
  private readonly bulk: BulkPipes;
  private wantedOpen = false;
  private plugged = true;
  private asleep = false;
  private ready = false;
  private isInTurn = true;
  private readonly scripts: ControlScript[] = [];
  private pipe: ControlPipe | null = null;
  /** The pause before the next control transfer is over. */
  private isPipeDue = false;
  private readonly resetAlarm;
  private readonly readyAlarm;
  private readonly answerAlarm;
  /** Frames that the bus has had, by its own count. */
  private frames = 0;
  private readonly suspendAlarm;
  private readonly controlAlarm;
  private readonly packetAlarm;
  private isPacketDue = false;

  constructor(
    chip: RP2040,
    clock: ChipClock,
    private readonly complain: (complaint: string) => void,
    mustRun: () => void,
  ) {
    const frame = () => {
      if (!this.asleep && this.plugged) this.frames = Math.floor(clock.nanos / FRAME_NANOS);
      return this.frames;
    };
    this.controller = new UsbController(chip, complain, frame, mustRun);
    this.bulk = new BulkPipes(this.controller, complain, (bytes) => this.onData(bytes));
    this.resetAlarm = clock.createAlarm(() => {
      this.controller.reset();
      this.readyAlarm.schedule(RESET_RECOVERY_NANOS);
    });
    this.readyAlarm = clock.createAlarm(() => {
      // One that has no address yet takes a SETUP by itself, and answers when its program comes to it.
      if (this.controller.address !== 0) complain('bus reset not handled within 10 ms');
    });
    this.answerAlarm = clock.createAlarm(() => this.answerMissed());
    this.suspendAlarm = clock.createAlarm(() => this.controller.suspend());
    this.controlAlarm = clock.createAlarm(() => {
      this.isPipeDue = true;
      this.packetSoon();
    });
    this.packetAlarm = clock.createAlarm(() => this.movePackets());
    this.controller.onAttached = () => {
      if (this.plugged) this.resetAlarm.schedule(BUS_RESET_NANOS);
    };
    this.controller.onDetached = () => {
      this.forget();
      this.resetAlarm.cancel();
      this.readyAlarm.cancel();
    };
    this.controller.onReset = () => this.afterReset();
    this.controller.onReady = () => this.packetSoon();
  }

  /** The port is configured, whether a program has it open or not. */
  get isReady(): boolean {
    return this.ready && this.plugged;
  }

  /** Bulk packets received with no data: they end a transfer that filled its last packet. */
  get zeroLengthPackets(): number {
    return this.bulk.zeroLengthPackets;
  }

  /** A program opens or closes the serial port (DTR). What it wrote and is not sent yet is dropped. */
  setOpen(open: boolean): void {
    this.wantedOpen = open;
    if (!open) {
      this.bulk.isOpen = false;
      this.bulk.drop();
    }
    if (this.isReady) this.run(this.lineState());
  }

  /** A program that has the port open stops reading, or reads on: soon the device may send no more. */
  setReading(reading: boolean): void {
    this.bulk.isReading = reading;
    this.packetSoon();
  }

  /** Resets the bus, as a computer does with a device that it finds in a bad way. */
  resetBus(): void {
    this.resetAlarm.schedule(BUS_RESET_NANOS);
  }

  /** Bytes towards the device. They wait until it has room. */
  write(bytes: Uint8Array): void {
    this.bulk.write(bytes);
    this.packetSoon();
  }

  /** Bytes that wait to be sent. */
  get onTheWay(): number {
    return this.bulk.onTheWay;
  }

  /** Pulls the cable, in the middle of whatever goes on; the bus falls silent. */
  unplug(): void {
    this.plugged = false;
    this.forget();
    this.bulk.drop();
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

  /** The controller hangs, as by erratum RP2040-E15: nobody hears it any more, and it hears nobody. */
  hangController(): void {
    this.controller.hang();
    this.forget();
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
    this.readyAlarm.cancel();
    if (!this.plugged) return;
    this.forget();
    this.run(this.meet());
  }

  private forget(): void {
    this.ready = false;
    this.bulk.isOpen = false;
    this.pipe = null;
    this.isPipeDue = false;
    this.scripts.length = 0;
    this.controlAlarm.cancel();
    this.packetAlarm.cancel();
    this.answerAlarm.cancel();
    this.isPacketDue = false;
  }

  /** The device has kept the host waiting for longer than it may: a real one resets the bus. */
  private answerMissed(): void {
    const { request } = this.pipe?.transfer ?? { request: Number.NaN };
    this.complain(`request ${request} not answered in time`);
    this.forget();
    this.resetBus();
  }

  private *meet(): ControlScript {
    this.found = yield* enumerate();
    if (this.controller.address !== DEVICE_ADDRESS) this.complain('device without its address');
    this.bulk.begin();
    yield* takeOn();
    this.ready = true;
    yield* this.lineState();
  }

  private *lineState(): ControlScript {
    const open = this.wantedOpen;
    yield* setLineState(open);
    this.bulk.isOpen = open;
    this.packetSoon();
  }

  private run(script: ControlScript): void {
    this.scripts.push(script);
    if (this.scripts.length === 1) this.next(null);
  }

  /** Gives the running script its reply and takes its next transfer. */
  private next(reply: ControlReply): void {
    const gapNanos =
      this.pipe?.transfer.request === SET_ADDRESS ? ADDRESS_GAP_NANOS : CONTROL_GAP_NANOS;
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
    const moved = this.moveControl() || this.bulk.move(this.found, this.isInTurn);
    if (moved) this.packetSoon();
  }

  private moveControl(): boolean {
    const { pipe } = this;
    if (pipe === null || !this.isPipeDue) return false;
    const outcome = pipe.step();
    if (outcome === 'waiting') return false;
    this.answerAlarm.schedule(pipe.waitsForData ? DATA_NANOS : STATUS_NANOS);
    if (outcome !== 'moved') {
      this.answerAlarm.cancel();
      this.transfers.push({ transfer: pipe.transfer, reply: outcome.reply });
      this.next(outcome.reply);
    }
    return true;
  }
}
