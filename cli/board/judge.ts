/** What readings of a board that is being tried mean. Pure; temperatures in C, masses in g. */

import { PROBE_NAMES, PROBES, type ProbeName } from '../../shared/board/probes';
import type { ProbesRead } from '../../shared/link/methods';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { SCALE_CALIBRATION_LIMITS } from '../calibration/limits';
import { differenceText, weightText } from '../calibration/words';
import { capitalised } from '../words/capitalised';
import { PROBE_WORDS } from '../words/probe';
import type { MatTrouble } from './bench';
import { type Finding, good, untried, wrong } from './finding';
import { MAT_TROUBLES, noSupply } from './line-findings';

/** What a board must show before a step of the check is called good. */
export const BOARD_LIMITS = {
  /** Two probes in one room: beads of 0.5 K each, and a mat that is not quite cold. */
  apartK: 4,
  /** A room in which somebody builds. */
  airMinC: 2,
  airMaxC: 45,
  /** A closed hand warms a bead by so much in any room up to 28 C (common practice). */
  warmedK: 3,
  /** Less than this is no ice. */
  cooledK: 5,
  /** In stirred, crushed ice and water; an unadjusted 10 k probe. */
  iceOffK: 2,
  /** Share of the known weight that the rated output of common cells explains, from 0.8 to 3.5 mV/V. */
  spanMinShare: SCALE_CALIBRATION_LIMITS.ratedMvPerVMin,
  spanMaxShare: SCALE_CALIBRATION_LIMITS.ratedMvPerVMax,
  /** Scatter of single codes, g, as of a cell of 1 mV/V: on one of 3 it is 2 g. */
  noiseG: 6,
  /** Least that a run of a primed pump brings, and what is nothing but drops and noise, g. */
  pumpLeastG: 2,
  pumpNothingG: 0.5,
  /** The mat's own probe on a mat that heats. */
  matWarmsK: 2,
  /** How much further a mat may warm that is off. */
  matAfterK: 1,
} as const;

/** How long the pump runs to be tried, s. */
export const PUMP_RUN_S = 10;

const PROBE_TERMINALS =
  'See step 2.5 of the build guide: its plug, its two wires and its terminal.';

const celsiusOf = (read: ProbesRead, name: ProbeName): number =>
  read[PROBES[name].celsius] ?? Number.NaN;

/** Both probes as they lie. */
export function judgeProbes(read: ProbesRead, units: UnitSystem): Finding {
  const temperature = (celsius: number): string => formatQuantity('temperature', celsius, units);
  for (const name of PROBE_NAMES) {
    const state = read[PROBES[name].state];
    const probe = capitalised(PROBE_WORDS[name].probe);
    if (state !== 'ok')
      return wrong('probes', `The ${PROBE_WORDS[name].probe} is ${state}.`, PROBE_TERMINALS);
    if (read[PROBES[name].curve] === 'lost')
      return wrong(
        'probes',
        `What the board was told of the ${PROBE_WORDS[name].probe} is lost: it gives no temperature.`,
        'Tell it again which NTC that is: trayward probe curve --help',
      );
    const celsius = celsiusOf(read, name);
    if (Number.isNaN(celsius)) return wrong('probes', `${probe}: no reading.`, PROBE_TERMINALS);
    if (!(celsius >= BOARD_LIMITS.airMinC && celsius <= BOARD_LIMITS.airMaxC))
      return wrong(
        'probes',
        `${probe}: ${temperature(celsius)}, which no room has where a board is built.`,
        'Is it a 10 kΩ probe of the curve in the purchase list? Measure it unplugged: 10 kΩ at 25 °C. Another NTC is told to the board: `trayward probe curve`.',
      );
  }
  const [rootZoneC, matC] = [celsiusOf(read, 'rootZone'), celsiusOf(read, 'mat')];
  const both = `${capitalised(PROBE_WORDS.rootZone.probe)} ${temperature(rootZoneC)}, ${PROBE_WORDS.mat.probe} ${temperature(matC)}`;
  if (Math.abs(rootZoneC - matC) > BOARD_LIMITS.apartK)
    return wrong(
      'probes',
      `${both}: they lie in one room, and differ by ${differenceText(Math.abs(rootZoneC - matC), units)}.`,
      'Let both lie side by side for ten minutes, away from the mat. If they still differ, one is of another kind (`trayward probe curve` tells the board which), or its resistor is.',
    );
  return good('probes', `${both}.`);
}

