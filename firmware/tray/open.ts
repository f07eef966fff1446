/** A start: the tray as the flash has it, the restart counted, a dose that was cut off ended. */
import { PROBE_NAMES, PROBES } from '../../shared/board/probes';
import { FAULT, REQUEST_DETAIL, RESET_CAUSES } from '../../shared/board/words';
import { gFromMl } from '../../shared/physics/water';
import { decodeProfile } from '../../shared/profile/image';
import type { Board } from '../board';
import { toldAfterG } from '../control/ledger-rows';
import { needOfCut } from '../control/need';
import { nextProof } from '../control/proof';
import { GUARD_LIMITS } from '../guard/limits';
import { type Journal, openJournal } from '../storage/journal';
import { openSettings } from '../storage/settings';
import { FIRMWARE_VERSION_CODE } from '../version';
import { CalibrationStore } from './calibrations';
import { CHECKPOINT_MIN_BYTES, unpackCheckpoint } from './checkpoint';
import { openCurves } from './probe-curves';
import { emptyRunState, type KnownWeights, type RunState, type Service } from './run-state';
import { SETTING } from './setting-keys';
import { Tray } from './tray';

/** First entry of `RESET_CAUSES` that is a fault of the board, not a hand on its supply. */
const FIRST_FAULT = RESET_CAUSES.indexOf('watchdog');

export interface OpenedTray {
  readonly tray: Tray;
  /** The run state, writable: for the owners of its parts. */
  readonly state: RunState;
}

/** Opens the tray from the flash of `board`, and writes the start down. */
export function openTray(board: Board): OpenedTray {
  const settings = openSettings(board);
  const calibrations = new CalibrationStore(settings);
  const journal = openJournal(board);
  const { lastBoot } = calibrations;
  const hasRunBefore = isRunTold(lastBoot, journal);
  const state = emptyRunState();
  const packed = settings.get(SETTING.run);
  const resumed = packed !== null && unpackCheckpoint(packed, state);
  // Without settings the journal still counts the starts: no number is given twice.
  const boot = calibrations.nextBoot(lastBoot === 0 ? (journal.newest()?.boot ?? 0) : lastBoot);
  const { service } = state;
  const curves = openCurves(board, calibrations, (name) => service[PROBES[name].curve]);
  for (const name of PROBE_NAMES) {
    // The power may have gone between the curve and the checkpoint that knows of it.
    const { curve } = PROBES[name];
    service[curve] = Math.max(service[curve], calibrations.curveNumber(name));
  }
  const tray = new Tray(board, settings, calibrations, journal, boot, state, curves);
  if (resumed) tray.recallAlarms();
  openProfile(tray);
  // The first layout reckoned from a reservoir that was full when it was last marked.
  if (resumed && packed.length === CHECKPOINT_MIN_BYTES && tray.profile !== null) {
    state.reservoir.filledMl = tray.profile.reservoirMl;
  }
  const cause = RESET_CAUSES.indexOf(board.resetCause());
  const faultRestarts = countRestart(service, cause);
  tray.write({
    kind: 'boot',
    cause,
    detail: board.resetDetail(),
    firmware: FIRMWARE_VERSION_CODE,
    profileId: state.program.profileId,
    faultRestarts,
  });
  if (!resumed && (packed !== null || hasRunBefore)) {
    tray.write({ kind: 'fault', code: FAULT.runStateLost, detail: 0 });
    tray.alarms.strike('settings-lost', tray.uptimeMs, Number.NaN, Number.NaN);
  }
  noteUnweighed(board, state.weights);
  tellLostCurves(tray);
  endPendingDose(tray, state);
  const limit = GUARD_LIMITS.restartsPerHour;
  if (cause >= FIRST_FAULT && faultRestarts >= limit) {
    tray.alarms.strike('restarting-often', tray.uptimeMs, faultRestarts, limit);
  }
  tray.checkpoint();
  return { tray, state };
}

