/**
 * How fast the flash image is in the emulated board: as if all of flash were in its cache, which is how tests run it, and
 * with the misses, which is how silicon does. The second costs ten times the work, and is shorter for it.
 */
import { Chip, flashWithImage } from '../firmware/bench/chip/chip';
import type { ChipBench } from '../firmware/bench/chip/chip-bench';
import { ROM_MS } from '../firmware/bench/chip/rom';
import { USB_PACKETS_PER_MS } from '../firmware/bench/chip/usb-host';
import { SimulatedFlash } from '../firmware/bench/flash';
import { IMAGE_BUDGETS } from '../firmware/image/budgets';
import type { BuiltImage } from '../firmware/image/build';
import { readFigures } from '../firmware/image/figures';
import { DOOR, type Door, UART_BAUD } from '../shared/board/map';
import { createLineDecoder } from '../shared/link/framing';
import { LINK_LIMITS } from '../shared/link/methods';
import { type Row, row } from './figure-rows';
import { type Reply, replyIn, requestLine, resultOf } from './figures-scene';

/** A board that got its supply so long ago has made its first ticks. */
export const STARTED_MS = 5000;
export const TICK_MS = 1000;
/** In this time it has cleared its variables: before, they hold the noise of power-up. */
const CLEARED_MS = 10;
/** No answer takes longer; how often to look whether it is there. */
const REPLY_MAX_MS = 5000;
const LOOK_MS = 0.1;
/** Pages pulled at each door: enough for a steady pace. */
const PAGES = 40;
const MISSED_PAGES = 6;
/** Ticks of a calm tray, and those in which an alarm is raised that says what ails a probe. */
const CALM_TICKS = 30;
const ALARM_TICKS = 10;
/** What a door can carry: ten bits a byte at the UART's speed; 19 packets of 64 bytes a millisecond. */
const LIMIT_BYTES_PER_S = {
  [DOOR.uart]: UART_BAUD / 10,
  [DOOR.usb]: USB_PACKETS_PER_MS * 64 * 1000,
} as const;
const BUDGETS = IMAGE_BUDGETS.withMisses;

const misses = (cache: boolean): string => (cache ? ', with cache misses' : '');
const under = (ms: number): string => `under ${ms} ms`;

interface Start {
  readonly safeMs: number;
  readonly readyMs: number;
  readonly tickMs: number;
}

function started(image: BuiltImage, flash: SimulatedFlash, cache: boolean): Start {
  const chip = new Chip({ flash, cache });
  chip.powerOn();
  chip.runUntil(() => chip.drives('mat') && chip.drives('pump'), 1000, 0.01);
  const safeMs = chip.nowMs;
  const ticked = () => readFigures(chip, image.symbols).ticks > 0;
  chip.runUntil(() => chip.nowMs > CLEARED_MS && ticked(), REPLY_MAX_MS);
  return {
    safeMs,
    readyMs: readFigures(chip, image.symbols).startUs / 1000,
    tickMs: chip.nowMs,
  };
}

const withImage = (image: BuiltImage, { bytes }: SimulatedFlash): SimulatedFlash => {
  const flash = new SimulatedFlash({ contents: bytes });
  flash.bytes.set(image.bytes);
  return flash;
};

/** From power-up to the first tick. */
export function starts(image: BuiltImage, full: SimulatedFlash): Row[] {
  const ways = [false, true].map((cache) => ({
    cache,
    fresh: started(image, flashWithImage(image.bytes), cache),
    used: started(image, withImage(image, full), cache),
    goal: under(cache ? BUDGETS.firstTickMs : IMAGE_BUDGETS.firstTickMs),
  }));
  return [
    ...ways.map(({ cache, fresh }) =>
      row(
        `image: boot stage to outputs known safe${misses(cache)}`,
        `${fresh.safeMs.toFixed(2)} ms`,
        'under 5 ms',
      ),
    ),
    ...ways.map(({ cache, fresh }) =>
      row(
        `image: power-on to outputs driven, the ROM included${misses(cache)}`,
        `${(ROM_MS + fresh.safeMs).toFixed(1)} ms`,
      ),
    ),
    ...ways.map(({ cache, fresh }) =>
      row(`image: clocks running to controller ready${misses(cache)}`, ms(fresh.readyMs)),
    ),
    ...ways.map(({ cache, fresh, goal }) =>
      row(`image: reset to first tick, new board${misses(cache)}`, ms(fresh.tickMs), goal),
    ),
    ...ways.map(({ cache, used, goal }) =>
      row(`image: reset to first tick, journal full${misses(cache)}`, ms(used.tickMs), goal),
    ),
  ];
}

const ms = (time: number): string => `${time.toFixed(0)} ms`;

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

/** Pages of a full journal, one request after the other as the laptop tool sends them, while the board ticks. */
export function pull(image: BuiltImage, full: SimulatedFlash, door: Door, cache: boolean): Row {
  const chip = new Chip({ flash: withImage(image, full) });
  chip.powerOn();
  const puller = new Puller(chip, door);
  chip.run(STARTED_MS);
  chip.cached = cache;
  // The first page tells where the journal begins.
  let from = puller.page(1);
  const startMs = chip.nowMs;
  puller.heardBytes = 0;
  for (let page = 0; page < (cache ? MISSED_PAGES : PAGES); page += 1) from = puller.page(from);
  const perS = puller.heardBytes / ((chip.nowMs - startMs) / 1000);
  const share = (100 * perS) / LIMIT_BYTES_PER_S[door];
  return row(
    `image: journal pull over emulated ${door === DOOR.usb ? 'USB' : 'UART0'}${misses(cache)}`,
    `${(perS / 1000).toFixed(1)} kB/s, ${share.toFixed(0)} % of the link's limit`,
    door === DOOR.usb || cache ? '-' : '80 %',
  );
}

/** Half a minute of a board in service, and the seconds in which a broken probe is told. */
export function missedTicks(image: BuiltImage, bench: ChipBench): Row {
  const { chip } = bench;
  const before = chip.misses;
  const times: number[] = [];
  chip.cached = true;
  for (let tick = 0; tick < CALM_TICKS + ALARM_TICKS; tick += 1) {
    if (tick === CALM_TICKS) bench.fault('probe-open');
    bench.run(TICK_MS);
    times.push(readFigures(chip, image.symbols).tickUs / 1000);
  }
  chip.cached = false;
  const calm = times.slice(0, CALM_TICKS).reduce((sum, time) => sum + time, 0) / CALM_TICKS;
  const each = Math.round((chip.misses - before) / times.length);
  return row(
    `image: control tick with cache misses (${each} each second), mean and with an alarm`,
    `${calm.toFixed(1)} ms, ${Math.max(...times).toFixed(1)} ms`,
    under(BUDGETS.tickMs),
  );
}
