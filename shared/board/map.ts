/**
 * What the board is: pins, flash map, leases and limiter thresholds. With `probes.ts` the one source for TypeScript,
 * for the C runtime (its header is generated from this) and for the netlist in `hardware/`.
 */

/**
 * GPIO numbers of the RP2040 reference build; those of the probes are in `probes.ts`. GPIO 15 stays free: what works
 * around the chip's erratum E5 (USB reset on a busy bus) drives it for a moment (data sheet, errata; from memory).
 */
export const PINS = {
  linkTx: 0,
  linkRx: 1,
  scaleClock: 14,
  scaleData: 13,
  mat: 16,
  pump: 17,
  sounder: 18,
  /** Toggled by the safety step while the mat has a lease: what holds its second switch closed. */
  feed: 19,
  /** The same for the pump. */
  arm: 20,
  lamp: 25,
} as const;

/**
 * The one line that tells of mat and pump, on the last free channel of the ADC: four resistors weigh the nodes of
 * `LoadNodes` into one sum, a divider of `seriesOhm` and `groundOhm` takes its share to the pin, and two pulls hold the
 * mat's low side near half of its feed while nothing else does. Read with the mat's switch open and closed, the ratio
 * tells a sound mat (3.1), an open lead (2.0), a blown fuse (5.5) and a welded switch (1.0) at any supply
 * (`loads.ts`; worst cases: `hardware/checks/loads-sense.ts`). A switch that never closes has the ratio of a welded
 * one, but at least 10.8 V on all three nodes, which a welded one of 26.4 V falls short of by a fifth.
 * There above `liveV` on the supply of the mat or the feed of the pump alone, which weigh the same: 12 V less a tenth is
 * the least it can be. With the pump fed as well the ratio means nothing: the runtime makes no looks then.
 */
export const LOADS_SENSE = {
  channel: 2,
  gpio: 28,
  matSupplyOhm: 240_000,
  matFeedOhm: 100_000,
  matLowOhm: 33_000,
  pumpFeedOhm: 240_000,
  /** From the feed of the pump to ground. */
  pumpRestOhm: 10_000,
  seriesOhm: 27_000,
  groundOhm: 4_700,
  /** The pin's own pull-down, which the runtime leaves on so that a broken wire reads nothing: 50 to 80 k (RP2040 data sheet). */
  padPullOhm: 62_000,
  matLowUpOhm: 10_000,
  matLowDownOhm: 10_000,
  liveV: 5,
} as const;

/** Those of its values that are resistors, ohm. */
export type SenseOhms = Readonly<Record<Extract<keyof typeof LOADS_SENSE, `${string}Ohm`>, number>>;

/** Behind the mat's second switch, behind its fuse, and at the drain of its own switch; V. */
export interface MatNodes {
  readonly matSupplyV: number;
  readonly matFeedV: number;
  readonly matLowV: number;
}

/** With the feed of the pump, V: behind its second switch and its fuse. */
export interface LoadNodes extends MatNodes {
  readonly pumpFeedV: number;
}

/** How long a second switch stays closed after its pin has stopped, at most; ms (`hardware/checks/second-switch.ts`). */
export const SECOND_SWITCH_OPENS_MS = 800;

/**
 * The crystal, and how long it is given to swing steadily: the vendor's kit waits 6 ms, and 64 on boards whose crystal is
 * slow (from memory). Outputs are held low meanwhile, so a board of either kind may have the longer time. With other than 12 MHz the chip's own USB drive does not
 * answer (RP2040 data sheet 2.8.1), and the image goes on by a debug probe.
 */
export const CRYSTAL = { mhz: 12, startMs: 64 } as const;

/** Where the flash lies in the address space of the processor (RP2040 data sheet 2.2). */
export const FLASH_START = 0x1000_0000;

/** A stretch of flash, offsets in bytes from the start of the chip. */
export interface FlashRegion {
  readonly offset: number;
  readonly bytes: number;
}

