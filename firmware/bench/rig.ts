/**
 * Everything on the far side of the board's terminals: plant, sensors, faults, and the grower's
 * hand. Whatever runs the firmware - the simulated board, or a flash image in an emulated chip -
 * switches mat and pump here and reads the sensors here.
 */
import { loadNodes } from '../../shared/board/loads';
import { ADC_FULL_SCALE, type LoadNodes, SCALE_CODE_MAX } from '../../shared/board/map';
import { type OfProbes, ofProbes, PROBE_NAMES, type ProbeName } from '../../shared/board/probes';
import type { StoneWool } from '../../shared/physics/dry-back';
import type { SteinhartHart } from '../../shared/physics/ntc';
import { DAY_MS } from '../../shared/units/time';
import { type FaultName, Faults, PROBE_FAULTS } from './faults';
import { type ErrandName, Hand, type Handled } from './hand';
import { cropParameters } from './plant/crops';
import { LOAD_CELL, type LoadCellParameters } from './plant/load-cell';
import type { PlantParameters } from './plant/parameters';
import { Plant } from './plant/plant';
import { PROBE_PLACES } from './plant/probes';
import { PUMP, type PumpParameters } from './plant/pump';
import { ROOM, type RoomParameters } from './plant/room';
import { USUAL_FEED_MS } from './plant/salts';
import { MAT, type MatParameters } from './plant/thermal';
import { measuredCode } from './plant/thermistor';
import { BLOCKS, NOTHING_UNDER, PLUGS, type UnderWool } from './plant/wool';
import { Random } from './random';
import type { Fed } from './second-switch';

export interface RigOptions {
  readonly seed: number;
  /** Crop that `hand.sow()` sows, of `CROP_NAMES`; 'pepper' unless given. */
  readonly crop?: string;
  /** Time of day at the start, Unix ms (the room keeps UTC); 1 March 2026, 08:00 unless given. */
  readonly startUnixMs?: number;
  readonly room?: Partial<RoomParameters>;
  readonly mat?: Partial<MatParameters>;
  readonly pump?: Partial<PumpParameters>;
  readonly cell?: Partial<LoadCellParameters>;
  readonly medium?: StoneWool;
  /** What plants are moved on to; eight small blocks unless given. */
  readonly blocks?: StoneWool;
  /** What lies under the wool; nothing unless given. */
  readonly under?: UnderWool;
  readonly trayG?: number;
  /** Which NTC each probe is; the reference one unless given. */
  readonly ntcs?: Partial<OfProbes<SteinhartHart>>;
  /** Strength of the feed, mS/cm above the water's own; 1.2 unless given. */
  readonly feedMs?: number;
}

interface Errand {
  readonly atMs: number;
  act(): void;
}

/** An empty 10 x 20 inch tray. */
const TRAY_G = 180;
const DEFAULT_START_UNIX_MS = Date.UTC(2026, 2, 1, 8);

/** Ten conversions a second. */
const CONVERSION_MS = 100;
/** After power the converter needs this long for its first one (data sheet, 10 samples/s). */
const CONVERTER_START_MS = 400;
/** Codes of a broken and of a shorted probe: leakage and lead resistance keep off the ends. */
const OPEN_CODE = ADC_FULL_SCALE - 3;
const SHORT_CODE = 2;
const NOISY_FACTOR = 80;
/** The supply of mat and pump. */
const LOADS_V = 24;
/** A hand on the tray pulls and pushes this hard, g rms. */
const TOUCH_G = 150;

/** Parts of one make differ: what the seed decides unless the caller does. */
function drawParts(options: RigOptions): PlantParameters {
  const { seed } = options;
  const draw = new Random(seed ^ 0x7a47);
  const startUnixMs = options.startUnixMs ?? DEFAULT_START_UNIX_MS;
  return {
    seed,
    startOfDayMs: ((startUnixMs % DAY_MS) + DAY_MS) % DAY_MS,
    room: { ...ROOM, ...options.room },
    mat: { ...MAT, ...options.mat },
    medium: options.medium ?? PLUGS,
    blocks: options.blocks ?? BLOCKS,
    under: options.under ?? NOTHING_UNDER,
    pump: { ...PUMP, mlPerS: draw.between(0.85, 1.25), ...options.pump },
    cell: {
      ...LOAD_CELL,
      zeroShare: draw.between(-0.05, 0.05),
      spanShare: draw.between(-0.03, 0.03),
      zeroGPerK: draw.between(-0.4, 0.4),
      ...options.cell,
    },
    probes: ofProbes((name) => {
      const { bead, spreadK } = PROBE_PLACES[name];
      const curve = options.ntcs?.[name];
      const part = { ...bead, offsetK: draw.between(-spreadK, spreadK) };
      return curve === undefined ? part : { ...part, curve };
    }),
    trayG: options.trayG ?? TRAY_G,
    feedMs: options.feedMs ?? USUAL_FEED_MS,
  };
}

