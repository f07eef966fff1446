/** First part of a tick: reads every sensor once and works out what the weight means. */
import { type OfProbes, ofProbes, PROBE_NAMES, PROBES } from '../../shared/board/probes';
import { MAT_LOOKED } from '../../shared/board/words';
import type { CurveInForce } from '../../shared/link/methods';
import { temperatureFromCode } from '../../shared/physics/ntc';
import { coefficientsOf, windowOf } from '../../shared/physics/probe-curve';
import type { Board } from '../board';
import type { MatLook } from '../sensing/mat-line';
import { ProbeSense } from '../sensing/probe';
import type { Readings } from '../sensing/readings';
import { ScaleSense } from '../sensing/scale';
import type { Tray } from '../tray/tray';
import type { Weights } from './weights';

/** A probe that is read by `curve`. One whose curve is lost has no temperature: a wrong one would be worse. */
function senseBy(curve: CurveInForce): ProbeSense {
  if (curve === 'reference') return new ProbeSense(temperatureFromCode);
  if (curve === 'lost') return new ProbeSense(() => Number.NaN);
  const coefficients = coefficientsOf(curve);
  return new ProbeSense((code) => temperatureFromCode(code, coefficients), windowOf(coefficients));
}

function takeMatLook(board: Board): MatLook | null {
  const looked = board.takeMatLook();
  if (looked === MAT_LOOKED.not) return null;
  return {
    openCode: board.matLookCode(false),
    closedCode: board.matLookCode(true),
    isAsLetGo: looked === MAT_LOOKED.asLetGo,
  };
}

/** The senses of one tray. To control and guard they are `Readings`. */
export class Senses implements Readings {
  readonly probes: OfProbes<ProbeSense>;
  readonly rootZone: ProbeSense;
  readonly mat: ProbeSense;
  readonly scale = new ScaleSense();
  /** The probes in a list, for each is read at every tick. */
  readonly #inputs: readonly { readonly sense: ProbeSense; readonly channel: number }[];
  #matLook: MatLook | null = null;
  #outputs = 0;

  constructor(
    readonly tray: Tray,
    readonly weights: Weights,
  ) {
    this.probes = ofProbes((name) => senseBy(tray.curves[name]));
    this.#inputs = PROBE_NAMES.map((name) => ({
      sense: this.probes[name],
      channel: PROBES[name].channel,
    }));
    this.rootZone = this.probes.rootZone;
    this.mat = this.probes.mat;
    this.applyCalibrations();
  }

  get matLook(): MatLook | null {
    return this.#matLook;
  }
  /** Bits of `OUTPUT` at the start of the tick. */
  get outputs(): number {
    return this.#outputs;
  }
  get uptimeMs(): number {
    return this.tray.uptimeMs;
  }
  get handled(): boolean {
    return this.weights.handled;
  }
  get away(): boolean {
    return this.weights.away;
  }
  get trayG(): number {
    return this.weights.trayG;
  }
  get dryBackShare(): number {
    return this.weights.dryBackShare;
  }

  /** One reading of everything, `dtMs` after the last. See `Weights.take` for `expectedRiseG`. */
  take(expectedRiseG: number, dtMs: number): void {
    const { tray, rootZone, scale } = this;
    const { board, uptimeMs } = tray;
    for (const { sense, channel } of this.#inputs) {
      sense.take(board.readProbe(channel), uptimeMs, dtMs);
    }
    scale.take(board.readScale(), uptimeMs, dtMs, rootZone.celsius);
    tray.noteRootZone(rootZone.celsius);
    this.#matLook = takeMatLook(board);
    this.#outputs = board.outputs();
    this.weights.take(scale, expectedRiseG, rootZone.celsius - this.mat.celsius, dtMs);
  }

  /** Puts the calibrations in force into the senses. */
  applyCalibrations(): void {
    const { calibrations } = this.tray;
    for (const name of PROBE_NAMES) {
      this.probes[name].calibrate(calibrations.probe(name)?.offsetK ?? 0);
    }
    this.scale.calibrate(calibrations.scale[0] ?? null);
  }
}
