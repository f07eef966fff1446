/** What the flash image takes and how fast it is, in the emulated board, for `npm run bench`. */
import type { Bench } from '../firmware/bench/bench';
import type { Chip } from '../firmware/bench/chip/chip';
import { ChipBench } from '../firmware/bench/chip/chip-bench';
import { IMAGE_BUDGETS } from '../firmware/image/budgets';
import { type BuiltImage, buildImage } from '../firmware/image/build';
import { deepestStackBytes, readArena, readFigures } from '../firmware/image/figures';
import { imageParts } from '../firmware/image/parts';
import { missingTools } from '../firmware/image/toolchain';
import { DOOR } from '../shared/board/map';
import { HOUR_MS } from '../shared/units/time';
import { type Row, row } from './figure-rows';
import { fullFlash, inService } from './figures-scene';
import { missedTicks, pull, STARTED_MS, starts, TICK_MS } from './image-times';

const HOURS = 24;
const TICKS_PER_HOUR = HOUR_MS / TICK_MS;

const kb = (bytes: number): string => `${(bytes / 1024).toFixed(1)} KB`;
const ROOM_GOAL = `at least ${kb(IMAGE_BUDGETS.arenaNeverTakenBytes)}`;

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
    missedTicks(image, bench),
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
    ...[DOOR.uart, DOOR.usb].flatMap((door) =>
      [false, true].map((cache) => pull(image, full, door, cache)),
    ),
    ...day(image, bench),
  ];
}
