/** The board's refusals as a grower reads them: what was refused, why, and what to do next. */

import { PROBE_REFERENCE_OHM } from '../../board/map';
import { CURVE_LIMITS } from '../../physics/probe-curve';
import type { ProblemReason } from '../../profile/breach';
import { isBreach, WHY } from '../../profile/host/sentences';
import type { Mark } from '../../profile/profile';
import { formatQuantity, QUANTITY_KINDS, type QuantityKind, type UnitSystem } from '../../units';
import { LINK_LIMITS, type MarkNote } from '../methods';
import type { RefusalReason } from '../refusals';

/** The same in every system of units. */
const ohm = (value: number): string => formatQuantity('resistance', value, 'metric');
const BEST_OHM = ohm(PROBE_REFERENCE_OHM);

/** `{0}` is the first fact of the reason, and so on; `{1 mass}` is shown in the grower's units. */
const SENTENCES: Readonly<Record<Exclude<RefusalReason, ProblemReason>, string>> = {
  'flash-unfit':
    'The flash chip of this board does not fit: {1} KB are needed, and it holds {0} KB as far as can be told (it calls itself {2}). Nothing was erased, and nothing is switched on. Use a board with 2 MB or more of W25Q flash: hardware/BUILD.md, "which board".',
  'storage-failing':
    'The board could not write its settings, so nothing was changed. Try again; if it stays so, the flash is worn out and the board needs replacing.',
  'slot-failing':
    'The flash did not take the profile, so the running one is untouched. Try again; if it stays so, the flash is worn out and the board needs replacing.',

  'no-measurement': 'No measurement was started. Start one first.',
  'scale-uncalibrated':
    'The scale has never been calibrated, so it has no zero to move. Calibrate it with a known weight.',
  'zero-too-far':
    'The empty scale reads {0 mass}, too far from zero for drift. Take everything off the scale and try again, or calibrate it anew.',
  'no-such-calibration':
    'There is no scale calibration number {0}: the board keeps {1}, the one in use counted.',
  'wrong-sign':
    'The reading falls when weight is put on. Turn the load cell over, or swap its two signal wires, and calibrate again.',
  'span-implausible':
    '{0} counts per gram does not fit any load cell for a tray. Check the weight and its unit, and the wiring.',
  'weight-too-small':
    'A weight of {0 mass} is too small for a cell of {1 mass}. Use at least {2 mass}.',
  'weight-too-large':
    'A weight of {0 mass} is more than the cell of {1 mass} is rated for. Use a smaller one.',
  'scale-faulty':
    'The scale is silent or saturated now. Check its plug and that nothing presses on it.',
  'offset-too-large':
    'A probe {0 temperature-difference} off is not out of adjustment but faulty, or not in the bath, or another NTC than the board reckons with (`trayward probe curve`). Nothing was changed.',
  'not-an-ntc':
    'These resistances are those of no NTC: it falls by 3 to 6 % with each kelvin, all the way. Check each with its temperature; a platinum or PTC probe cannot be used here.',
  'ntc-out-of-range': `An NTC of {0 resistance} at 25 °C with B25/85 of {1} K is beyond what can be read here: ${ohm(CURVE_LIMITS.namedOhmMin)} to ${ohm(CURVE_LIMITS.namedOhmMax)}, ${CURVE_LIMITS.bMinK} to ${CURVE_LIMITS.bMaxK} K. Check both; if they are right, use a probe of ${BEST_OHM}.`,
  'ntc-too-coarse': `Behind the reference resistor of ${BEST_OHM} this probe would be read in steps of {1} K at {0 temperature}; no more than ${CURVE_LIMITS.stepMaxK} K is good enough for a root zone. Use a probe with ${ohm(CURVE_LIMITS.fineOhmMin)} to ${ohm(CURVE_LIMITS.fineOhmMax)} at 25 °C, best one of ${BEST_OHM}.`,
  'curve-implausible':
    'By this curve the probe would read {0 temperature} now, and the other probe reads {1 temperature}: its NTC is another one than was told, or the two are not in the same place. The limiter would move with it, so nothing was changed. Look at the data sheet of the probe; hold both beads together, best in water at room temperature; then tell it again, and see what both read with `trayward probe check`.',
  'run-too-long': 'The pump runs at most {0 duration} at a time by hand.',
  'pump-busy': 'A dose is under way. Wait until it has soaked in.',
  'held-by-alarm':
    'The alarm {0} holds the pump off. Put right what it says; then, if it still stands: `trayward alarm mended {0}`.',
  'rate-implausible':
    '{0} ml/s is not a rate of a dosing pump for a tray. Check the tube and the scale.',
  'crop-stands':
    'A crop stands on the tray: its heat goes by the profile, and is not tried by hand.',
  'mat-held-by-alarm':
    'The alarm {0} holds the mat off. Put right what it says; then, if it still stands: `trayward alarm mended {0}`.',
  'usb-alone':
    'The boot drive appears at the USB port, so it is asked for over USB. A board that showed it to nobody would hold nothing until its supply is switched off and on.',
  restarting:
    'The controller is about to start again, or to show its boot drive, mat and pump off: what is changed now would be lost. Nothing was changed. Wait a few seconds, then try again.',

  'no-profile': 'There is no profile on the board. Load one, then mark again.',
  'not-sown': 'No stage is running. Load a profile and mark the tray sown.',
  'last-stage': 'This is the last stage of the profile.',
  'weight-implausible': '{0 mass} is not the weight of a tray. Check the weight and its unit.',
  'scale-not-ready':
    'The scale is {0}, so it cannot weigh the tray. Calibrate or repair it, or give the weight yourself.',
  'scale-unstable':
    'The weight is not steady yet. Leave the tray alone for two minutes, then mark again.',
  'scale-empty': 'There is nothing on the scale. Put the tray on it, then mark.',
  'still-draining':
    'The tray has lost {0 mass} in ten minutes of the last 20: it drains still, or a leak or a cloth draws water from it, or did. If water was drawn, see to that and soak the tray again. Leave it until it has drained, then mark again.',
  'still-filling':
    'The tray has gained {0 mass} in ten minutes: water still runs into it. Stop that, let the tray drain, then mark again.',
  'water-runs-in':
    'The alarm {0} stands: water may still run into the tray, as fast as it runs off. Stop that, say so (`trayward alarm mended {0}`), let the tray drain, then mark again.',
  'dry-weight-unknown':
    'The dry weight is not known. Load a profile, which names the medium, or mark the dry tray first.',
  'no-water-gained':
    'A soaked tray of {0 mass} does not go with a dry weight of {1 mass}. Check that the tray was soaked, and that tray and lid are as they were when marked dry.',

  'lighter-than-wool':
    'A dry tray of {0 mass} is lighter than its dry wool alone, {1 mass} by the profile. Put the tray with all its pieces on the scale, or correct the profile.',
  'not-dry':
    'A tray of {0 mass} is not dry: dry wool and tray weigh {1 mass} at most. Weigh it dry, or leave the mark "dry" away: the dry weight is then reckoned from the profile.',
  'wool-holds-water':
    'By what is known of it the tray holds {0 mass} of water: it is not dry, and {1 mass} is still its dry weight. Where that is wrong, give the right one yourself: mark dry --weight.',
  'over-the-cell':
    '{0 mass} is more than the load cell carries, {1 mass}. Check the weight and its unit.',
  'not-soaked':
    'A tray of {0 mass} is not soaked, or not all there: by the profile it weighs {1 mass} at least. Soak it and let it drain. If pieces have left it, say first how many are left: mark moved --pieces.',
  'more-than-wool-holds':
    'That would be {0 mass} of water, and these pieces hold {1 mass} at most. Let the tray drain, take everything else off it, then mark again.',
  'less-than-wool-holds':
    'That would be {0 mass} of water, and these pieces hold {1 mass} by the profile. Soak the tray through. Where it was moist when marked dry, first say what it weighs dry, {2 mass} by the profile: mark dry --weight. Where pieces are missing, correct the profile.',

  'alarm-normal': 'There is no alarm {0} now.',
  'still-present':
    'The cause of {0} is still there, or has not been gone for a minute. Put it right first.',
  'shelved-too-long': 'An alarm can be shelved for {0 duration} at most.',

  'chunk-out-of-order': 'The next part of the profile must begin at byte {0}. Load it again.',
  'image-incomplete': 'Only {0} of {1} bytes have arrived. Load the profile again.',
  'image-damaged': 'The image on the board is not the one that was sent. Load the profile again.',
  'no-such-stage': 'The profile has {0} stages.',
  'no-load-open':
    'No profile is being loaded: the board may have restarted. Load the profile again.',

  'not-a-profile': 'This is no profile image.',
  'wrong-length': 'The profile has {0} bytes instead of {1}. Load it again.',
  'wrong-crc': 'The profile was damaged on its way (CRC-32). Load it again.',
  'newer-version':
    'The profile has format {0}, newer than the side that refused it can read. Update that side: the firmware if the board refused, or this program.',
  'unknown-version': 'The profile has format {0}, which is not known here. Update the older side.',
  damaged: 'The image is whole, but holds no profile.',

  'not-text': 'The line was not UTF-8 text.',
  crc: 'The CRC of the line did not match: send it again.',
  'too-long': `The line was longer than ${LINK_LIMITS.lineToBoardBytes} bytes.`,
  list: 'Batches are not taken: send one request a line.',
  'not-plain': 'A request has no lists, no escapes and no object but its parameters.',
  'unknown-name': 'The request has a field or parameter that the controller does not know.',
  'not-json': 'The line was not JSON.',
  'not-a-request': 'The line was JSON, but not a request of JSON-RPC 2.0 with a short id.',
  'unknown-method': 'The controller does not know this request: its firmware may be older.',
  'no-crc': 'This changes something, so it is done only when its line carries a CRC.',
  'bad-parameter': 'The controller does not take this value of {0}.',
  'token-reused': 'This token was used for another method.',
  fault:
    'The firmware failed at this. The journal has a fault entry; nothing is known of its effect.',
};

