/** The guard part of a tick: every watch is shown the readings, and what it finds is told to the alarm bank. */
import { condition, type Finding } from '../guard/finding';
import { InflowWatch } from '../guard/inflow-watch';
import { MatWatch } from '../guard/mat-watch';
import { ProbeWatch } from '../guard/probe-watch';
import { type WaterFacts, WaterWatch } from '../guard/water-watch';
import { WeightWatch } from '../guard/weight-watch';
import type { Tray } from '../tray/tray';
import type { Heating } from './heating';
import type { Senses } from './senses';
import type { Watering } from './watering';
import type { Weights } from './weights';

const MINUTE_MS = 60_000;

/** What the guard looks at. */
export interface Guarded {
  readonly tray: Tray;
  readonly senses: Senses;
  readonly weights: Weights;
  readonly watering: Watering;
  readonly heating: Heating;
}

/** All watches of one tray. */
export class Guard {
  readonly #probes = new ProbeWatch();
  readonly #mat = new MatWatch();
  readonly #weight = new WeightWatch();
  readonly #inflow = new InflowWatch();
  readonly #water = new WaterWatch();
  #minuteMs = 0;

  constructor(readonly guarded: Guarded) {}

  /** Probes, scale and inflow each tick, what is slower once a minute. */
  tick(): void {
    const { tray, senses, watering, heating } = this.guarded;
    const { uptimeMs, alarms, profile } = tray;
    const { phase } = watering.dose;
    const pumping = phase === 'dosing' || phase === 'service';
    this.#tell(this.#probes.tick(senses, tray.stage !== null, profile?.rootZoneMaxC ?? null));
    this.#tell(this.#weight.tick(senses));
    this.#tellOfWeight(this.#inflow.tick(senses, pumping, tray.pump?.mlPerS ?? Number.NaN));
    alarms.expireShelving(uptimeMs);
    const sinceMs = uptimeMs - this.#minuteMs;
    if (sinceMs < MINUTE_MS) return;
    this.#minuteMs = uptimeMs;
    heating.minute();
    this.#tell(this.#mat.minute(senses, heating));
    this.#weighMinute();
    this.#tell(this.#water.minute(senses, this.#waterFacts(), sinceMs));
    this.#tell([condition('storage-failing', tray.storageFailed, 0, 0)]);
  }

  /** A hand was at the tray and says so: what moved until now was the hand. */
  handsWereHere(): void {
    const { senses } = this.guarded;
    senses.rootZone.restartJudging();
    senses.mat.restartJudging();
    this.weightRestarts();
  }

  /** The weight starts a new life: nothing is judged by what it was. */
  weightRestarts(): void {
    this.#weight.forget();
    this.guarded.weights.drying.interrupt();
  }

  #weighMinute(): void {
    const { senses, weights, watering } = this.guarded;
    const { trayG, drying } = weights;
    const undisturbed =
      senses.scale.state === 'ok' &&
      watering.dose.phase === 'idle' &&
      !weights.handled &&
      !Number.isNaN(trayG);
    if (!undisturbed) {
      this.weightRestarts();
      return;
    }
    drying.push(trayG);
    this.#tellOfWeight(this.#weight.minute(trayG, drying.fellG, weights.drained));
  }

  #tellOfWeight(findings: readonly Finding[]): void {
    if (findings.length === 0) return;
    this.#tell(findings);
    this.guarded.weights.drying.interrupt();
  }

  #tell(findings: readonly Finding[]): void {
    this.guarded.tray.alarms.apply(findings, this.guarded.tray.uptimeMs);
  }

  #waterFacts(): WaterFacts {
    const { tray, watering, weights, senses } = this.guarded;
    return {
      profile: tray.profile,
      profileId: tray.run.program.profileId,
      stage: tray.stage,
      sown: tray.sown,
      given: watering.account,
      usedMl: watering.account.usedMl,
      cycling: watering.cycling,
      dosing: watering.dose.phase !== 'idle',
      capacityKnown: !Number.isNaN(weights.known.capacityG),
      calibrations: {
        nowUnixMs: tray.clock.unixMs(tray.uptimeMs),
        pumpUnixMs: tray.pump?.unixMs ?? null,
        scaleUnixMs: senses.scale.calibration?.unixMs ?? null,
        pumpRunMs: watering.account.pumpRunMs,
      },
    };
  }
}