/**
 * Whether a start before this one has left a run state, by the journal: each start counts itself first, and one that
 * misses no run state writes nothing but its `boot` until its first checkpoint. When it does so is no proof: the clock
 * has gone on through erases and the pause after faults.
 */
function isRunTold(lastBoot: number, journal: Journal): boolean {
  return journal.newest(lastBoot === 0 ? undefined : 'boot') !== null;
}

/** The stored profile, if the image is whole, in its limits, and the one the run state speaks of. */
function openProfile(tray: Tray): void {
  const { slot, profileId } = tray.run.program;
  if (profileId === 0) return;
  const image = tray.slots.load(slot);
  const decoded = image === null ? null : decodeProfile(image);
  if (decoded?.ok === true && decoded.id === profileId) {
    tray.useProfile(decoded.profile, profileId, slot);
  }
}

/** Remembers a restart by fault. Returns how many there were in the last hour of run time. */
function countRestart({ faultRestarts, totalRunMs }: Service, cause: number): number {
  if (cause >= FIRST_FAULT) {
    faultRestarts.copyWithin(1, 0);
    faultRestarts[0] = totalRunMs;
  }
  let recent = 0;
  for (const runMs of faultRestarts) {
    if (totalRunMs - runMs <= GUARD_LIMITS.restartWindowMs) recent++;
  }
  return recent;
}

/**
 * Where the board had no power, or waited in the boot drive for its image, the tray may have stood for hours, nobody knows how
 * many; nor how many starts of a board that hangs there were before one that weighed it. What it weighed as its last step was
 * over tells nothing then, but of water that has had to run off. What it weighs next is the work of no hand that came since,
 * whether or not another start comes before that.
 */
function noteUnweighed(board: Board, weights: KnownWeights): void {
  const cause = board.resetCause();
  const leftBootDrive = cause === 'request' && board.resetDetail() === REQUEST_DETAIL.bootDrive;
  const isUnknown = cause === 'power-on' || leftBootDrive || weights.unweighedStarts > 0;
  if (isUnknown) weights.stepAfterG = toldAfterG(weights);
  if (isUnknown && !weights.handled) weights.unweighedStarts = Number.POSITIVE_INFINITY;
  else weights.unweighedStarts = Math.max(1, weights.unweighedStarts);
}

/** A probe whose curve is lost has no temperature: the alarm stands until it is told again, which is a start. */
function tellLostCurves(tray: Tray): void {
  const lost = PROBE_NAMES.filter((name) => tray.curves[name] === 'lost');
  for (const name of lost) {
    tray.write({ kind: 'fault', code: FAULT.curveLost, detail: PROBES[name].channel });
  }
  if (lost.length > 0) {
    tray.alarms.set('settings-lost', true, tray.uptimeMs, Number.NaN, Number.NaN);
  }
}

/**
 * A dose was running when the power went: all of it counts, and it can no longer be proved. One that the stage was to
 * open with is still to come, for nobody knows what the plants had of it.
 */
function endPendingDose(tray: Tray, state: RunState): void {
  const { dosing, proofs, weights } = state;
  const { pendingMl } = dosing;
  if (pendingMl === 0) return;
  const reason = needOfCut(tray.stage, dosing.opened);
  const dose = {
    reason,
    verdict: 'cut',
    plannedMl: pendingMl,
    ranMs: 0,
    beforeG: weights.settledG,
    gainedG: Number.NaN,
    drained: false,
    came: false,
  } as const;
  tray.write({ kind: 'dose', stage: tray.run.progress.stage, ...dose });
  dosing.pendingMl = 0;
  const proof = nextProof(proofs, dose, false);
  ({ unproved: proofs.unproved, ranOff: proofs.ranOff } = proof);
  if (proof.alarm !== null) {
    tray.alarms.strike(proof.alarm, tray.uptimeMs, Number.NaN, gFromMl(pendingMl));
  }
}