/** Of `flash-unfit` where the board has no size to tell: some makers do not code it as a W25Q does. */
const FLASH_SIZE_UNTOLD =
  'The flash chip of this board does not say how much it holds in the way of a W25Q (it calls itself {2}), and {1} KB are needed. Nothing was erased, and nothing is switched on. Use a board with 2 MB or more of W25Q flash: hardware/BUILD.md, "which board".';

/** Every reason that has a sentence here; those of a profile's rules have theirs in `sentences.ts`. */
export const REFUSAL_REASONS = Object.keys(SENTENCES);

const isKnown = (reason: string): reason is keyof typeof SENTENCES =>
  Object.hasOwn(SENTENCES, reason);

/** Numbers come from measurements: more than two decimals are noise. */
const plain = (fact: unknown): string =>
  typeof fact === 'number' ? String(Number(fact.toFixed(2))) : String(fact ?? '?').slice(0, 60);

const isKind = (word: string): word is QuantityKind => QUANTITY_KINDS.some((kind) => kind === word);

/** `template` with its facts put in. What came over the line in the place of a number is shown as it is. */
function filled(template: string, facts: readonly unknown[], units: UnitSystem): string {
  return template.replace(/\{(\d)(?: ([a-z-]+))?\}/g, (_, place: string, kind = '') => {
    const fact = facts[Number(place)];
    if (typeof fact === 'number' && isKind(kind)) return formatQuantity(kind, fact, units);
    return plain(fact);
  });
}

