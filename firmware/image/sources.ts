/** Which sources make the image and the bytecode tool, and with which flags. */

/** How strings lie in bytecode: the tool and the board must agree. */
const BYTECODE_DEFINES = ['-DmxCESU8=1'];

const ENGINE_DEFINES = [
  '-DmxRun=1',
  '-DmxNoConsole=1',
  '-DmxMinusZero=1',
  // A runaway script comes back to C.
  '-DmxMetering=1',
  // Without it a JavaScript stack overflow silently destroys the realm.
  '-DmxBoundsCheck=1',
  ...BYTECODE_DEFINES,
];

/** All of the engine but its parser, debugger, snapshots and lockdown, which stay undefined. */
export const ENGINE_SOURCES = [
  'xsAll',
  'xsAPI',
  'xsArguments',
  'xsArray',
  'xsAtomics',
  'xsBigInt',
  'xsBoolean',
  'xsCommon',
  'xsDataView',
  'xsDate',
  'xsDebug',
  'xsdtoa',
  'xsError',
  'xsFunction',
  'xsGenerator',
  'xsGlobal',
  'xsJSON',
  'xsMapSet',
  'xsMarshall',
  'xsMath',
  'xsmc',
  'xsMemory',
  'xsModule',
  'xsNumber',
  'xsObject',
  'xsPlatforms',
  'xsProfile',
  'xsPromise',
  'xsProperty',
  'xsProxy',
  'xsre',
  'xsRegExp',
  'xsRun',
  'xsString',
  'xsSymbol',
  'xsType',
];

/** Of those, parts that nothing here uses and that take 29 KB of flash: by its builder's name, the globals that each makes. */
export const LEFT_OUT: Readonly<Record<string, readonly string[]>> = {
  fxBuildAtomics: ['Atomics', 'SharedArrayBuffer'],
  fxBuildDate: ['Date'],
  fxBuildProxy: ['Proxy', 'Reflect'],
};

/** The engine's compiler: what turns a script into bytecode. */
export const BYTECODE_TOOL_SOURCES = [
  'xsBigInt',
  'xsCode',
  'xsCommon',
  'xsdtoa',
  'xsLexical',
  'xsre',
  'xsScope',
  'xsScript',
  'xsSourceMap',
  'xsSyntaxical',
  'xsTree',
];

/** Our own C that any chip runs, in `firmware/runtime/`. */
export const RUNTIME_SOURCES = [
  'arguments.c',
  'board.c',
  'bridge.c',
  'bytes.c',
  'crc32.c',
  'engine.c',
  'engine_abort.c',
  'engine_defaults.c',
  'engine_memory.c',
  'main.c',
  'mat_look.c',
  'realm.c',
  'safety.c',
  'script_time.c',
  'unfit_flash.c',
];

/** One chip: its sources, in the folder of its name below `firmware/runtime/`, and its core. */
export interface ChipTarget {
  readonly folder: string;
  readonly core: readonly string[];
  readonly sources: readonly string[];
}

const RP2040: ChipTarget = {
  folder: 'rp2040',
  core: ['-mcpu=cortex-m0plus', '-mthumb'],
  sources: [
    'adc.c',
    'boot2.S',
    'clock_watch.c',
    'clocks.c',
    'flash.c',
    'pins.c',
    'restart.c',
    'serial_flash.c',
    'start.c',
    'timer.c',
    'uart.c',
    'usb.c',
    'usb_control.c',
    'usb_data.c',
    'watchdog.c',
  ],
};

/** The board that `shared/board/map.ts` describes has this chip. */
export const CHIP = RP2040;

const chipFlags = ({ core }: ChipTarget) => [...core, '-Os', '-g', '-std=gnu11'];

const CHIP_SECTIONS = ['-ffunction-sections', '-fdata-sections', '-fno-common'];

function includes(xs: string): string[] {
  return ['sources', 'includes', 'platforms'].map((part) => `-I${xs}/${part}`);
}

/** Engine sources for the chip. Warnings in them are not ours to mend. */
export function engineFlags(chip: ChipTarget, xs: string, runtime: string): string[] {
  return [
    ...chipFlags(chip),
    ...CHIP_SECTIONS,
    '-w',
    `-I${runtime}`,
    ...includes(xs),
    '-DINCLUDE_XSPLATFORM',
    '-DXSPLATFORM="xs_platform.h"',
    ...ENGINE_DEFINES,
  ];
}

/** Our own C. The engine's headers are system headers: no warnings from them. */
export function runtimeFlags(
  chip: ChipTarget,
  xs: string,
  runtime: string,
  generated: string,
): string[] {
  return [
    ...chipFlags(chip),
    ...CHIP_SECTIONS,
    '-Wall',
    '-Wextra',
    '-Werror',
    // The ROM's tables lie in the first page of addresses, which the compiler takes for null pointers.
    '--param=min-pagesize=0',
    `-I${runtime}`,
    `-I${runtime}/${chip.folder}`,
    `-I${generated}`,
    ...includes(xs).flatMap((flag) => ['-isystem', flag.slice(2)]),
    '-DINCLUDE_XSPLATFORM',
    '-DXSPLATFORM="xs_platform.h"',
    ...ENGINE_DEFINES,
  ];
}

/** For the bytecode tool, which runs on the machine that builds. */
export function bytecodeToolFlags(xs: string): string[] {
  return [
    '-O1',
    '-w',
    '-fno-common',
    ...includes(xs),
    '-DmxCompile=1',
    '-DmxParse=1',
    ...BYTECODE_DEFINES,
  ];
}

/** For the whole image; `map` is where the linker writes what lies where. */
export function linkFlags(
  chip: ChipTarget,
  runtime: string,
  imageBytes: number,
  map: string,
): string[] {
  return [
    ...chipFlags(chip),
    '--specs=nano.specs',
    '-nostartfiles',
    '-Wl,--gc-sections',
    // `engine_defaults.c` has one of each that builds nothing: what only they lead to goes with the unused sections.
    ...Object.keys(LEFT_OUT).map((builder) => `-Wl,--wrap=${builder}`),
    `-Wl,--defsym=IMAGE_BYTES=${imageBytes}`,
    `-T${runtime}/${chip.folder}/link.ld`,
    `-Wl,-Map=${map}`,
  ];
}
