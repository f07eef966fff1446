/** Flash images for the tests: the real one, and ones whose script misbehaves on purpose. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Chip, flashWithImage, type OutputName } from '../../firmware/bench/chip/chip';
import { ChipBench } from '../../firmware/bench/chip/chip-bench';
import { type FlashTimes, TYPICAL_FLASH } from '../../firmware/bench/chip/rom';
import type { SimulatedFlash } from '../../firmware/bench/flash';
import { fillJournal } from '../../firmware/bench/full-journal';
import { GrowerAt } from '../../firmware/bench/grower';
import { type BuiltImage, buildImage } from '../../firmware/image/build';
import { readFigures } from '../../firmware/image/figures';
import { imagePaths } from '../../firmware/image/paths';
import { missingTools } from '../../firmware/image/toolchain';
import { DOOR, type Door, FLASH_MAP } from '../../shared/board/map';
import { DAY_MS } from '../../shared/units/time';
import { onceARun } from '../once';
import { Grower } from '../simulation/grower';
import type { Misdeed, Misdeeds } from './misdeed';
import { MISDEEDS, MISDEEDS_TOP } from './misdeeds/all';

/** Where the image ends and what it writes begins. */
export const WRITABLE_FROM = FLASH_MAP.settings.offset;

const missing = await missingTools();

/** True when no image can be built here; the reason is told once for each test file. */
export const cannotBuild = missing.length > 0;
if (cannotBuild) {
  console.warn(
    `\nSKIPPED: the tests of the flash image, for want of ${missing.join(' and ')}.\n` +
      '`npm run image` installs what is needed, or says what to install.\n',
  );
}

/** The first build of a clean tree compiles the engine, on a machine that does other things as well. */
export const BUILD_LIMIT_MS = 300_000;

/** The image that growers get, built from the sources as they are now. */
export function trayward(): Promise<BuiltImage> {
  growersImage ??= sharedImage('trayward', buildImage);
  return growersImage;
}
let growersImage: Promise<BuiltImage> | null = null;

/** An image that is built once in a run; each worker keeps it. */
async function sharedImage(name: string, build: () => Promise<BuiltImage>): Promise<BuiltImage> {
  const text = await onceARun(name, async () => {
    const { bytes, symbols, ...rest } = await build();
    const base64 = Buffer.from(bytes).toString('base64');
    return JSON.stringify({ ...rest, symbols: [...symbols], base64 });
  });
  const { base64, symbols, ...rest } = JSON.parse(text);
  return {
    ...rest,
    symbols: new Map(symbols),
    bytes: new Uint8Array(Buffer.from(base64, 'base64')),
  };
}

/** Where flash tells which of the misdeeds is wanted: no test of these images has settings. */
const CHOICE_AT = WRITABLE_FROM;

const SAY = `
function say(text) {
  board.send(1, Uint8Array.from(String(text) + "\\n", (letter) => letter.charCodeAt(0)));
}`;

const misdeedText = ({
  tick = '',
  receive = '',
  rest = '',
  start = '',
}: Misdeed): string => `() => {
  let ticks = 0;
  ${start}
  return {
    tick() { ticks += 1; ${tick} },
    rest() { ${rest} },
    receive(door, bytes) { ${receive} },
  };
}`;

/**
 * Images whose controller does one of the misdeeds of a test file: one program with those of all files, built once in a
 * run, since linking and freezing one takes seconds, and a byte in flash behind it that chooses.
 */
export function misbehaving<File extends keyof typeof MISDEEDS>(
  file: File,
): (name: keyof (typeof MISDEEDS)[File] & string) => Promise<BuiltImage> {
  const nameOf = (ofFile: string, name: string): string => `${ofFile}: ${name}`;
  const all = Object.entries<Misdeeds>(MISDEEDS).flatMap(([ofFile, misdeeds]) =>
    Object.entries(misdeeds).map(([name, misdeed]) => ({ name: nameOf(ofFile, name), misdeed })),
  );
  const script = `${MISDEEDS_TOP}${SAY}
const misdeeds = [${all.map(({ misdeed }) => misdeedText(misdeed)).join(',\n')}];
globalThis.createController = () => {
  const choice = new Uint8Array(1);
  board.flashRead(${CHOICE_AT}, choice);
  return misdeeds[choice[0]]();
};
`;
  const image = chosen(
    'misdeeds',
    script,
    all.map(({ name }) => name),
    CHOICE_AT,
  );
  return (name) => image(nameOf(file, name));
}

/** Images of this script that differ in one byte of flash, which tells it the place of a name among these. */
function chosen<Name extends string>(
  file: string,
  script: string,
  names: readonly string[],
  choiceAt: number,
): (name: Name) => Promise<BuiltImage> {
  let built: Promise<BuiltImage> | null = null;
  return async (name) => {
    built ??= sharedImage(file, () => buildImage(scriptFile(file, script), file));
    const image = await built;
    const bytes = new Uint8Array(choiceAt + 1).fill(0xff);
    bytes.set(image.bytes);
    bytes[choiceAt] = names.indexOf(name);
    return { ...image, bytes };
  };
}