/** Geometry of the W25Q-class NOR chip: program clears bits in one page, erase sets a sector. */
export const FLASH_SECTOR_BYTES = 4096;
export const FLASH_PAGE_BYTES = 256;
export const FLASH_BYTES = 2 * 1024 * 1024;

/** Who owns which part of the flash. Regions are whole sectors, in order, without gaps. */
export const FLASH_MAP = {
  image: { offset: 0x000000, bytes: 0x100000 },
  settings: { offset: 0x100000, bytes: 0x10000 },
  profileA: { offset: 0x110000, bytes: 0x2000 },
  profileB: { offset: 0x112000, bytes: 0x2000 },
  journal: { offset: 0x114000, bytes: 0xec000 },
} as const satisfies Record<string, FlashRegion>;

/** What the ADC measures against, V. */
export const ADC_REFERENCE_V = 3.3;
/** Full scale of the probe ADC: 12 bits, code = FULL_SCALE * R / (R + REFERENCE_OHM). */
export const ADC_FULL_SCALE = 4095;
/**
 * How a probe is read. At every safety step the runtime makes a burst of conversions, 2 us apart, and the
 * limiter judges its mean. `Board.readProbe` gives the mean of the newest bursts: 0.8 s, inside a tick's
 * second, so that no conversion counts in two readings.
 */
export const PROBE_AVERAGING = { conversionsPerBurst: 8, burstsPerReading: 16 } as const;
export const CONVERSIONS_PER_READING =
  PROBE_AVERAGING.conversionsPerBurst * PROBE_AVERAGING.burstsPerReading;
/** Resistor from the 3.3 V ADC reference to the probe input. */
export const PROBE_REFERENCE_OHM = 10_000;

/** The bridge converter's word is 24-bit two's complement; its end codes mean saturation. */
export const SCALE_CODE_MAX = 0x7fffff;
export const SCALE_CODE_MIN = -0x800000;

/** An output switched on stays on at most this long without a new lease. */
export const MAT_LEASE_MAX_MS = 10_000;
export const PUMP_LEASE_MAX_MS = 2_000;

/** ADC code, not rounded, of a probe with this resistance: it is on the low side of the divider. */
export function dividerCode(ohm: number, referenceOhm: number = PROBE_REFERENCE_OHM): number {
  return (ADC_FULL_SCALE * ohm) / (ohm + referenceOhm);
}

/** What the pin of the sense line has to ground: its resistor, and its own pull-down. */
export const belowPinOhm = ({ groundOhm, padPullOhm }: SenseOhms): number =>
  1 / (1 / groundOhm + 1 / padPullOhm);

/** ADC code, not rounded, of the sense line with its nodes at these voltages (superposition). */
export function loadsSenseCode(
  { matSupplyV, matFeedV, matLowV, pumpFeedV }: LoadNodes,
  ohms: SenseOhms = LOADS_SENSE,
): number {
  const { matSupplyOhm, matFeedOhm, matLowOhm, pumpFeedOhm, seriesOhm } = ohms;
  const lowerOhm = belowPinOhm(ohms);
  const sumA =
    matSupplyV / matSupplyOhm +
    matFeedV / matFeedOhm +
    matLowV / matLowOhm +
    pumpFeedV / pumpFeedOhm;
  const sumSiemens =
    1 / matSupplyOhm +
    1 / matFeedOhm +
    1 / matLowOhm +
    1 / pumpFeedOhm +
    1 / (seriesOhm + lowerOhm);
  const pinV = (sumA / sumSiemens) * (lowerOhm / (seriesOhm + lowerOhm));
  return (ADC_FULL_SCALE * pinV) / ADC_REFERENCE_V;
}

const wholeCode = (ohm: number): number => Math.round(dividerCode(ohm));

