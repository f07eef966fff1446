/** Probes that lie, and a root zone or a mat that is too hot. */
import { OUTPUT } from '../../shared/board/words';
import type { Readings } from '../sensing/readings';
import { condition, type Finding, happened, NOTHING } from './finding';
import { GUARD_LIMITS as LIMITS } from './limits';

/**
 * Watches both probes. Heat is told by the temperature alone, and not by whether the limiter has
 * opened: that opens for a single bad reading of a broken wire too. Nothing is missed. Where it opens
 * for heat, at 40 C and 55 C by the plain curve, the guard's own figure is 38 C and 53 C at the least -
 * a calibration takes off 2 K at most, and the smoothing lags by ten seconds' rise, 0.01 K in wet wool -
 * which reaches the guard's 38 C and passes its 50 C.
 */
export class ProbeWatch {
  #rootHot = false;
  #matHot = false;
  /** Since when the root zone has been above the crop's limit with heat from the mat, ms; NaN while it is not. */
  #hotByMatMs = Number.NaN;
  /** The last tick had something to say. */
  #told = true;
  /** Uptime of a jump that hands may still explain, ms; NaN when there is none. */
  #jumpedMs = Number.NaN;

  /**
   * Each tick: heat is what can hurt fastest. A probe that stands still or jumps says something only of
   * a tray that is `sown`. `rootZoneMaxC` is the profile's, or null. A jump is a hand's where hands are
   * `handsNear`: an aired, lifted or transplanted tray moves its probe; and hands may show a little
   * later than the probe does. Until that is known the probe is in doubt, and the mat off.
   */
  tick(
    readings: Readings,
    sown: boolean,
    rootZoneMaxC: number | null,
    handsNear: boolean,
  ): readonly Finding[] {
    const { rootZone, mat } = readings;
    const { state, code, celsius, window } = rootZone;
    // The limiter reads the same probe: where it stands still, only the root zone tells of a hot mat.
    const matFrozen = mat.state === 'frozen' && sown;
    const matFailed = mat.state === 'open' || mat.state === 'short' || matFrozen;
    const limitC = Math.min(rootZoneMaxC ?? LIMITS.rootZoneHotC, LIMITS.rootZoneHotC);
    const rootZoneHot = this.#judgeRootHeat(readings, limitC);
    this.#matHot = mat.celsius > LIMITS.matHotC - (this.#matHot ? LIMITS.hotHysteresisK : 0);
    const troubled = state !== 'ok' || mat.state !== 'ok' || this.#rootHot || this.#matHot;
    // The tick of a tray in order makes no garbage: it has nothing to say, once it has said so.
    if (!troubled && !this.#told) return NOTHING;
    this.#told = troubled;
    const findings = [
      condition('probe-open', state === 'open', code, window.openCode),
      condition('probe-short', state === 'short', code, window.shortCode),
      condition('probe-frozen', state === 'frozen' && sown, celsius, 0),
      condition('mat-probe-failed', matFailed, mat.code, mat.window.openCode),
      rootZoneHot,
      condition('mat-hot', this.#matHot, mat.celsius, LIMITS.matHotC),
    ];
    if (this.#isJumpUnexplained(readings, sown, handsNear)) {
      findings.push(happened('probe-jumped', celsius, 0));
    }
    return findings;
  }

  /**
   * Heat that the mat may be giving, above the crop's limit. It latches, for the mat may give it again. A warm
   * room or the sun, with the mat off and like the root zone, is the plants' matter (`too-warm`): no mat can mend
   * it. What no root zone bears is said here at once, whoever gives it. Not of a probe that is away with its tray,
   * in a hand or in the air; and a cool soaked tray on a warm mat is like it within minutes.
   */
  #judgeRootHeat({ rootZone, mat, outputs, uptimeMs, away }: Readings, limitC: number): Finding {
    const { celsius } = rootZone;
    const warmerK = mat.celsius - celsius;
    // A mat probe that cannot tell, or does not lie on the mat, does not speak for the mat.
    const matLikeRoot = warmerK < LIMITS.stuckWarmK && warmerK > -LIMITS.matApartK;
    const byMat = !matLikeRoot || (outputs & OUTPUT.matOn) !== 0;
    const over = celsius > limitC && !away;
    if (!over || !byMat) this.#hotByMatMs = Number.NaN;
    else if (Number.isNaN(this.#hotByMatMs)) this.#hotByMatMs = uptimeMs;
    this.#rootHot = this.#rootHot
      ? celsius > limitC - LIMITS.hotHysteresisK
      : over && (celsius > LIMITS.rootZoneHotC || uptimeMs - this.#hotByMatMs >= LIMITS.hotByMatMs);
    return condition('root-zone-hot', this.#rootHot, celsius, limitC);
  }

  /** Nobody was there: the probe has fallen out, or its wire is about to break. */
  #isJumpUnexplained({ rootZone, uptimeMs }: Readings, sown: boolean, handsNear: boolean): boolean {
    if (rootZone.state !== 'jumped' || !sown || handsNear) {
      this.#jumpedMs = Number.NaN;
      return false;
    }
    if (Number.isNaN(this.#jumpedMs)) this.#jumpedMs = uptimeMs;
    return uptimeMs - this.#jumpedMs >= LIMITS.handsBeforeMs;
  }
}