/** The probe that grew warm, and between which temperatures. */
export interface Warmed {
  readonly risen: ProbeName;
  readonly fromC: number;
  readonly toC: number;
}

/** What grew warm since `before` while `held` was asked for: that one where it did, else another; null while none has. */
export function warmedProbe(held: ProbeName, before: ProbesRead, now: ProbesRead): Warmed | null {
  const risen = PROBE_NAMES.map((name) => ({
    risen: name,
    fromC: celsiusOf(before, name),
    toC: celsiusOf(now, name),
  })).filter(({ fromC, toC }) => toC - fromC >= BOARD_LIMITS.warmedK);
  return risen.find((one) => one.risen === held) ?? risen[0] ?? null;
}

/** One probe in a warm hand, asked for as often as it takes to be sure. */
export function judgeWarmed(
  held: ProbeName,
  { risen, fromC, toC }: Warmed,
  units: UnitSystem,
): Finding {
  if (risen === held)
    return good(
      'hand',
      `The ${PROBE_WORDS[held].probe} rose by ${differenceText(toC - fromC, units)} in your hand.`,
    );
  return wrong(
    'hand',
    `You held the ${PROBE_WORDS[held].probe}, twice, and the ${PROBE_WORDS[risen].probe} rose: the two are swapped.`,
    'Swap their plugs, then check again: the mat would be judged by the roots, and the roots by the mat.',
  );
}

/** Neither probe rose while somebody was to hold one. */
export const neverWarmed = (held: ProbeName, units: UnitSystem): Finding =>
  wrong(
    'hand',
    `The ${PROBE_WORDS[held].probe} was to be held in a warm hand, and no probe rose by ${differenceText(BOARD_LIMITS.warmedK, units)}.`,
    'Check again and hold the bead itself, for two minutes; in a room above 28 °C use a cup of warm water. If nothing moves, it is another cable that is plugged in.',
  );

/** The root-zone probe in ice. `before`: as it lay. */
export function judgeIce(before: ProbesRead, read: ProbesRead, units: UnitSystem): Finding {
  const celsius = celsiusOf(read, 'rootZone');
  if (Number.isNaN(celsius))
    return wrong('ice', 'The probe in the ice gave no reading.', PROBE_TERMINALS);
  const reads = `In ice the ${PROBE_WORDS.rootZone.probe} reads ${formatQuantity('temperature', celsius, units)}.`;
  if (Math.abs(celsius) <= BOARD_LIMITS.iceOffK)
    return good('ice', `${reads} \`trayward probe calibrate --ice\` takes the rest away.`);
  if (celsiusOf(before, 'rootZone') - celsius < BOARD_LIMITS.cooledK)
    return untried(
      'ice',
      'The root-zone probe did not grow cold: it was not seen in ice.',
      'Put the bead of that probe, and no other, into the ice: trayward board check --only ice --ice',
    );
  return wrong(
    'ice',
    reads,
    'Stir crushed ice with a little water and wait for two minutes. If it stays so, the probe is of another kind than the purchase list asks for: tell the board which, `trayward probe curve`, and check again.',
  );
}

