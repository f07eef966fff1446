/** The rule of the one line that tells of mat and pump: supply, the mat's fuse, lead and switch. */
import { LOADS_SENSE, loadsSenseCode, type SenseOhms } from '../../shared/board/map';
import {
  type BesideMat,
  BURST_LSB,
  deadCode,
  leakageLsb,
  narrowestGap,
  pinFaultA,
  pinV,
  ratioRanges,
  stuckCodes,
} from '../budget/loads-sense';
import { isKind, netOf, type PartOf, partsOf } from '../circuit/circuit';
import type { Circuit } from '../circuit/kinds';
import { LOGIC, PAD_DIODE_MAX_A, RAIL, SENSE } from '../circuit/limits';
import { ohmText } from '../circuit/make';
import { OUTPUT_RATING_A } from '../circuit/outputs';
import { neighbours } from './paths';
import type { Finding, Rule } from './rule';

/** Between the ratios of two cases, most of the lower to least of the higher. */
const GAP = 1.15;
/** The least code of a switch that never closes over the most of a welded one. */
const STUCK_GAP = 1.05;
/** The pin bears its supply and 0.3 V more (RP2040 data sheet); a surge stays below the first. */
const SENSE_MAX_V = LOGIC.nominalV;
/** What the lowest rail gives, against what counts as there. */
const LIVE_CLEAR = 2;
/** So much of the lowest rail may the diode's leakage lift the low side of an open lead. */
const LEAK_SHARE = 0.05;

type Role = Exclude<keyof SenseOhms, 'padPullOhm'>;

/** Ends of the nine resistors. */
const ENDS: Readonly<Record<Role, readonly [from: string, to: string]>> = {
  matSupplyOhm: ['LOADS_SUM', 'MAT_SUPPLY'],
  matFeedOhm: ['LOADS_SUM', 'MAT_FEED'],
  matLowOhm: ['LOADS_SUM', 'MAT_LOW'],
  pumpFeedOhm: ['LOADS_SUM', 'PUMP_FEED'],
  seriesOhm: ['LOADS_SUM', 'LOADS_SENSE'],
  groundOhm: ['LOADS_SENSE', 'GROUND'],
  matLowUpOhm: ['MAT_LOW', 'MAT_SUPPLY'],
  matLowDownOhm: ['MAT_LOW', 'GROUND'],
  pumpRestOhm: ['PUMP_FEED', 'GROUND'],
};
const ROLES = Object.keys(ENDS) as readonly Role[];

type Found = Readonly<Record<Role, PartOf<'resistor'>>>;

const resistorsBetween = (circuit: Circuit, from: string, to: string): PartOf<'resistor'>[] =>
  neighbours(circuit, from).flatMap(({ part, net }) =>
    net === to && isKind(part, 'resistor') ? [part] : [],
  );

/** The nine resistors, or why they are not those. */
function foundOrFindings(circuit: Circuit): Found | Finding[] {
  const sense = netOf(circuit, `A1.GP${LOADS_SENSE.gpio}`)?.name ?? '(none)';
  const all = ROLES.map((role) => {
    const [from, to] = ENDS[role];
    return { role, from, to, parts: resistorsBetween(circuit, from, to) };
  });
  const findings: Finding[] = [
    ...(sense === 'LOADS_SENSE'
      ? []
      : [{ part: 'A1', net: sense, why: 'the pin that looks is not on LOADS_SENSE.' }]),
    ...all.flatMap(({ from, to, parts }) =>
      parts.length === 1
        ? []
        : [{ part: 'A1', net: from, why: `${parts.length} resistors join it to ${to}.` }],
    ),
    ...strangers(circuit),
  ];
  if (findings.length > 0) return findings;
  // Sound: every role has exactly one.
  return Object.fromEntries(all.map(({ role, parts }) => [role, parts[0]])) as Found;
}

/** What else hangs on the sum or on the pin. */
function strangers(circuit: Circuit): Finding[] {
  return ['LOADS_SUM', 'LOADS_SENSE'].flatMap((at) => {
    const wanted = Object.values(ENDS).flatMap(([from, to]) =>
      from === at ? [to] : to === at ? [from] : [],
    );
    return neighbours(circuit, at)
      .filter(({ net }) => !wanted.includes(net))
      .map(({ part, net }) => ({
        part: part.ref,
        net: at,
        why: `it joins ${net} to it, which has no weight in the firmware.`,
      }));
  });
}

const highestSurgeV = (circuit: Circuit): number =>
  Math.max(
    0,
    ...partsOf(circuit, 'diode').flatMap(({ ref, ratings }) =>
      ratings.style === 'suppressor' && netOf(circuit, `${ref}.K`)?.name === 'RAIL'
        ? [ratings.clampV ?? Number.POSITIVE_INFINITY]
        : [],
    ),
  );

