/** What the flash image takes and how fast it is, in the emulated board, for `npm run bench`. */
import type { Bench } from '../firmware/bench/bench';
import { Chip, flashWithImage } from '../firmware/bench/chip/chip';
import { ChipBench } from '../firmware/bench/chip/chip-bench';
import { USB_PACKETS_PER_MS } from '../firmware/bench/chip/usb-host';
import { SimulatedFlash } from '../firmware/bench/flash';
import { IMAGE_BUDGETS } from '../firmware/image/budgets';
import { type BuiltImage, buildImage } from '../firmware/image/build';
import { deepestStackBytes, readArena, readFigures } from '../firmware/image/figures';
import { imageParts } from '../firmware/image/parts';
import { missingTools } from '../firmware/image/toolchain';
import { DOOR, type Door, UART_BAUD } from '../shared/board/map';
import { createLineDecoder } from '../shared/link/framing';
import { LINK_LIMITS } from '../shared/link/methods';
import { fullFlash, inService, type Reply, replyIn, requestLine, resultOf } from './figures-scene';

export interface Row {
  readonly what: string;
  readonly value: string;
  readonly goal: string;
}

const HOUR_MS = 3_600_000;
const HOURS = 24;
const TICK_MS = 1000;
const TICKS_PER_HOUR = HOUR_MS / TICK_MS;
/** A board that got its supply so long ago has made its first ticks. */
const STARTED_MS = 5000;
/** In this time it has cleared its variables: before, they hold the noise of power-up. */
const CLEARED_MS = 5;
/** No answer takes longer; how often to look whether it is there. */
const REPLY_MAX_MS = 5000;
const LOOK_MS = 0.1;
/** Pages pulled at each door: enough for a steady pace. */
const PAGES = 40;
/** What a door can carry: ten bits a byte at the UART's speed; 19 packets of 64 bytes a millisecond. */
const LIMIT_BYTES_PER_S = {
  [DOOR.uart]: UART_BAUD / 10,
  [DOOR.usb]: USB_PACKETS_PER_MS * 64 * 1000,
} as const;

const kb = (bytes: number): string => `${(bytes / 1024).toFixed(1)} KB`;
const row = (what: string, value: string, goal = '-'): Row => ({ what, value, goal });
const ROOM_GOAL = `at least ${kb(IMAGE_BUDGETS.arenaNeverTakenBytes)}`;

function starts(image: BuiltImage, full: SimulatedFlash): Row[] {
  const fresh = new Chip({ flash: flashWithImage(image.bytes) });
  fresh.powerOn();
  fresh.runUntil(() => fresh.drives('mat') && fresh.drives('pump'), 1000, 0.01);
  const safeMs = fresh.nowMs;
  const firstTickMs = (chip: Chip): number => {
    const ticked = () => readFigures(chip, image.symbols).ticks > 0;
    chip.runUntil(() => chip.nowMs > CLEARED_MS && ticked(), REPLY_MAX_MS);
    return chip.nowMs;
  };
  const freshMs = firstTickMs(fresh);
  const { startUs } = readFigures(fresh, image.symbols);
  full.bytes.set(image.bytes);
  const used = new Chip({ flash: full });
  used.powerOn();
  return [
    row('image: reset to outputs known safe', `${safeMs.toFixed(2)} ms`, 'under 5 ms'),
    row('image: clocks running to realm and controller ready', `${(startUs / 1000).toFixed(0)} ms`),
    row(
      'image: reset to first control tick, new board',
      `${freshMs.toFixed(0)} ms`,
      'under 1500 ms',
    ),
    row(
      'image: reset to first control tick, journal full',
      `${firstTickMs(used).toFixed(0)} ms`,
      'under 1500 ms',
    ),
  ];
}

/** The program's end of a door, which counts what it hears. */
class Puller {
  heardBytes = 0;
  private reply: Reply | null = null;
  private id = 0;

  constructor(
    private readonly chip: Chip,
    private readonly door: Door,
  ) {
    const decode = createLineDecoder(LINK_LIMITS.lineToHostBytes, (line) => {
      this.reply = replyIn(line);
    });
    const heard = (data: Uint8Array): void => {
      this.heardBytes += data.length;
      decode(data);
    };
    if (door === DOOR.usb) chip.onUsbData = heard;
    else chip.onUartData = heard;
    chip.openUsb(door === DOOR.usb);
  }

  /** Asks for the page of entries from `from` on; where the next one begins. */
  page(from: number): number {
    const { chip } = this;
    this.id += 1;
    this.reply = null;
    const line = requestLine(this.id, 'journal.page', { from, count: LINK_LIMITS.pageEntries });
    if (this.door === DOOR.usb) chip.writeUsb(line);
    else chip.writeUart(line);
    chip.runUntil(() => this.reply !== null, REPLY_MAX_MS, LOOK_MS);
    const { from: first, count } = resultOf(this.reply);
    return Number(first) + Number(count);
  }
}