/** No supply unit, while USB feeds the board; or a second switch that no pin opens any more, or none closes. */
export type WrongSupply = 'missing' | `second-switch-of-${Fed}-${'welded' | 'open'}`;

const SUPPLY_FAULTS = {
  mat: {
    stuckOn: 'mat-stuck-on',
    welded: 'second-switch-of-mat-welded',
    open: 'second-switch-of-mat-open',
  },
  pump: {
    stuckOn: 'pump-stuck-on',
    welded: 'second-switch-of-pump-welded',
    open: 'second-switch-of-pump-open',
  },
} as const satisfies Readonly<
  Record<Fed, { stuckOn: FaultName; welded: WrongSupply; open: WrongSupply }>
>;

export class Rig implements Handled {
  readonly plant: Plant;
  readonly faults = new Faults();
  readonly hand: Hand;
  readonly startUnixMs: number;
  touchedUntilMs = 0;
  /**
   * Outputs whose first switch passes whatever its gate says: they are on while the second switch in their supply is
   * closed, as with the fault `mat-switch-welded`. The faults `mat-stuck-on` and `pump-stuck-on` weld both.
   */
  readonly welded = new Set<Fed>();
  /** What is wrong with the supplies of both. */
  readonly wrongSupply = new Set<WrongSupply>();
  /** What a stuck probe repeats. */
  private readonly stuckCodes: Partial<Record<ProbeName, number>> = {};
  private readonly errands = new Map<ErrandName, Errand>();
  private nextErrandMs = Number.POSITIVE_INFINITY;
  private converterReadyMs = CONVERTER_START_MS;
  private lastConversion = -1;

  constructor(options: RigOptions) {
    this.plant = new Plant(drawParts(options));
    this.startUnixMs = options.startUnixMs ?? DEFAULT_START_UNIX_MS;
    this.hand = new Hand(this, cropParameters(options.crop ?? 'pepper'));
  }

  /** Time of day, Unix ms, by the room's own clock. */
  get unixMs(): number {
    return this.startUnixMs + this.plant.nowMs;
  }

  /**
   * Advances by `stepMs` (1..10000); mat and pump were switched on for the first so many ms, and their second switches
   * were closed for `closedMs`. A fault lasts to the end of the step in which it ends: see `stepEndMs`.
   */
  step(
    stepMs: number,
    matMs: number,
    pumpMs: number,
    closedMs: Readonly<Record<Fed, number>> = { mat: matMs, pump: pumpMs },
  ): void {
    const { plant, faults, welded } = this;
    if (faults.none && welded.size === 0 && this.wrongSupply.size === 0) {
      const heatMs = Math.min(matMs, stepMs);
      plant.step(stepMs, heatMs, Math.min(pumpMs, stepMs), faults.wrong);
      if (plant.nowMs >= this.nextErrandMs) this.runErrands();
      return;
    }
    const stuck = faults.has('pump-stuck-on') && !faults.has('mains-cut');
    const throughMs = (output: Fed, isWelded: boolean, askedMs: number): number => {
      if (!isWelded) return this.supplies(output, true) ? Math.min(askedMs, stepMs) : 0;
      if (this.supplies(output, false)) return stepMs;
      return this.supplies(output, true) ? Math.min(closedMs[output], stepMs) : 0;
    };
    const heatMs = throughMs('mat', this.isMatWelded, matMs);
    const flowMs = throughMs('pump', welded.has('pump'), pumpMs);
    plant.step(stepMs, heatMs, stuck ? stepMs : flowMs, faults.wrong);
    if (faults.expire(plant.nowMs)) plant.touched();
    if (plant.nowMs >= this.nextErrandMs) this.runErrands();
  }

  /** Its own switch alone: see `welded`. */
  private get isMatWelded(): boolean {
    return this.welded.has('mat') || this.faults.has('mat-switch-welded');
  }