/** The sentence for `reason`; a reason of a newer firmware is told as it came. */
export function refusalSentence(
  reason: string,
  facts: readonly unknown[],
  units: UnitSystem = 'metric',
): string {
  if (isBreach(reason)) return `${WHY[reason]} Correct the profile and load it again.`;
  if (!isKnown(reason)) return `The controller refused: ${reason}.`;
  const isUntold = reason === 'flash-unfit' && facts[0] === 0;
  return filled(isUntold ? FLASH_SIZE_UNTOLD : SENTENCES[reason], facts, units);
}

const NOTES: Readonly<Record<Exclude<MarkNote, 'weights-forgotten'>, string>> = {
  'dry-taken': 'The dry weight is taken. Soak and drain the tray, then mark it soaked.',
  'dry-reckoned':
    'The dry weight is reckoned from the medium: {0 mass}. A weighed one is better: mark dry before soaking.',
};

/** After `moved` a part of the old pieces stands on the scale again; after `transplanted` none of them does. */
const FORGOTTEN = {
  moved:
    'The weights of the old pieces no longer count. When those that stay are soaked and stand drained on the scale, mark soaked.',
  transplanted:
    'The weights of the plugs no longer count. When the blocks are soaked and stand drained on the scale, mark soaked.',
} as const;

/** What to tell after `mark`. `dryG`: as the board reckons now. */
export function markNoteSentence(
  note: MarkNote,
  mark: Mark,
  dryG: number | null,
  units: UnitSystem,
): string {
  if (note === 'weights-forgotten') return FORGOTTEN[mark === 'moved' ? 'moved' : 'transplanted'];
  return filled(NOTES[note], [dryG], units);
}