/** Pages of a full journal, one request after the other as the laptop tool sends them. */
function pull(image: BuiltImage, full: SimulatedFlash, door: Door): Row {
  const flash = new SimulatedFlash({ contents: full.bytes });
  flash.bytes.set(image.bytes);
  const chip = new Chip({ flash });
  chip.powerOn();
  const puller = new Puller(chip, door);
  chip.run(STARTED_MS);
  // The first page tells where the journal begins.
  let from = puller.page(1);
  const startMs = chip.nowMs;
  puller.heardBytes = 0;
  for (let page = 0; page < PAGES; page += 1) from = puller.page(from);
  const perS = puller.heardBytes / ((chip.nowMs - startMs) / 1000);
  const share = (100 * perS) / LIMIT_BYTES_PER_S[door];
  return row(
    `image: journal pull over emulated ${door === DOOR.usb ? 'USB' : 'UART0'}, simulated time`,
    `${(perS / 1000).toFixed(1)} kB/s, ${share.toFixed(0)} % of the link's limit`,
    door === DOOR.usb ? '-' : '80 %',
  );
}

/** How one hour after the other left the engine's memory. */
function memoryRow(hour: number, chip: Chip, { symbols }: BuiltImage): Row {
  const { liveSlots, liveChunkBytes } = readFigures(chip, symbols);
  const { takenBytes } = readArena(chip, symbols);
  // The engine sweeps its chunks only when they are full: they rise for hours, and fall back.
  const now = `${liveSlots} slots, chunks ${kb(liveChunkBytes)}, heap ${kb(takenBytes)}`;
  return row(`image: memory after hour ${hour}`, now, 'no growth');
}

/** A day of a tray in service: ticks, memory, and how fast it goes by. */
function day(image: BuiltImage, { rig, flash }: Bench): Row[] {
  const { symbols } = image;
  const bench = new ChipBench({ seed: 1, image: image.bytes, rig, flash });
  const { chip } = bench;
  bench.run(STARTED_MS);
  const boot = readArena(chip, symbols);
  const hours: Row[] = [];
  let tickSumUs = 0;
  let ticks = 0;
  const from = performance.now();
  for (let hour = 1; hour <= HOURS; hour += 1) {
    for (let tick = 0; tick < TICKS_PER_HOUR; tick += 1) {
      bench.run(TICK_MS);
      tickSumUs += readFigures(chip, symbols).tickUs;
      ticks += 1;
    }
    hours.push(memoryRow(hour, chip, image));
  }
  const times = (HOURS * HOUR_MS) / (performance.now() - from);
  const end = readArena(chip, symbols);
  const maxMs = readFigures(chip, symbols).tickMaxUs / 1000;
  return [
    row('image: arena taken after boot', `${kb(boot.takenBytes)} of ${kb(boot.bytes)}`),
    row('image: arena taken at most in a day (nothing is given back)', kb(end.takenBytes)),
    row('image: arena never taken', kb(end.bytes - end.takenBytes), ROOM_GOAL),
    row(
      'image: slack, arena less what lives at the end of the day',
      kb(end.bytes - end.liveBytes),
      ROOM_GOAL,
    ),
    row(
      'image: C stack at its deepest in a day',
      `${kb(deepestStackBytes(chip, symbols))} of 16 KB`,
    ),
    row(
      'image: control tick, mean and longest in a day',
      `${(tickSumUs / ticks / 1000).toFixed(1)} ms, ${maxMs.toFixed(1)} ms`,
      `under ${IMAGE_BUDGETS.tickMs} ms`,
    ),
    row(
      'image: a day of a tray in service, against real time',
      `${times.toFixed(0)} times`,
      'at least 10 times',
    ),
    ...hours,
  ];
}

/** Rows of the image; one that says why when it cannot be built here. */
export async function imageRows(): Promise<Row[]> {
  const missing = await missingTools();
  if (missing.length > 0) {
    return [
      row(
        'image: skipped',
        `for want of ${missing.join(' and ')}: \`npm run image\` installs it, or says what to install`,
      ),
    ];
  }
  const image = await buildImage();
  const parts = (await imageParts(image)).map(({ name, bytes }) =>
    row(`image: ${name}`, kb(bytes)),
  );
  const bench = inService();
  const full = fullFlash(bench);
  return [
    ...parts,
    row(
      'image: room left in its budget of flash',
      kb(IMAGE_BUDGETS.imageBytes - image.bytes.length),
      'at least 0 KB',
    ),
    ...starts(image, full),
    pull(image, full, DOOR.uart),
    pull(image, full, DOOR.usb),
    ...day(image, bench),
  ];
}
