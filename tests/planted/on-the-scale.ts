/** What stands on the scale is known from the water: things, and a tray that is away. */
import type { PlantedBug } from './bug';

const ORDINARY = 'tests/simulation/ordinary-days.test.ts';
const THINGS = 'tests/simulation/things-on-the-tray.test.ts';
const UNWEIGHED = 'tests/simulation/dried-unweighed.test.ts';
const TWICE = 'tests/simulation/failing-twice.test.ts';
const FOUND_AGAIN = 'tests/simulation/found-again.test.ts';
const OVER_A_START = 'tests/simulation/draining-over-a-start.test.ts';
const AWAY = 'tests/simulation/tray-away.test.ts';
const BACK = 'tests/simulation/tray-back.test.ts';
const WEIGHTS = 'tests/simulation/known-weights.test.ts';
const FLOOD = 'tests/simulation/things-in-a-flood.test.ts';

export const ON_THE_SCALE: readonly PlantedBug[] = [
  {
    sentence: 'A tray that is not on its scale is told.',
    file: 'firmware/guard/presence-watch.ts',
    find: "condition('tray-away', this.#awayMs >= LIMITS.trayOffMs, scale.grams),",
    replace: "condition('tray-away', false, scale.grams),",
    foundBy: {
      file: AWAY,
      test: 'gets no heat, is told after an hour, and goes on by itself',
    },
  },
  {
    sentence: 'A mat is off as soon as its tray is lifted, whatever stood beside it and stays.',
    file: 'firmware/control/weight.ts',
    find: 'return isTrayLifted(ledger, grams - hand.beforeG, effectiveG(state, hand.beforeG));',
    replace: 'return false;',
    foundBy: {
      file: THINGS,
      test: 'shows as the tray is taken off and it stays: the bare mat is not heated',
    },
  },
  {
    sentence: 'What the hand that took the tray off puts in its place is no tray.',
    file: 'firmware/control/weight.ts',
    find: 'if (hand.wentMs !== null) return true;',
    replace: '',
    foundBy: {
      file: AWAY,
      test: 'is no tray: nothing is heated on it, and the tray is known as it comes back',
    },
  },
  {
    sentence: 'Nor is what it had put beside the tray seconds before it lifted that.',
    file: 'firmware/control/handling.ts',
    find: 'const fellByTray = isSame(fellG, waterG) || isSame(fellG, beforeG);',
    replace: 'const fellByTray = false;',
    foundBy: {
      file: AWAY,
      test: 'is no tray that lacks a lid: the mat is off while the tray is held up',
    },
  },
  {
    sentence: 'Things taken off together are known, though water came after them.',
    file: 'firmware/control/ledger-booking.ts',
    find: ', runsBefore(known)].flat();',
    replace: '].flat();',
    foundBy: {
      file: THINGS,
      test: 'taken off together after it was sprayed leave it as dry as it is',
    },
  },
  {
    sentence: 'A tray that is off its scale is off its mat, and gets no heat.',
    file: 'firmware/control/interlock.ts',
    find: "  if (away) return 'tray-off';\n  if (!probesSound)",
    replace: '  if (!probesSound)',
    foundBy: {
      file: AWAY,
      test: 'gets no heat, is told after an hour, and goes on by itself',
    },
  },
  {
    sentence: 'No probe is judged meanwhile.',
    file: 'firmware/tick/guard.ts',
    find: 'if (senses.handled || senses.away) this.#handsMs = tray.uptimeMs;',
    replace: '',
    foundBy: { file: ORDINARY, test: 'a transplant marked %s it is done locks no heat off' },
  },
  {
    sentence: 'All is well again when it is back.',
    file: 'firmware/control/ledger-booking.ts',
    find: 'if (there !== null) return bounded(there);',
    replace: '',
    foundBy: {
      file: AWAY,
      test: 'gets no heat, is told after an hour, and goes on by itself',
    },
  },
  {
    sentence: 'A thing that came with a tray hides what that had dried by beside its scale.',
    file: 'firmware/control/ledger-unseen.ts',
    find: 'const canBe = hidG > 0 &&',
    replace: 'const canBe = hidG < 0 &&',
    foundBy: {
      file: BACK,
      test: 'is told as dry as it is once those %i g are taken out',
    },
  },
  {
    sentence: 'Water that ran in gently goes from a tray beside its scale once.',
    file: 'firmware/control/ledger-away.ts',
    find: '(i <= soakedAt || (step.flowed && !step.ranOff))',
    replace: 'i <= soakedAt',
    foundBy: {
      file: AWAY,
      test: 'is no tray that lost that water: it ran off long ago',
    },
  },
  {
    sentence: 'A board that starts again knows still what water was no thing.',
    file: 'firmware/tray/checkpoint.ts',
    find: "  ['weights', 'ownWater'],\n",
    replace: '',
    foundBy: {
      file: AWAY,
      test: 'is none on a board that has started again since, and knows still that it flowed',
    },
  },
  {
    sentence: 'What a tray was soaked with does not go from it beside its scale.',
    file: 'firmware/control/ledger-away.ts',
    find: 'return fillsMuch && Math.abs(standsG - capacityG) <= nearG;',
    replace: 'return false;',
    foundBy: {
      file: AWAY,
      test: 'is no tray that lost that water: the mat under it stays off, and the tray is known as it comes back',
    },
  },
  {
    sentence:
      'A thing that was taken off before is not left beside the scale as well, however dry the tray is.',
    file: 'firmware/control/ledger-away.ts',
    find: "return rest.filter((step) => step.kind !== 'off' ||",
    replace: "return rest.filter((step) => step.kind === 'off' ||",
    foundBy: {
      file: 'tests/unit/ledger.test.ts',
      test: 'lacks no other thing besides: in doubt it has dried by more',
    },
  },
  {
    sentence:
      'Nor does a thing that came back with a tray hide what that had dried by beside its scale.',
    file: 'firmware/control/weight.ts',
    find: 'const hidden = hiddenBeside(state.hidden, besideScaleMs, input);',
    replace: 'const { hidden } = state;',
    foundBy: {
      file: BACK,
      test: 'is told as dry as it is once those %i g are taken out hours later, though it weighed the same',
    },
  },
  {
    sentence:
      'What a cloth draws from a tray that was soaked lately, and is not full, is no flood that runs off.',
    file: 'firmware/tick/weights.ts',
    find: 'const hasDrained = this.drained || this.#trayG < this.fullG;',
    replace: 'const hasDrained = this.drained;',
    foundBy: {
      file: FLOOD,
      test: 'loses on as it did, with a weight on it: none of that has run off, and the weight is told',
    },
  },
  {
    sentence: 'What came after a thing that has gone did not run off as it went.',
    file: 'firmware/control/ledger.ts',
    find: 'goneG += step.stepG - sumG(left);',
    replace: '',
    foundBy: {
      file: 'tests/unit/ledger-departed.test.ts',
      test: 'leaves that as it was: what the scale had said with it there is no water that has run off',
    },
  },
  {
    sentence: 'Nor is it forgotten over a start.',
    file: 'firmware/tray/checkpoint.ts',
    find: "  ['weights', 'hidesG'],\n",
    replace: '',
    foundBy: { file: BACK, test: 'tells it as dry as it is once the thing is taken out' },
  },
  {
    sentence: 'What a flooded tray loses first is the flood.',
    file: 'firmware/control/ledger-flood.ts',
    find: 'return -stepG <= floodG + driesG + matchG(-stepG);',
    replace: 'return -stepG <= 0;',
    foundBy: { file: FLOOD, test: 'and that is poured out when a part of it has run off' },
  },
  {
    sentence: 'A thing that came with water, of which some ran off, is known as it is taken off.',
    file: 'firmware/control/ledger-flood.ts',
    find: 'if (came === undefined || -stepG <= LIMITS.goesMostG) return null;',
    replace: 'return null;',
    foundBy: {
      file: 'tests/unit/ledger-flood.test.ts',
      test: 'is known as it is taken off: the tray is as dry as it weighs',
    },
  },
  {
    sentence:
      'What stands above the brim of the wool and does not run off is a thing, and no water.',
    file: 'firmware/control/ledger-evidence.ts',
    find: 'if (!stands || forMs < LIMITS.standsMs',
    replace: 'if (stands || forMs < LIMITS.standsMs',
    foundBy: {
      file: THINGS,
      test: 'that the wool could just hold is told once it has not run off',
    },
  },
  {
    sentence: 'Nor does it hide how dry the wool is where it fills a half dry tray.',
    file: 'firmware/control/ledger-evidence.ts',
    find: 'LIMITS.soakingStandsShare * last.stepG,',
    replace: 'LIMITS.soakingStandsShare * 5 * last.stepG,',
    foundBy: {
      file: THINGS,
      test: 'that fills a half dry tray a little above what it holds is told as well',
    },
  },
  {
    sentence: 'What a tray weighs less after a power cut it has dried.',
    file: 'firmware/tray/open.ts',
    find: "cause === 'power-on' || leftBootDrive || weights",
    replace: 'leftBootDrive || weights',
    foundBy: { file: UNWEIGHED, test: 'has dried in a power cut: that is no thing taken off' },
  },
  {
    sentence:
      'Nor is what came meanwhile, and goes as that is over, a thing that is missing since.',
    file: 'firmware/control/ledger-booking.ts',
    find: 'return hidLoss(ledger, change, possible) ? ledger : [',
    replace: 'return [',
    foundBy: {
      file: UNWEIGHED,
      test: 'is told as dry as it is once the weight is taken off, hours later',
    },
  },
  {
    sentence: 'Nor by a second start that comes before the scale has weighed.',
    file: 'firmware/tray/checkpoint.ts',
    find: "  ['weights', 'unweighedStarts'],\n",
    replace: '',
    foundBy: {
      file: TWICE,
      test: 'has dried in a power cut, though the board starts twice more before',
    },
  },
  {
    sentence: 'How long a board hung that starts again before it has weighed, nobody knows.',
    file: 'firmware/tray/open.ts',
    find: ' || weights.unweighedStarts > 0',
    replace: '',
    foundBy: {
      file: TWICE,
      test: 'is as dry as a cloth drew it meanwhile, once the weight that was put on it is taken off',
    },
  },
  {
    sentence: 'Nor by one that comes before what it weighs has stood still.',
    file: 'firmware/control/weight-kept.ts',
    find: 'hand.unseenMs >= LIMITS.lostUnseenMs || ',
    replace: '',
    foundBy: {
      file: TWICE,
      test: 'has dried in a power cut, though the board starts twice more before',
    },
  },
  {
    sentence: 'Nor by any on a scale that trembles.',
    file: 'firmware/control/weight-kept.ts',
    find: ' || hand.trembling !== null',
    replace: '',
    foundBy: {
      file: 'tests/simulation/trembling.test.ts',
      test: 'is, though a cloth drew on it as the board started again',
    },
  },
  {
    sentence: 'Nor is it where the scale is silent once more before that.',
    file: 'firmware/control/weight.ts',
    find: 'unseenMs: hand.unseenMs + unseenMs',
    replace: 'unseenMs',
    foundBy: {
      file: TWICE,
      test: 'has lost what a cloth drew, though',
    },
  },
  {
    sentence: 'A board that starts again goes on knowing that its tray drains.',
    file: 'firmware/tray/checkpoint.ts',
    find: "  ['watered', 'sinceByHandMs'],\n",
    replace: '',
    foundBy: { file: OVER_A_START, test: 'is no falling weight and has no thing on it' },
  },
  {
    sentence: 'Over a start too, a thing goes again whole that came with what seemed to be off.',
    file: 'firmware/tray/checkpoint.ts',
    find: "  ['weights', 'paidG'],\n",
    replace: '',
    foundBy: {
      file: FOUND_AGAIN,
      test: 'hides nothing of what the tray dried by as it is taken off again',
    },
  },
  {
    sentence: 'What a tray lost in a power cut tells nothing of what was put on it before.',
    file: 'firmware/tray/open.ts',
    find: 'weights.stepAfterG = toldAfterG(weights);',
    replace: '',
    foundBy: { file: OVER_A_START, test: 'is a thing when it is back' },
  },
  {
    sentence: 'But what passed for water, and stands there as before, is a thing all the more.',
    file: 'firmware/control/ledger-rows.ts',
    find: 'return last !== undefined && hasPoured(last) ? last.afterG : Number.NaN;',
    replace: 'return Number.NaN;',
    foundBy: {
      file: THINGS,
      test: 'is told as well where the power goes meanwhile, for nobody knows how long',
    },
  },
  {
    sentence: 'What stands there when a flood has run off came with it, and is no water.',
    file: 'firmware/control/ledger-evidence.ts',
    find: 'return withThingOfFlood(ledger, standsG);',
    replace: 'return ledger;',
    foundBy: {
      file: THINGS,
      test: 'of %i g is told once the %i g of water have run off, and hides no dryness',
    },
  },
  {
    sentence: 'What a cloth draws from a tray beside a weight is no part of that running off.',
    file: 'firmware/control/ledger-evidence.ts',
    find: 'const losesG = losesGPerMs * (sinceMs + LIMITS.quietMs);',
    replace: 'const losesG = 0;',
    foundBy: {
      file: THINGS,
      test: 'is no water, though with it the tray stands %i g above its capacity',
    },
  },
  {
    sentence: 'Nor is what a tray loses beside its scale.',
    file: 'firmware/control/ledger-away.ts',
    find: 'hasPoured(step) ? step : { ...step, afterG: Number.NaN };',
    replace: 'step;',
    foundBy: {
      file: BACK,
      test: 'comes back with it as a weight: no part of it has run off',
    },
  },
  {
    sentence: 'A cloth that drew from a tray as it went draws on beside the scale.',
    file: 'firmware/control/ledger-away.ts',
    find: 'capacityG - waterG > LIMITS.matchG ? losesGPerMs * awayMs : 0;',
    replace: 'capacityG - waterG > LIMITS.matchG ? 0 * awayMs : 0;',
    foundBy: {
      file: BACK,
      test: 'comes back as dry as the cloth has drawn it in five hours beside its scale: it is no other thing',
    },
  },
  {
    sentence: 'A tray that comes back for a weight in its place lacks no lid.',
    file: 'firmware/control/hand-done.ts',
    find: 'awayMs > 0 && change.stepG < -LIMITS.goesMostG;',
    replace: 'awayMs > 0 && change.stepG < Number.NEGATIVE_INFINITY;',
    foundBy: {
      file: AWAY,
      test: 'is no lid as the hand that takes it puts the tray back: dried by %d of its water, that is told as dry as it is',
    },
  },
  {
    sentence: 'A weight beside a tray that goes with another in it is no tray.',
    file: 'firmware/control/ledger-booking.ts',
    find: 'const beside = stayedBeside(ledger, besideG);',
    replace: 'const beside = null as Ledger | null;',
    foundBy: {
      file: 'tests/unit/ledger.test.ts',
      test: 'is off with what lay in it when what stood beside it is left',
    },
  },
  {
    sentence: 'A mean that is still being found, on a scale that trembles, is no drying.',
    file: 'firmware/control/trembling.ts',
    find: 'if (isBeingFound) {\n    const found',
    replace: 'if (isBeingFound && mayRunOff) {\n    const found',
    foundBy: {
      file: 'tests/unit/trembling.test.ts',
      test: 'what the mean does while it is being found',
    },
  },
  {
    sentence: 'But what a hand was doing as the power went is no dry-back.',
    file: 'firmware/tick/kept-weights.ts',
    find: 'known.handled = handled;',
    replace: '',
    foundBy: {
      file: 'tests/simulation/stages-and-hands.test.ts',
      test: 'a lid taken off just before the power is cut is no dry-back either',
    },
  },
  {
    sentence: 'And a tray that it had off the scale then is away.',
    file: 'firmware/control/weight-kept.ts',
    find: 'if (atMs === null) return { ledger, settledG: beforeG };',
    replace: 'return { ledger, settledG: beforeG };',
    foundBy: { file: AWAY, test: 'leaves it away: a weight put in its place before or meanwhile' },
  },
  {
    sentence: 'A tray of which nobody has said what it holds is known again when it comes back.',
    file: 'firmware/control/ledger-away.ts',
    find: 'return Number.isNaN(possible.capacityG) ? { capacityG: waterG, dryG: 0, plantsG: 0 } : possible;',
    replace: 'return possible;',
    foundBy: { file: UNWEIGHED, test: 'is warmed again when it comes back a little drier' },
  },
  {
    sentence: 'Moist wool that was marked dry takes no heat from a tray that comes back drier.',
    file: 'firmware/control/ledger-away.ts',
    find: '{ capacityG: waterG, dryG: 0, plantsG: 0 }',
    replace: '{ ...possible, capacityG: waterG }',
    foundBy: { file: WEIGHTS, test: 'takes no heat from a tray that comes back drier' },
  },
];