  /** Whether there is a supply for an output behind its second switch, which is told to be closed or open. */
  supplies(output: Fed, closed: boolean): boolean {
    const { wrongSupply, faults } = this;
    if (faults.none && wrongSupply.size === 0) return closed;
    const { stuckOn, welded, open } = SUPPLY_FAULTS[output];
    const isWelded = faults.has(stuckOn) || wrongSupply.has(welded);
    const isOpen = wrongSupply.has('missing') || wrongSupply.has(open);
    return (closed || isWelded) && !isOpen;
  }

  /** What the sense line hangs on, with the second switches and the mat's own told to be so. */
  loadNodes(closed: Readonly<Record<Fed, boolean>>, matOn: boolean): LoadNodes {
    const { faults } = this;
    const ofMat = loadNodes(this.supplies('mat', closed.mat) ? LOADS_V : 0, {
      fuse: faults.has('mat-fuse-blown') ? 'blown' : 'whole',
      lead: faults.has('mat-lead-open') ? 'open' : 'whole',
      switchClosed: matOn || this.isMatWelded || faults.has('mat-stuck-on'),
    });
    return { ...ofMat, pumpFeedV: this.supplies('pump', closed.pump) ? LOADS_V : 0 };
  }

  /** Has `act` done `inMs` from now, at the end of the step in which that falls; a later word counts. */
  later(name: ErrandName, inMs: number, act: () => void): void {
    this.errands.set(name, { atMs: this.plant.nowMs + inMs, act });
    this.findNextErrand();
  }

  private runErrands(): void {
    for (const [name, { atMs, act }] of [...this.errands]) {
      if (atMs > this.plant.nowMs) continue;
      this.errands.delete(name);
      act();
    }
    this.findNextErrand();
    this.plant.touched();
  }

  private findNextErrand(): void {
    const times = [...this.errands.values()].map(({ atMs }) => atMs);
    this.nextErrandMs = Math.min(Number.POSITIVE_INFINITY, ...times);
  }

  /** Where a step towards `endMs` should end, ms: there, or before when something ends on the way. */
  stepEndMs(endMs: number): number {
    const { nowMs } = this.plant;
    const nextMs = Math.min(this.faults.nextEndMs, this.nextErrandMs);
    return Math.min(endMs, Math.max(nowMs + 1, Math.ceil(nextMs)));
  }

  /** Calls a fault up or off. `forMs`: it ends by itself after so long; otherwise only by hand. */
  fault(name: FaultName, on: boolean, forMs = Number.POSITIVE_INFINITY): void {
    const stuck = PROBE_NAMES.find((probe) => PROBE_FAULTS[probe]?.stuck === name);
    if (stuck !== undefined && on && !this.faults.has(name)) {
      this.stuckCodes[stuck] = this.probeCode(stuck);
    }
    this.faults.set(name, on, this.plant.nowMs, forMs);
    this.plant.touched();
  }

  /** The converter starts afresh with its supply. */
  powered(): void {
    this.converterReadyMs = this.plant.nowMs + CONVERTER_START_MS;
  }

  /** Mean ADC code of a probe, 0..4095. */
  probeCode(name: ProbeName): number {
    const { plant, faults } = this;
    const { random } = plant;
    if (faults.none) return plant.probes[name].code(random);
    const { open, short, stuck } = PROBE_FAULTS[name] ?? {};
    if (open && faults.has(open)) return measuredCode(OPEN_CODE, random);
    if (short && faults.has(short)) return measuredCode(SHORT_CODE, random);
    if (stuck && faults.has(stuck)) return this.stuckCodes[name] ?? Number.NaN;
    return plant.probes[name].code(random);
  }

  /** Newest bridge code not read before, or NaN when there is none. */
  scaleCode(): number {
    const { plant, faults } = this;
    const conversion = Math.floor(plant.nowMs / CONVERSION_MS);
    const ready = plant.nowMs >= this.converterReadyMs && conversion !== this.lastConversion;
    if (!ready || faults.has('scale-unplugged')) return Number.NaN;
    this.lastConversion = conversion;
    if (faults.has('scale-saturated')) return SCALE_CODE_MAX;
    const touchG = plant.nowMs < this.touchedUntilMs ? TOUCH_G * plant.random.normal() : 0;
    const loadG = plant.onScaleG(faults.wrong.trayLifted) + touchG;
    return plant.cell.code(loadG, faults.has('scale-noisy') ? NOISY_FACTOR : 1, plant.random);
  }
}