/** Beyond these the reference probe is no probe any more: -32 and 111 C, where no tray is (common practice). */
export const PROBE_OPEN_OHM = 200_000;
export const PROBE_SHORT_OHM = 500;

/**
 * The runtime's own limiter, in raw ADC codes so that it needs no arithmetic: hotter is a lower code.
 * Resistances of the 10 k, B25/85 3977 curve (see tests/reference). A board with other probes tells the runtime their
 * codes at its start (`Board.limitProbe`); the temperatures stay these.
 */
export const LIMITER = {
  /** 40.0 C in the root zone. */
  rootZoneHotCode: wholeCode(5_331),
  /** 55.0 C on the mat. */
  matHotCode: wholeCode(2_988),
  /** Above: probe open. */
  openCode: wholeCode(PROBE_OPEN_OHM),
  /** Below: probe short. */
  shortCode: wholeCode(PROBE_SHORT_OHM),
  /** The pump may run this long in any clock hour of uptime: one full refill of a large tray. */
  pumpMaxMsPerHour: 600_000,
  /** The hardware watchdog's time. */
  watchdogMs: 8_000,
} as const;

/**
 * Limiter codes that the runtime takes of a probe: those of every curve that `shared/physics/probe-curve.ts` takes, and
 * little more. A probe that is off reads 4080 with the worst leakage, a shorted one 5 with the converter's own error
 * (hardware/checks/senses.ts): between these and the outer bounds is room.
 */
export const LIMITER_BOUNDS = { shortMin: 20, hotMin: 120, hotMax: 3_420, openMax: 4_060 } as const;

/** Whether the runtime takes these codes of a probe. In C: `firmware/runtime/safety.c`. */
export function areLimiterCodes(hotCode: number, openCode: number, shortCode: number): boolean {
  const { shortMin, hotMin, hotMax, openMax } = LIMITER_BOUNDS;
  return (
    shortCode >= shortMin &&
    hotCode >= hotMin &&
    hotCode <= hotMax &&
    openCode <= openMax &&
    shortCode < hotCode &&
    hotCode < openCode
  );
}

/** The runtime looks at leases, limiter and stack this often: how late it can be to switch off. */
export const SAFETY_STEP_MS = 50;
/**
 * Looks at the mat's line. The mat's own switch closes `feedSteps` safety steps after the second one, for the reading with
 * it open; with it closed the line is read `settleSteps` later. While it heats it opens every `everyMs` for `openUs`: the
 * line has no capacitor, and a contactor in the mat's place lets go after milliseconds (common practice). Each look is
 * followed by a second one after `againMs`, with a tick of JavaScript between them.
 */
export const MAT_LOOK = {
  feedSteps: 2,
  settleSteps: 2,
  openUs: 500,
  againMs: 1_500,
  everyMs: 5_000,
} as const;
/**
 * Longest stay in JavaScript. A tick takes 30 to 150 ms with the misses of the flash's cache, a full journal page 140;
 * nothing sane comes near.
 */
export const SCRIPT_LIMIT_MS = 2_000;
/** The same for the start, which reads all of settings and journal: 0.9 s with both full, and with those misses. */
export const SCRIPT_START_LIMIT_MS = 5_000;
/** Of a stay's erases so much is let off, outputs off meanwhile: it may try some worn sectors of a slow chip, 0.4 s each. */
export const SCRIPT_EXCUSED_MAX_MS = 4_000;

/** The two doors of the link; also the argument of `Board.send` and of `Controller.receive`. */
export const DOOR = { usb: 0, uart: 1 } as const;
export type Door = (typeof DOOR)[keyof typeof DOOR];
export const DOORS: readonly Door[] = [DOOR.usb, DOOR.uart];

/** Bits per second of UART0, with 8 data bits, no parity, 1 stop bit; USB carries it as a formality. */
export const UART_BAUD = 115_200;

/** USB product string, and the answer to `controller.hello`. */
export const PRODUCT_NAME = 'Trayward';