/** What stands beside the mat: its diode, with what that leaks when hot and drops, and the drop of its closed switch. */
export function beside(circuit: Circuit): BesideMat & { readonly diodeRef: string } {
  const diode = partsOf(circuit, 'diode').find(
    ({ ref }) =>
      netOf(circuit, `${ref}.A`)?.name === 'MAT_LOW' &&
      netOf(circuit, `${ref}.K`)?.name === 'MAT_FEED',
  );
  const closed = partsOf(circuit, 'mosfet').find(
    ({ ref }) => netOf(circuit, `${ref}.D`)?.name === 'MAT_LOW',
  );
  const { silicon, schottky } = SENSE.freewheelLeakageA;
  const onOhm = (closed?.ratings.onOhm ?? 0) * (closed?.ratings.hotFactor ?? 0);
  return {
    diodeRef: diode?.ref ?? '(none)',
    freewheelLeakageA: diode?.ratings.style === 'schottky' ? schottky : silicon,
    diodeV: diode?.ratings.forwardV ?? 0,
    switchOnV: OUTPUT_RATING_A.mat * onOhm,
  };
}

/** What the values of the resistors amount to. */
function valueFindings(circuit: Circuit, found: Found): Finding[] {
  const ohms: SenseOhms = {
    ...LOADS_SENSE,
    ...Object.fromEntries(ROLES.map((role) => [role, found[role].ratings.ohm])),
  };
  const at = (role: Role, why: string): Finding => ({
    part: found[role].ref,
    net: ENDS[role][0],
    why,
  });
  const others = ROLES.flatMap((role) =>
    ohms[role] === LOADS_SENSE[role]
      ? []
      : [
          at(
            role,
            `${ohmText(ohms[role])}, the firmware reckons with ${ohmText(LOADS_SENSE[role])}.`,
          ),
        ],
  );
  const { diodeRef, ...mat } = beside(circuit);
  const liftV = mat.freewheelLeakageA * pullOhm(ohms);
  const lifted =
    liftV > LEAK_SHARE * RAIL.minV
      ? `hot, it lifts the low side of an open lead by ${liftV.toFixed(1)} V: a silicon diode does not.`
      : null;
  return [
    ...others,
    ...(lifted === null ? [] : [{ part: diodeRef, net: 'MAT_LOW', why: lifted }]),
    ...readingFindings(circuit, ohms, mat).map(([role, why]) => at(role, why)),
  ];
}

/** What the low side of an open lead hangs on. */
const pullOhm = ({ matLowUpOhm, matLowDownOhm }: SenseOhms): number =>
  1 / (1 / matLowUpOhm + 1 / matLowDownOhm);

function readingFindings(
  circuit: Circuit,
  ohms: SenseOhms,
  mat: BesideMat,
): (readonly [Role, string])[] {
  const surgeV = pinV(ohms, highestSurgeV(circuit));
  const liveCode = Math.min(
    ...[{ matSupplyV: LOADS_SENSE.liveV }, { pumpFeedV: LOADS_SENSE.liveV }].map((live) =>
      loadsSenseCode({ matSupplyV: 0, matFeedV: 0, matLowV: 0, pumpFeedV: 0, ...live }, ohms),
    ),
  );
  const deadLsb = deadCode(ohms) + BURST_LSB + leakageLsb(ohms);
  const faultA = pinFaultA(ohms);
  const { between, gap } = narrowestGap(ratioRanges(ohms, mat));
  const { neverClosesMin, weldedMax } = stuckCodes(ohms);
  const stuckGap = neverClosesMin / weldedMax;
  const coilA = RAIL.maxV / (SENSE.coilOhm + ohms.matLowDownOhm);
  const heldShare = (coilA * SENSE.coilOhm) / SENSE.coilV;
  const faults: (readonly [Role, string] | null)[] = [
    surgeV > SENSE_MAX_V ? ['groundOhm', `a surge puts ${surgeV.toFixed(2)} V on the pin.`] : null,
    faultA > PAD_DIODE_MAX_A
      ? ['seriesOhm', `one failed resistor drives ${(faultA * 1e3).toFixed(1)} mA into the pin.`]
      : null,
    RAIL.minV < LIVE_CLEAR * LOADS_SENSE.liveV
      ? ['matSupplyOhm', `${LOADS_SENSE.liveV} V count as there on a rail of ${RAIL.minV} V.`]
      : null,
    deadLsb > liveCode
      ? [
          'matSupplyOhm',
          `an open second switch may read ${deadLsb.toFixed(0)}, and ${liveCode.toFixed(0)} counts as there.`,
        ]
      : null,
    gap < GAP ? ['matLowOhm', `${between.join(' and ')} are ${gap.toFixed(2)} times apart.`] : null,
    stuckGap < STUCK_GAP
      ? [
          'matLowOhm',
          `a welded switch and one that never closes are ${stuckGap.toFixed(2)} times apart.`,
        ]
      : null,
    heldShare > SENSE.coilHoldShare / 2
      ? ['matLowDownOhm', `it leaves a contactor ${(heldShare * 100).toFixed(0)} % of its voltage.`]
      : null,
  ];
  return faults.filter((fault) => fault !== null);
}

export const loadsSense: Rule = {
  id: 'loads-sense',
  statement: `One line shows supply, fuse, lead and switch of the mat by the firmware's own resistors, its cases ${GAP} times apart at the worst; neither a surge nor a failed resistor hurts the pin.`,
  source:
    'shared/board/map.ts; RP2040 data sheet: pins bear no more than their supply; a hot Schottky diode leaks milliamperes',
  check(circuit) {
    const found = foundOrFindings(circuit);
    return Array.isArray(found) ? found : valueFindings(circuit, found);
  },
};
