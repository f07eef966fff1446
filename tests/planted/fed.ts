/** Plants that are fed. */
import type { PlantedBug } from './bug';

const OPENINGS = 'tests/simulation/openings.test.ts';
const ORDINARY = 'tests/simulation/ordinary-days.test.ts';
const WEIGHTS = 'tests/simulation/known-weights.test.ts';
const PUT_RIGHT = 'tests/simulation/put-right.test.ts';
const CHECK = 'tests/unit/profile-check.test.ts';
const CROPS = 'tests/reference/crops.test.ts';

export const FED: readonly PlantedBug[] = [
  {
    sentence: 'A stage opens with water by its latest time, wet as the tray may still be.',
    file: 'firmware/control/need.ts',
    find: 'const due = mayOpen && ',
    replace: 'const due = false && mayOpen && ',
    foundBy: { file: ORDINARY, test: 'comes by its latest day, wet as the tray may still be' },
  },
  {
    sentence: 'Its first dose is a whole one, up to the share it opens to.',
    file: 'firmware/control/need.ts',
    find: "return need === 'opening' ? (stage.opening?.stopShare ?? watering.stopShare) : watering.stopShare;",
    replace: 'return watering.stopShare;',
    foundBy: {
      file: OPENINGS,
      test: 'is a whole dose first, and goes on up to the share it opens to',
    },
  },
  {
    sentence: 'A stage opens anew at each change of feed.',
    file: 'firmware/tick/dose-charges.ts',
    find: 'this.restore({ stageMl: 0, rescued: false, opened: false });',
    replace: 'this.restore({ stageMl: 0, rescued: false, opened: this.#dosing.opened });',
    foundBy: { file: OPENINGS, test: 'comes after emergence, after the hold of a transplant' },
  },
  {
    sentence: 'After a transplant the roots are left alone first, and fed as that is over.',
    file: 'firmware/control/need.ts',
    find: 'input.stageRunMs >= (stage.opening?.byS ?? 0) * 1000',
    replace: 'input.stageRunMs >= (stage.opening?.byS || 86_400) * 1000',
    foundBy: { file: OPENINGS, test: 'comes after emergence, after the hold of a transplant' },
  },
  {
    sentence: 'Where the profile knows of no hold after the transplant, there is one all the same.',
    file: 'firmware/control/crop.ts',
    find: 'const holdMs = held ? transplantHoldMs : WATER_LIMITS.transplantHoldMs;',
    replace: 'const holdMs = transplantHoldMs;',
    foundBy: {
      file: 'tests/simulation/stages-and-hands.test.ts',
      test: 'the roots are left alone for three days, dry as the blocks may be; then water comes',
    },
  },
  {
    sentence: 'No profile has its first feed later than seven days after emergence.',
    file: 'shared/profile/limits.ts',
    find: 'firstFeedMaxS: 7 * 86_400,',
    replace: 'firstFeedMaxS: 17 * 86_400,',
    foundBy: { file: CHECK, test: 'a first feed that waits for dry-back is refused' },
  },
  {
    sentence: 'Each crop is first fed three to five days after emergence.',
    file: 'shared/crops/tomato.yaml',
    find: 'open: { by: 2 d, stop: 1 % }',
    replace: 'open: { by: 5 d, stop: 1 % }',
    foundBy: { file: CROPS, test: 'comes three to five days after emergence' },
  },
  {
    sentence: 'Plugs are watered from 5 to 10 % dry-back on at first, and dry further later.',
    file: 'shared/crops/tomato.yaml',
    find: 'start: 8 %',
    replace: 'start: 12 %',
    foundBy: { file: CROPS, test: 'lets plugs dry further as they grow' },
  },
  {
    sentence: 'A first feed that does not come is said.',
    file: 'firmware/guard/water-watch.ts',
    find: "condition('feed-late', isWatered && !opened",
    replace: "condition('feed-late', isWatered && opened",
    foundBy: { file: ORDINARY, test: 'is called late when something keeps it from coming' },
  },
  {
    sentence: 'The water a stage opens with counts in the caps like any other.',
    file: 'firmware/control/caps.ts',
    find: 'return full.day || full.stage ? 0 : wantedMl;',
    replace: "return need !== 'opening' && (full.day || full.stage) ? 0 : wantedMl;",
    foundBy: { file: OPENINGS, test: 'is given up to the cap of a day and no further' },
  },
  {
    sentence: 'It is proved by the scale like any other; one that is not seen stops the water.',
    file: 'firmware/control/proof.ts',
    find: "    case 'not-seen':\n      return anew('dose-not-seen');",
    replace:
      "    case 'not-seen':\n      return anew(reason === 'opening' ? null : 'dose-not-seen');",
    foundBy: { file: PUT_RIGHT, test: 'once the tube is on and somebody has looked' },
  },
  {
    sentence: 'An opening that did not arrive is still to come, once somebody has looked.',
    file: 'firmware/control/settlement.ts',
    find: 'opensAgain: opens };',
    replace: 'opensAgain: false };',
    foundBy: { file: PUT_RIGHT, test: 'once the tube is on and somebody has looked' },
  },
  {
    sentence: 'An opening that a hand cut short is still to come.',
    file: 'firmware/control/settlement.ts',
    find: 'opensAgain: opens && isShort && !byHand,',
    replace: 'opensAgain: false,',
    foundBy: { file: PUT_RIGHT, test: 'and the plants get it all the same once the hand is gone' },
  },
  {
    sentence: 'An opening that a power cut cut off is still to come.',
    file: 'firmware/tick/dose-charges.ts',
    find: "this.#opens = reason === 'opening' && !this.opened;",
    replace:
      "this.#opens = reason === 'opening' && !this.opened;\n    if (this.#opens) dosing.opened = true;",
    foundBy: {
      file: OPENINGS,
      test: 'is still to come where the power was cut in the middle of it',
    },
  },
  {
    sentence: 'No dose is too small to reach every piece.',
    file: 'firmware/control/caps.ts',
    find: 'if (ml >= wanted.spreadMl) return ml;',
    replace: 'if (ml >= 0) return ml;',
    foundBy: { file: WEIGHTS, test: 'takes no dose that is too small to wet it through' },
  },
  {
    sentence: 'A profile whose doses could not reach every piece is refused.',
    file: 'shared/profile/rules.ts',
    find: 'if (doseMl > 0 && isBelow(doseMl, needMl)) {',
    replace: 'if (doseMl < 0 && isBelow(doseMl, needMl)) {',
    foundBy: { file: CHECK, test: 'a dose that does not wet the matting through is refused' },
  },
  {
    sentence: 'One tube into many pieces is warned of.',
    file: 'shared/profile/host/judge.ts',
    find: 'if (spread === null) {',
    replace: 'if (spread === undefined) {',
    foundBy: { file: CHECK, test: 'a dose from one tube into 98 plugs is warned of' },
  },
  {
    sentence: 'Channels are flooded millimetres deep: the build guide says how much that takes.',
    file: 'shared/profile/spread.ts',
    find: 'floodMm: 3,',
    replace: 'floodMm: 1,',
    foundBy: {
      file: 'tests/hardware/documents.test.ts',
      test: '%s has its tables as the data say',
    },
  },
  {
    sentence: 'What leads water to every piece is on the list of what to buy.',
    file: 'hardware/export/extras-water.ts',
    find: 'what: `Capillary matting 2 to 3 mm, felted',
    replace: 'what: `Capillary matting, felted',
    foundBy: { file: 'tests/hardware/export.test.ts', test: 'is committed as the data has it' },
  },
  {
    sentence: 'Matting stands on the scale.',
    file: 'hardware/budget/trays.ts',
    find: 'return soakedWoolG(tray.wool) + dryG + deadWaterG(tray) + tray.trayAndLidG;',
    replace: 'return soakedWoolG(tray.wool) + tray.trayAndLidG;',
    foundBy: {
      file: 'tests/hardware/budgets.test.ts',
      test: 'a flat of 98 plugs soaks to 5173 g of wool and water',
    },
  },
  {
    sentence: 'The water it keeps is in no piece.',
    file: 'firmware/control/mark-weights.ts',
    find: 'const waterG = holdsG(medium, spread);',
    replace: 'const waterG = holdsG(medium, null);',
    foundBy: {
      file: WEIGHTS,
      test: 'a dry weight that nobody has taken is reckoned with it',
    },
  },
  {
    sentence: 'The mark refilled takes a volume and an EC.',
    file: 'firmware/handlers/marks.ts',
    find: 'watering.refilled(volumeMl ?? tray.profile?.reservoirMl ?? Number.NaN, feedEc ?? Number.NaN);',
    replace: 'watering.refilled(tray.profile?.reservoirMl ?? Number.NaN, Number.NaN);',
    foundBy: { file: ORDINARY, test: 'is accounted from what was stated, and nothing is guessed' },
  },
  {
    sentence: 'The reservoir is accounted from what was stated, and not from full.',
    file: 'firmware/tick/feed-store.ts',
    find: 'if (Number.isNaN(filledMl)) return null;',
    replace: 'if (Number.isNaN(filledMl)) return this.tray.profile?.reservoirMl ?? null;',
    foundBy: { file: ORDINARY, test: 'is accounted from what was stated, and nothing is guessed' },
  },
  {
    sentence: 'A stage that wants other feed asks for it.',
    file: 'firmware/guard/water-watch.ts',
    find: "condition('feed-unlike', isWatered && otherFeed,",
    replace: "condition('feed-unlike', !isWatered && otherFeed,",
    foundBy: { file: ORDINARY, test: 'of another strength holds water for a day, is asked for' },
  },
  {
    sentence: 'It waits for that feed.',
    file: 'firmware/control/feed.ts',
    find: 'return Math.max(0, LIMITS.graceMs - sinceMs);',
    replace: 'return 0;',
    foundBy: { file: ORDINARY, test: 'of another strength holds water for a day, is asked for' },
  },
  {
    sentence: 'It waits as well for feed that was filled in by mistake in the middle of a stage.',
    file: 'firmware/control/feed.ts',
    find: 'Math.min(stageRunMs, sinceFilledMs);',
    replace: 'stageRunMs;',
    foundBy: { file: OPENINGS, test: 'is waited out for a day, and given then if nobody comes' },
  },
  {
    sentence: 'After a day it goes on with what there is.',
    file: 'firmware/limits.ts',
    find: 'graceMs: DAY_MS,',
    replace: 'graceMs: 9 * DAY_MS,',
    foundBy: { file: ORDINARY, test: 'of another strength holds water for a day, is asked for' },
  },
  {
    sentence: 'It says that it waits, and then that it goes on.',
    file: 'cli/words/feed.ts',
    find: 'return leftS > 0\n',
    replace: 'return leftS > -86_400\n',
    foundBy: {
      file: 'tests/cli/status.test.ts',
      test: 'is waited for by the doses for a day, then they go on; both are said',
    },
  },
  {
    sentence: 'The status tells the feed that the stage wants beside what the reservoir holds.',
    file: 'cli/words/feed.ts',
    find: "if (stage === null || stage.feedEc === 0) return '';",
    replace: "if (stage !== null) return '';",
    foundBy: {
      file: 'tests/cli/status.test.ts',
      test: 'stands beside what is in the reservoir, told or not',
    },
  },
  {
    sentence: 'The status tells when the plants are fed.',
    file: 'shared/profile/first-feed.ts',
    find: "if (index <= emergenceStage(stages)) return limited('emergence', firstFeedS(stages));",
    replace: '',
    foundBy: { file: OPENINGS, test: 'is told from emergence on, counted down after it' },
  },
  {
    sentence: 'The status tells what each plant had since emergence, ml and mg of salts.',
    file: 'firmware/tick/feed-store.ts',
    find: 'reservoir.eachSaltsMg += saltsMg(ml / pieces, ec);',
    replace: 'reservoir.eachSaltsMg += ml / pieces;',
    foundBy: { file: ORDINARY, test: 'comes by its latest day, wet as the tray may still be' },
  },
  {
    sentence: 'A dose that did not arrive is no food.',
    file: 'firmware/tick/watering.ts',
    find: "if (isNeed(dose.reason) && dose.verdict !== 'not-seen') {",
    replace: 'if (isNeed(dose.reason)) {',
    foundBy: { file: PUT_RIGHT, test: 'counts in the caps, for the pump has run' },
  },
  {
    sentence: 'Crops take as long to their transplant as extension tables say.',
    file: 'shared/crops/lettuce.yaml',
    find: 'until: { after: 10 d }',
    replace: 'until: { after: 30 d }',
    foundBy: { file: CROPS, test: '%s: %d to %d weeks' },
  },
  {
    sentence: 'Their feed is as strong as published for that age.',
    file: 'shared/crops/cucumber.yaml',
    find: 'feed: 1.8 mS/cm',
    replace: 'feed: 2.4 mS/cm',
    foundBy: { file: CROPS, test: 'of fruiting crops in rooted blocks is 1.5 to 2.5' },
  },
  {
    sentence: 'Each crop names in its own file where its weeks are from.',
    file: 'shared/crops/pepper.yaml',
    find: '# Weeks from sowing: Univ. of Delaware 7 to 9 (Mid-Atlantic recommendations), Iowa State 6 to 8, Purdue 5 to 7,',
    replace: '# Weeks from sowing: 7 to 9, 6 to 8, 5 to 7,',
    foundBy: { file: CROPS, test: '$crop says in its own file' },
  },
  {
    sentence: 'A tray that is only part filled is fed by the pieces that it has.',
    file: 'firmware/tick/feed-store.ts',
    find: 'const pieces = tray.medium?.pieces ?? Number.NaN;',
    replace: 'const pieces = 98;',
    foundBy: {
      file: OPENINGS,
      test: 'is fed as a full one, and tells what each of its plants had',
    },
  },
  {
    sentence: 'No clock ages a stage that the grower began after the power was back.',
    file: 'firmware/tick/staging.ts',
    find: 'this.tray.clock.forgetOutage();',
    replace: '',
    foundBy: {
      file: 'tests/simulation/wrong-clock.test.ts',
      test: 'ages no stage that the grower began after the cut, though power fails again',
    },
  },
  {
    sentence: 'When some plants are moved on, what is told of each is by those that stay.',
    file: 'firmware/tick/staging.ts',
    find: 'this.#progress.pieces = pieces;',
    replace: 'this.#progress.pieces = Number.NaN;',
    foundBy: {
      file: 'tests/simulation/stages-and-hands.test.ts',
      test: 'counts what each plant gets by the pieces that stayed',
    },
  },
];