/** What the growers' program does otherwise: given `board` and `createController`, the controller that runs. */
export type Otherwise = string;

/** Where the flash tells which of them is wanted, for images whose tray has settings: the last byte before those. */
const OTHERWISE_AT = WRITABLE_FROM - 1;

/** Images that run the growers' program, but for one of these things; built once, as those above. */
export function otherwise<Name extends string>(
  file: string,
  ways: Readonly<Record<Name, Otherwise>>,
): (name: Name) => Promise<BuiltImage> {
  const names = Object.keys(ways);
  const texts = Object.values<Otherwise>(ways);
  const program = JSON.stringify(join(imagePaths().root, 'firmware/main.ts'));
  const script = `import { createController } from ${program};
const ways = [${texts.map((text) => `(board) => { ${text} }`).join(',\n')}];
globalThis.createController = (board) => {
  const choice = new Uint8Array(1);
  board.flashRead(${OTHERWISE_AT}, choice);
  return ways[choice[0]](board);
};
`;
  return chosen(file, script, names, OTHERWISE_AT);
}

/** An image with this controller alone, for a script that needs the flash behind it. */
export const controlledBy = (name: string, script: Misdeed, top = ''): Promise<BuiltImage> =>
  buildImage(
    scriptFile(name, `${top}${SAY}\nglobalThis.createController = ${misdeedText(script)};\n`),
    name,
  );

function scriptFile(name: string, script: string): string {
  const folder = join(imagePaths().objects, '../scripts');
  mkdirSync(folder, { recursive: true });
  const path = join(folder, `${name}.js`);
  writeFileSync(path, script);
  return path;
}

/** A board with this image, its supply just switched on, both probes at room temperature. */
export function powered(image: BuiltImage, seed = 1, flashTimes = TYPICAL_FLASH): Chip {
  const chip = new Chip({ flash: flashWithImage(image.bytes, seed), seed, flashTimes });
  chip.powerOn();
  return chip;
}

/**
 * Flash with this image and all that a tray writes in months: journal full and gone round, settings
 * gone round, a profile running.
 */
export function usedFlash(image: BuiltImage): SimulatedFlash {
  usedContents ??= contentsOfMonths();
  const flash = flashWithImage(image.bytes);
  flash.bytes.set(usedContents.subarray(WRITABLE_FROM), WRITABLE_FROM);
  return flash;
}
let usedContents: Uint8Array | null = null;

function contentsOfMonths(): Uint8Array {
  const grower = new Grower();
  grower.commission();
  grower.bench.run(DAY_MS);
  const { flash } = grower.bench;
  fillJournal(flash);
  return flash.bytes;
}

/** Lines that the image says on UART0. */
export function heardLines(chip: Chip): string[] {
  const lines: string[] = [];
  let rest = '';
  chip.onUartData = (bytes) => {
    rest += String.fromCharCode(...bytes);
    const parts = rest.split('\n');
    rest = parts.pop() ?? '';
    lines.push(...parts);
  };
  return lines;
}

/** How long an output was on, ms, as its pin tells. Ask with the time of now. */
export function onTimer(chip: Chip, output: OutputName): (nowMs: number) => number {
  let onMs = 0;
  let sinceMs: number | null = null;
  const before = chip.onOutput;
  chip.onOutput = (change) => {
    before(change);
    if (change.output !== output) return;
    if (sinceMs !== null) onMs += change.atMs - sinceMs;
    sinceMs = change.on ? change.atMs : null;
  };
  return (nowMs) => onMs + (sinceMs === null ? 0 : nowMs - sinceMs);
}

/** The tray and the flash of a bench in this process, taken over by the image: it starts up there. */
export function takenOver(
  { bench }: Grower,
  image: BuiltImage,
  door: Door = DOOR.usb,
  flashTimes: FlashTimes = TYPICAL_FLASH,
): GrowerAt<ChipBench> {
  const { rig, flash } = bench;
  const { seed } = rig.plant.parameters;
  const chip = new ChipBench({ seed, image: image.bytes, rig, flash, flashTimes });
  return new GrowerAt(chip, door);
}

/** What the image's runtime measures about itself. */
export const figures = (chip: Chip, { symbols }: BuiltImage) => readFigures(chip, symbols);

/** In this time a started board has cleared its variables: before, they hold the noise of power-up. */
const CLEARED_MS = 10;

/** Runs a board that was just started to the end of its first control tick; the time then, ms. */
export function firstTickMs(chip: Chip, image: BuiltImage): number {
  chip.run(CLEARED_MS);
  if (!chip.runUntil(() => figures(chip, image).ticks > 0, 5000)) throw new Error('No tick came.');
  return chip.nowMs;
}

/** What a board says of so many expressions. */
export function said(image: BuiltImage, { length }: readonly string[]): string[] {
  const chip = powered(image);
  const lines = heardLines(chip);
  chip.run((length + 2) * 1000);
  if (chip.starts.length > 1) throw new Error('The board restarted.');
  return lines;
}
