/** Weight that tells the truth. */
import type { PlantedBug } from './bug';

const ORDINARY = 'tests/simulation/ordinary-days.test.ts';
const PUT_RIGHT = 'tests/simulation/put-right.test.ts';
const UNWEIGHED = 'tests/simulation/dried-unweighed.test.ts';
const DOSES = 'tests/simulation/guard-rows-doses.test.ts';
const WEIGHTS = 'tests/simulation/known-weights.test.ts';
const PLANTS = 'tests/simulation/plants-on-the-scale.test.ts';
const PUMP = 'tests/simulation/pump-by-its-doses.test.ts';
const OVER_RESTARTS = 'tests/simulation/alarms-over-restarts.test.ts';
const WEIGHED_BY_DRAINING = 'and weighed when the tray is watered by hand until it drains';
const NO_SUCH_WEIGHT =
  'is refused: a dry tray lighter than its wool or full of water, a soaked one over cell or wool';

export const WEIGHT: readonly PlantedBug[] = [
  {
    sentence: 'What a tray weighs more when it is marked soaked again is plants, and no water.',
    file: 'firmware/control/growth.ts',
    find: 'dryG: growth === null || !dryWeighed ? dryG : dryG + gainG,',
    replace: 'dryG,',
    foundBy: { file: WEIGHTS, test: 'weighs more by its plants, and not by more water' },
  },
  {
    sentence: 'A tray from which a cloth has drawn did not drain down to where that leaves it.',
    file: 'firmware/control/drainage.ts',
    find: 'if (hasStopped(minutesG)) return drawn;',
    replace: '',
    foundBy: {
      file: 'tests/unit/drainage.test.ts',
      test: 'tells nothing: that goes evenly, and stops at once',
    },
  },
  {
    sentence: 'A tray that was watered until it drains tells the same without a mark.',
    file: 'firmware/control/drainage.ts',
    find: 'return drainedG >= LIMITS.leastG ?',
    replace: 'return drainedG < LIMITS.leastG ?',
    foundBy: { file: PLANTS, test: WEIGHED_BY_DRAINING },
  },
  {
    sentence: 'A tray that was not filled tells nothing of its plants.',
    file: 'firmware/control/growth.ts',
    find: 'if (!(gainG >= -LIMITS.lessShare * waterG)',
    replace: 'if (!(gainG >= -waterG)',
    foundBy: { file: WEIGHTS, test: 'and was not filled tells nothing of its plants' },
  },
  {
    sentence: 'Between two such weights the plants grow on at their pace.',
    file: 'firmware/control/growth.ts',
    find: 'const g = Math.min(gPerMs * sinceMs, mostG);',
    replace: 'const g = 0;',
    foundBy: { file: WEIGHTS, test: 'has its plants grow on at the pace that was weighed' },
  },
  {
    sentence: 'What they have gained is told with how sure that is.',
    file: 'firmware/control/growth.ts',
    find: 'return { g, offG: g * LIMITS.usualOffShare };',
    replace: 'return { g, offG: 0 };',
    foundBy: { file: PLANTS, test: WEIGHED_BY_DRAINING },
  },
  {
    sentence: 'Doses and rescue go by the weight without the plants.',
    file: 'firmware/tick/weights.ts',
    find: 'this.#trayG = readG - this.grown.g;',
    replace: 'this.#trayG = readG;',
    foundBy: {
      file: 'tests/cli/status.test.ts',
      test: 'is told as the wool has it, and beside it',
    },
  },
  {
    sentence: 'The status shows both.',
    file: 'cli/words/status.ts',
    find: 'const grown = water.grownG >= GROWN_SHOWN_G ? [plantsText(water, show)] : [];',
    replace: 'const grown: string[] = [];',
    foundBy: {
      file: 'tests/cli/status.test.ts',
      test: 'is told as the wool has it, and beside it',
    },
  },
  {
    sentence: 'A lid left off in germination is told within half an hour.',
    file: 'firmware/guard/limits.ts',
    find: 'spanMs: 25 * MINUTE_MS,',
    replace: 'spanMs: 45 * MINUTE_MS,',
    foundBy: { file: ORDINARY, test: 'shows within half an hour in a room of %i C' },
  },
  {
    sentence: 'It is told as so many times the drying that is usual with the lid as it should be.',
    file: 'cli/words/alarm-now.ts',
    find: 'const times = Number((value / usual).toPrecision(2));',
    replace: 'const times = Number(value.toPrecision(2));',
    foundBy: {
      file: 'tests/cli/status.test.ts',
      test: 'is told as so many times the usual drying with the lid closed, and since when',
    },
  },
  {
    sentence: 'It is told since when.',
    file: 'cli/words/alarm-now.ts',
    find: 'const since = timeAgo(ageS + DRYING_LIMITS.spanMs / 1000, nowMs);',
    replace: 'const since = timeAgo(0, nowMs);',
    foundBy: {
      file: 'tests/cli/status.test.ts',
      test: 'is told as so many times the usual drying with the lid closed, and since when',
    },
  },
  {
    sentence: 'A tray that no longer dries is told.',
    file: 'firmware/guard/drying-watch.ts',
    find: 'const stopped = this.#minutes >= LIMITS.stoppedMin;',
    replace: 'const stopped = this.#minutes >= 9 * LIMITS.stoppedMin;',
    foundBy: { file: DOSES, test: 'is told within a day' },
  },
  {
    sentence: 'A leak that no lid explains is told, though it is slower than 40 g in ten minutes.',
    file: 'firmware/guard/drying-watch.ts',
    find: ': this.#gPerH > limitGPerH && this.#isSteady(limitGPerH * LIMITS.steadyShare);',
    replace: ': this.#gPerH > 240;',
    foundBy: {
      file: UNWEIGHED,
      test: 'is told within the hour where the lid should be %s: %i g/h',
    },
  },
  {
    sentence: 'Each proved dose calibrates the pump.',
    file: 'firmware/tick/dose-proofs.ts',
    find: 'proofs.pumpShare = trim.share;',
    replace: '',
    foundBy: { file: DOSES, test: 'a tube that gives 80 % is told while its doses are still seen' },
  },
  {
    sentence: 'No single dose moves that by more than a twentieth.',
    file: 'firmware/limits.ts',
    find: 'stepMax: 0.05,',
    replace: 'stepMax: 0.5,',
    foundBy: { file: PUMP, test: 'is moved by no single dose by more than a twentieth' },
  },
  {
    sentence: 'A dose of which some ran off a full tray tells nothing of it.',
    file: 'firmware/control/proof.ts',
    find: 'drained: ranOffG > leastG && grams >= fullG',
    replace: 'drained: false',
    foundBy: { file: PUMP, test: 'is not learnt from a dose of which some ran off a full tray' },
  },
  {
    sentence: 'Doses that came before hands were on the tray stop no water, however many in a row.',
    file: 'firmware/control/proof.ts',
    find: 'if (dose.came) return',
    replace: 'if (false) return',
    foundBy: {
      file: DOSES,
      test: 'two that came before hands were on the tray stop no water: the next is given and weighed',
    },
  },
  {
    sentence: 'Hands that come before the water has, twice in a row, call a person.',
    file: 'firmware/control/proof.ts',
    find: 'return shownMs >= LIMITS.shownMs;',
    replace: 'return true;',
    foundBy: {
      file: DOSES,
      test: 'two that did not come before hands were on the tray call a person',
    },
  },
  {
    sentence:
      'After a dose that a hand spoiled the next waits until the hand is done, whether it had come or not.',
    file: 'firmware/tick/watering.ts',
    find: 'this.#spoiled || this.proofs.unproved > 0',
    replace: 'this.proofs.unproved > 0',
    foundBy: {
      file: DOSES,
      test: 'one that had come before the visit is followed by none until the hand is done either',
    },
  },
  {
    sentence: "It is kept apart from the grower's calibration, which begins it anew.",
    file: 'firmware/tick/dose-proofs.ts',
    find: 'this.#proofs.pumpShare = 1;',
    replace: '',
    foundBy: {
      file: DOSES,
      test: 'a tube that gives 80 % is told while its doses are still seen',
    },
  },
  {
    sentence: 'A worn tube shows as a trend.',
    file: 'firmware/control/pump-trim.ts',
    find: 'Math.abs(share - 1) >= LIMITS.offShare - backShare || ',
    replace: '',
    foundBy: { file: DOSES, test: 'a tube that gives 80 % is told while its doses are still seen' },
  },
  {
    sentence: 'Air in the tube shows as scatter.',
    file: 'firmware/control/pump-trim.ts',
    find: ' || scatter >= LIMITS.scatterShare - backShare',
    replace: '',
    foundBy: { file: PUMP, test: 'scatters where air is in the tube' },
  },
  {
    sentence: 'The pump is asked to be calibrated by no calendar.',
    file: 'firmware/guard/water-watch.ts',
    find: 'function isOld({ nowUnixMs, scaleUnixMs }: CalibrationAges): boolean {\n  return (\n',
    replace:
      'function isOld({ nowUnixMs, scaleUnixMs, pumpUnixMs }: CalibrationAges): boolean {\n  if (nowUnixMs - (pumpUnixMs ?? nowUnixMs) > 30 * 86_400_000) return true;\n  return (\n',
    foundBy: { file: PUMP, test: 'is asked to be calibrated by no calendar' },
  },
  {
    sentence: "A dry weight below the wool's own is refused.",
    file: 'firmware/control/mark-weights.ts',
    find: 'if (dryG < woolG * LIMITS.woolShare)',
    replace: 'if (dryG < 0)',
    foundBy: { file: ORDINARY, test: NO_SUCH_WEIGHT },
  },
  {
    sentence: 'A dry weight that is full of water is refused.',
    file: 'firmware/control/mark-weights.ts',
    find: 'if (dryG > mostG) return',
    replace: 'if (dryG < 0) return',
    foundBy: { file: ORDINARY, test: NO_SUCH_WEIGHT },
  },
  {
    sentence: 'A sown tray that holds water by the weights known so far is refused as dry.',
    file: 'firmware/control/mark-weights.ts',
    find: 'if (waterG > LIMITS.moistShare',
    replace: 'if (waterG > 1e6 * LIMITS.moistShare',
    foundBy: { file: WEIGHTS, test: 'under a sown crop is not dry by what is known of it' },
  },
  {
    sentence: 'Moist wool that passed for dry shows as the tray is soaked.',
    file: 'firmware/control/mark-weights.ts',
    find: 'if (capacityG - dryG >= fullG * LIMITS.waterLeastShare)',
    replace: 'if (capacityG > dryG)',
    foundBy: { file: WEIGHTS, test: 'shows as the tray is soaked: it is refused' },
  },
  {
    sentence: 'A soaked tray from which a cloth drew until minutes before is refused.',
    file: 'firmware/limits.ts',
    find: 'movesMs: 20 * MINUTE_MS,',
    replace: 'movesMs: 10 * MINUTE_MS,',
    foundBy: {
      file: WEIGHTS,
      test: 'keeps its weights and is as dry as it is',
    },
  },
  {
    sentence: 'A soaked weight above what the cell carries is refused.',
    file: 'firmware/control/mark-weights.ts',
    find: 'if (calibration !== null && givenG > calibration.cellG)',
    replace: 'if (calibration === null)',
    foundBy: { file: ORDINARY, test: NO_SUCH_WEIGHT },
  },
  {
    sentence: 'A soaked weight above what the wool holds is refused.',
    file: 'firmware/control/mark-weights.ts',
    find: 'if (capacityG - dryG > mostG) return',
    replace: 'if (capacityG - dryG < 0) return',
    foundBy: { file: ORDINARY, test: NO_SUCH_WEIGHT },
  },
  {
    sentence: 'A span 2 % off the last one is asked about.',
    file: 'cli/calibration/limits.ts',
    find: 'export const SPAN_MOVED_SHARE = 0.02;',
    replace: 'export const SPAN_MOVED_SHARE = 0.2;',
    foundBy: {
      file: 'tests/cli/scale-span.test.ts',
      test: 'asks where the span is more than 2 % off the last one of this cell',
    },
  },
  {
    sentence: 'A scale calibrated anew under a standing tray tells its weights in the new grams.',
    file: 'firmware/handlers/calibration.ts',
    find: 'if (Math.abs(factor - 1) <= LIMITS.sameCellSpanShare) weights.rescaled(factor);',
    replace: '',
    foundBy: {
      file: PUT_RIGHT,
      test: 'by a weight that was stated wrongly, and the old one restored, waters on',
    },
  },
  {
    sentence: 'Whatever holds water off for half a day is an alarm that names it.',
    file: 'firmware/guard/water-watch.ts',
    find: "condition('water-held', this.#heldMs >= LIMITS.waterHeldMs, reason),",
    replace: "condition('water-held', this.#heldMs >= LIMITS.waterHeldMs),",
    foundBy: { file: OVER_RESTARTS, test: 'is an alarm that names them' },
  },
  {
    sentence: 'It is an alarm though the power is cut every few hours.',
    file: 'firmware/tick/guard.ts',
    find: ': tray.run.service.waterHeldMs,',
    replace: ': 0,',
    foundBy: {
      file: OVER_RESTARTS,
      test: 'is an alarm in half a day though the power is cut every few hours',
    },
  },
  {
    sentence: 'Weights that nobody knows are asked for, in a hold too.',
    file: 'firmware/guard/water-watch.ts',
    find: "condition('calibration-missing', this.#lackingMs > waitMs),",
    replace: "condition('calibration-missing', waters(stage) && this.#lackingMs > waitMs),",
    foundBy: { file: PUT_RIGHT, test: 'where the stage after the transplant is itself a hold' },
  },
];