/** What the pump brought on to the scale, g; as of a cell of 1 mV/V where that is not calibrated. */
export function judgePump(
  gainedG: number,
  { isDead, isCalibrated }: { readonly isDead: boolean; readonly isCalibrated: boolean },
  units: UnitSystem,
): Finding {
  const ran = `${PUMP_RUN_S} seconds of the pump`;
  if (gainedG <= -BOARD_LIMITS.pumpLeastG)
    return untried(
      'pump',
      `The jug grew lighter in ${ran}: it was moved, or water ran out of it.`,
      'Leave jug and tube alone meanwhile: trayward board check --only pump',
    );
  if (gainedG >= BOARD_LIMITS.pumpLeastG) {
    const gained = isCalibrated ? weightText(gainedG, units) : 'water';
    return good('pump', `${ran} brought ${gained}. \`trayward pump calibrate\` comes later.`);
  }
  if (isDead) return noSupply('pump');
  if (gainedG > BOARD_LIMITS.pumpNothingG)
    return wrong(
      'pump',
      `${ran} brought a few drops.`,
      'Prime it (`trayward pump prime`) until the water comes without bubbles, then check again.',
    );
  return wrong(
    'pump',
    `${ran} brought no water.`,
    'Did it turn? If so: reservoir, tube and its ends, and which way round it turns. If not: F3, its plug, and Q2.',
  );
}

interface Heated {
  /** How long the mat has been on, ms, and whether that is all the time it gets. */
  readonly forMs: number;
  readonly isOver: boolean;
  /** What the board says is wrong. */
  readonly trouble: MatTrouble | null;
}

const noReading = (): Finding =>
  wrong('mat', 'The probe on the mat gave no reading any more.', PROBE_TERMINALS);

/** What the mat's own probe showed, K since it was switched on; null while there is nothing to tell. */
export function judgeMat(
  roseK: number,
  { forMs, isOver, trouble }: Heated,
  units: UnitSystem,
): Finding | null {
  const time = formatQuantity('duration', forMs / 1000, units);
  if (Number.isNaN(roseK)) return noReading();
  if (trouble === 'welded') return MAT_TROUBLES.welded;
  if (roseK >= BOARD_LIMITS.matWarmsK)
    return good('mat', `The mat warmed its probe by ${differenceText(roseK, units)} in ${time}.`);
  if (trouble !== null) return MAT_TROUBLES[trouble];
  if (!isOver) return null;
  return wrong(
    'mat',
    `The mat was asked for heat for ${time}, and its probe rose by ${differenceText(Math.max(0, roseK), units)}.`,
    'Is its plug in, and its probe under the tray on the mat? Then, unplugged: fuse F2, the cut-out TC1 (it opens once, and is replaced), and Q1.',
  );
}

/** Whether a mat that was switched off goes on to heat: K since then. Null where it does not. */
export function judgeMatOff(roseK: number, units: UnitSystem): Finding | null {
  if (Number.isNaN(roseK)) return noReading();
  if (roseK <= BOARD_LIMITS.matAfterK) return null;
  return wrong(
    'mat',
    `The mat was switched off, and its probe rose by ${differenceText(roseK, units)} more.`,
    'Pull the plug of the supply now. Both switches pass although they are off: see steps 2.7 and 2.9 of the build guide before it is plugged in again.',
  );
}

/** Steps that need what is not there. */
export const needs = {
  weightOn: (weight: string): Finding =>
    untried(
      'scale',
      `${weight} were to be put on the scale, and no weight was seen to come.`,
      'Put it on the middle of the platform and check again. If it stood there: see the wires of the cell, green and white first.',
    ),
  weightOff: (): Finding =>
    untried(
      'scale',
      'The weight was not seen to come off again.',
      'Take it off before anything else is tried on the scale.',
    ),
  weight: (): Finding =>
    untried(
      'scale',
      'The empty scale answers and is steady. No known weight was named.',
      'Check it with one: trayward board check --only scale --weight 2kg --cell 10kg',
    ),
  leave: (step: 'pump' | 'mat'): Finding =>
    untried(
      step,
      step === 'pump' ? 'The pump was not run.' : 'The mat was not heated.',
      `Answer where it asks, or say it beforehand: trayward board check --only ${step} --yes`,
    ),
  eyes: (): Finding =>
    untried(
      'signals',
      'Nobody was there to see the lamp and hear the sounder.',
      'At a terminal: trayward board check --only signals',
    ),
  probe: (): Finding =>
    untried(
      'mat',
      'The mat is not heated while a probe is in doubt.',
      'Put the probes right first.',
    ),
} as const;
