/** What the circuit is built for. One place; checks, budgets, simulations and documents read it. */
import {
  CONVERSIONS_PER_READING,
  PROBE_AVERAGING,
  SAFETY_STEP_MS,
  SECOND_SWITCH_OPENS_MS,
} from '../../shared/board/map';

/** The two rails a grower can choose; mat and pump are bought for the same voltage. */
export const RAIL_CHOICES_V = [12, 24] as const;
export type RailV = (typeof RAIL_CHOICES_V)[number];

export const RAIL = {
  /** A 24 V supply at its upper tolerance of 10 % (SELV stays below 60 V DC, IEC 61140). */
  maxV: 26.4,
  /** A 12 V supply at its lower tolerance of 10 %. */
  minV: 10.8,
  /** Power-limited supplies give up to 8 A into a fault at 12 V (IEC 62368-1 annex Q; from memory). */
  supplyFaultA: 8,
} as const;

export const ROOM = {
  /** A greenhouse in summer: the air in which the enclosure stands. */
  maxC: 40,
  minC: 5,
  /** What the parts inside add to it (small sealed plastic box, about 2 W; common practice). */
  enclosureRiseK: 10,
} as const;

export const LOGIC = {
  nominalV: 3.3,
  /** Regulators of RP2040 boards hold 3 % (common practice; board data sheets). */
  tolerance: 0.03,
  /** RP2040 data sheet, digital IO: V_OH at least 2.62 V at 3.3 V with the rated drive current. */
  outputHighMinV: 2.62,
  /** The drive setting of the runtime's pins, at which that V_OH holds. */
  driveA: 4e-3,
  /** RP2040 data sheet: sum over all pins, sourced or sunk. */
  totalMaxA: 50e-3,
  /** RP2040 data sheet: input leakage, either direction. */
  leakageA: 1e-6,
  /** RP2040 data sheet: pads' own pulls, 50 to 80 kOhm. */
  padPullMaxOhm: 80_000,
} as const;

/** What a pin's own diode to the 3.3 V may take, A (RP2040 data sheet gives none; common practice). */
export const PAD_DIODE_MAX_A = 2e-3;

/** The RP2040's ADC. Data sheet where it says; else a published measurement, named. */
export const ADC = {
  /** Data sheet, table of ADC characteristics: at least 100 kOhm while converting without pause. */
  inputOhmMin: 100_000,
  /** 96 cycles of 48 MHz for one conversion (data sheet 4.9). */
  conversionS: 2e-6,
  /** In a row, with the sampling charge they take; 50 ms of rest follow, 40 time constants of its filter. */
  conversionsPerBurst: PROBE_AVERAGING.conversionsPerBurst,
  /** What a reading is the mean of. */
  conversionsPerReading: CONVERSIONS_PER_READING,
  /**
   * Worst integral non-linearity, LSB, mostly at the four steps of erratum E11 (codes 512, 1536, 2560,
   * 3584); 7.85 LSB in the published characterisation of the chip on its usual board (2021).
   */
  inlLsb: 8,
  /** Offset and gain of the converter itself, LSB: not in the data sheet; common experience. */
  offsetLsb: 4,
  /** Noise of one conversion, LSB rms (same characterisation: 0.97 to 1.36). */
  noiseLsb: 1.4,
  /** Below this supply the data sheet calls its performance compromised. */
  supplyMinV: 2.97,
  /** Filter resistor of the reference on RP2040 boards, and what the converter draws through it. */
  referenceFilterOhm: 200,
  supplyA: 150e-6,
} as const;

/**
 * What a small silicon diode leaks at 3.3 V in a box at 50 °C, A: 25 nA at 20 V and 25 °C (data sheets of switching
 * diodes), doubled for each 10 K (common practice).
 */
export const CLAMP_LEAKAGE_A = 150e-9;

/**
 * What disturbs the sense line of mat and pump. Leakages in a box at 50 °C: from memory of data sheets at 25 and 100 °C,
 * doubled for each 10 K.
 */
export const SENSE = {
  /** Resistors that may be bought in place of 1 %. */
  tolerance: 0.02,
  /** What the rail falls by when the mat comes on. */
  sagShare: 0.05,
  /** The least that a mat takes: a contactor's coil in its place, at 24 V. */
  coilOhm: 240,
  coilV: 24,
  /** Below this share of its voltage a contactor lets go (IEC 60947-4-1: 10 % with direct current). */
  coilHoldShare: 0.1,
  /** Diodes of 3 A beside the mat, in reverse. */
  freewheelLeakageA: { silicon: 100e-6, schottky: 3e-3 },
  /** The mat's switch, open. */
  switchLeakageA: 10e-6,
  /** A second switch, open. */
  feedSwitchLeakageA: 20e-6,
} as const;

/** The second switches of mat and pump, and the charge pumps that close them. */
export const SECOND_SWITCH = {
  /** So much in series, as the sense line has it, carries no load. */
  carriesNothingOhm: 10_000,
  /** From gate to source: weaker, and leakage of gate and transistor lifts it when hot. */
  restMaxOhm: 220_000,
  /** Forward voltage of a small silicon diode at microamperes, V (data sheets). */
  diodeV: { cold: 0.45, hot: 0.35 },
  /** A base that draws microamperes in the cold; below the other one it draws nothing that counts in the heat, V. */
  baseOnV: 0.6,
  baseOffV: 0.45,
  /** Of X7R capacitors. */
  capacitorTolerance: 0.2,
  /** The pin rises every other step. A step that an erase makes late may open the switch for a moment: that harms nothing. */
  risesEveryS: (2 * SAFETY_STEP_MS) / 1000,
  /** Between the last toggle and the switch open, with the parts that keep it closed longest. */
  opensMaxS: SECOND_SWITCH_OPENS_MS / 1000,
  /** Of a pin that drives little. */
  pinHighV: {
    least: LOGIC.nominalV * (1 - LOGIC.tolerance),
    most: LOGIC.nominalV * (1 + LOGIC.tolerance),
  },
} as const;

/** 24-bit bridge converter of the kind with gain 128 and two serial wires; its data sheet. */
export const BRIDGE = {
  supplyMinV: 2.6,
  supplyA: 1.5e-3,
  gain: 128,
  /** Input noise at 10 samples/s and gain 128, V rms. */
  noiseV: 50e-9,
  /** Offset and gain drift with temperature at gain 128 (from memory). */
  offsetVPerK: 6e-9,
  gainPerK: 5e-6,
  /** Common mode between 1.2 V above ground and 1.3 V below its supply (from memory). */
  commonModeLowV: 1.2,
  commonModeHeadroomV: 1.3,
  /** Rejection of supply changes, 100 dB (from memory): 1 V of ripple looks like this at the input. */
  supplyRejection: 1e-5,
  /** Drop of the module's series transistor in saturation. */
  regulatorDropV: 0.1,
} as const;

/** Margins and deratings the checks demand. */
export const MARGIN = {
  /** Semiconductors and capacitors bear at least this multiple of the highest rail (common practice). */
  voltage: 1.25,
  /** A fuse carries at most this share of its rating for ever (ISO 8820-3 advice, 70 to 80 %). */
  fuseLoad: 0.75,
  /** Junctions stay this far below their limit (common practice). */
  junctionK: 40,
  /** Resistors dissipate at most half of their rating. */
  resistorPower: 0.5,
  /** The 5 V converter and the supply have this much in hand. */
  supply: 1.25,
} as const;

/** A resettable fuse holds this share of its rated current at 60 C (makers' derating; common practice). */
export const RESETTABLE_HOT_SHARE = 0.6;
