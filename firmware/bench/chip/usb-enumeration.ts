/** How an operating system gets to know a new serial device, transfer by transfer (USB 2.0 chapter 9). */
import { UART_BAUD } from '../../../shared/board/map';
import { writeU32 } from '../../../shared/bytes';
import type { ControlReply, ControlTransfer } from './usb-control';

export const DEVICE_ADDRESS = 7;
export const SET_ADDRESS = 5;
const GET_DESCRIPTOR = 6;
const SET_CONFIGURATION = 9;
const SET_LINE_CODING = 0x20;
const GET_LINE_CODING = 0x21;
const SET_CONTROL_LINE_STATE = 0x22;
const DESCRIPTOR = { device: 1, configuration: 2, string: 3, endpoint: 5, qualifier: 6 } as const;
const TO_DEVICE = 0x00;
const FROM_DEVICE = 0x80;
const CLASS_TO_INTERFACE = 0x21;
const CLASS_FROM_INTERFACE = 0xa1;
const CONTROL_PACKET_BYTES = 64;
const BULK = 2;
const ENGLISH = 0x0409;
/** Speed, one stop bit, no parity, 8 data bits. */
const LINE_CODING = Uint8Array.of(0, 0, 0, 0, 0, 0, 8);
writeU32(LINE_CODING, 0, UART_BAUD);
const DTR_AND_RTS = 3;

/** Transfers one after the other, each given its reply; what came of them at the end. */
export type ControlScript<T = void> = Generator<ControlTransfer, T, ControlReply>;

/** What an operating system finds out about the device. */
export interface FoundDevice {
  readonly product: string | null;
  readonly serialNumber: string | null;
  readonly device: Uint8Array;
  readonly configuration: Uint8Array;
  /** Endpoint numbers of the data interface, 0 when there is none. */
  readonly bulkIn: number;
  readonly bulkOut: number;
}

function get(descriptor: number, index: number, length: number, language = 0): ControlTransfer {
  const value = (descriptor << 8) | index;
  return { type: FROM_DEVICE, request: GET_DESCRIPTOR, value, index: language, length };
}

export function* enumerate(): ControlScript<FoundDevice> {
  yield get(DESCRIPTOR.device, 0, CONTROL_PACKET_BYTES);
  yield { type: TO_DEVICE, request: SET_ADDRESS, value: DEVICE_ADDRESS };
  const device = (yield get(DESCRIPTOR.device, 0, 18)) ?? new Uint8Array();
  yield get(DESCRIPTOR.string, 0, 255);
  const product = textOf(yield get(DESCRIPTOR.string, device[15] ?? 0, 255, ENGLISH));
  const serialNumber = textOf(yield get(DESCRIPTOR.string, device[16] ?? 0, 255, ENGLISH));
  yield get(DESCRIPTOR.qualifier, 0, 10);
  const head = yield get(DESCRIPTOR.configuration, 0, 9);
  const total = (head?.[2] ?? 0) | ((head?.[3] ?? 0) << 8);
  const configuration = (yield get(DESCRIPTOR.configuration, 0, total)) ?? new Uint8Array();
  yield { type: TO_DEVICE, request: SET_CONFIGURATION, value: 1 };
  return { product, serialNumber, device, configuration, ...bulkEndpoints(configuration) };
}

/** What a serial driver asks and sets when it takes the device on. */
export function* takeOn(): ControlScript {
  yield { type: CLASS_FROM_INTERFACE, request: GET_LINE_CODING, value: 0, length: 7 };
  yield {
    type: CLASS_TO_INTERFACE,
    request: SET_LINE_CODING,
    value: 0,
    length: LINE_CODING.length,
    data: LINE_CODING,
  };
}

/** Tells the device whether a program has the port open. */
export function* setLineState(open: boolean): ControlScript {
  const value = open ? DTR_AND_RTS : 0;
  yield { type: CLASS_TO_INTERFACE, request: SET_CONTROL_LINE_STATE, value };
}

function bulkEndpoints(configuration: Uint8Array): { bulkIn: number; bulkOut: number } {
  const found = { bulkIn: 0, bulkOut: 0 };
  for (let at = 0; at < configuration.length; at += configuration[at] || configuration.length) {
    const [, kind, address = 0, attributes] = configuration.subarray(at, at + 4);
    if (kind !== DESCRIPTOR.endpoint || attributes !== BULK) continue;
    if ((address & FROM_DEVICE) !== 0) found.bulkIn = address & 15;
    else found.bulkOut = address;
  }
  return found;
}

function textOf(descriptor: ControlReply): string | null {
  if (descriptor === null) return null;
  const units: number[] = [];
  for (let at = 2; at + 1 < descriptor.length; at += 2) {
    units.push((descriptor[at] ?? 0) | ((descriptor[at + 1] ?? 0) << 8));
  }
  return String.fromCharCode(...units);
}
