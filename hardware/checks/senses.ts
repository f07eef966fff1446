/** Rules about what is measured: probes and scale stay inside their converters and tell faults apart. */
import { ADC_FULL_SCALE, LIMITER, PROBE_REFERENCE_OHM } from '../../shared/board/map';
import {
  codeFromOhm,
  KELVIN_AT_0C,
  resistanceOhm,
  temperatureFromCode,
} from '../../shared/physics/ntc';
import { PROBE_RANGE_C, type ProbeChannel, probeBudget, probeChannel } from '../budget/probe';
import { commonMode, excitationV, fullScaleV, largestSignalV, scaleParts } from '../budget/scale';
import { logicSupplyA, supplyBudget } from '../budget/supply';
import { CELL_MARGIN, CELLS, heaviestG, TRAYS } from '../budget/trays';
import { netOf, netsOf, partsOf } from '../circuit/circuit';
import type { Circuit } from '../circuit/kinds';
import {
  ADC,
  BRIDGE,
  CLAMP_LEAKAGE_A,
  LOGIC,
  MARGIN,
  RAIL,
  RESETTABLE_HOT_SHARE,
} from '../circuit/limits';
import { OUTPUT_RATING_A } from '../circuit/outputs';
import { PROBE_LIST } from '../circuit/probes';
import { LIMITS_OUTSIDE } from './fixed';
import { neighbours } from './paths';
import type { Finding, Rule } from './rule';

/** What a probe's reading may be off by when built, K, in the squares' sum: the limit we promise. */
export const PROBE_PROMISE_K = { asBuilt: 1, calibrated: 0.5 } as const;

export const ratiometricDivider: Rule = {
  id: 'ratiometric-divider',
  statement:
    'A probe is between the ADC input and the quiet ground, its reference resistor between input and ADC reference: what the reference does cancels.',
  source: 'shared/board/map.ts; RP2040 data sheet 4.9: the ADC measures against its own supply',
  check(circuit) {
    return PROBE_LIST.flatMap(({ probe, net, adcNet }) => {
      const ends = neighbours(circuit, net);
      const faults = [
        ends.some((end) => end.part.ratings.kind === 'resistor' && end.net === 'ADC_REFERENCE')
          ? null
          : 'no resistor joins it to the ADC reference.',
        ends.some((end) => end.part.ref === probe && end.net === 'QUIET_GROUND')
          ? null
          : 'the probe does not end on the quiet ground.',
        ends.some((end) => end.part.ratings.kind === 'resistor' && end.net === adcNet)
          ? null
          : 'nothing joins it to the ADC pin.',
        partsOf(circuit, 'capacitor').some((part) => {
          const names = [...netsOf(circuit, part).values()].map((there) => there.name);
          return names.includes(adcNet) && names.includes('QUIET_GROUND');
        })
          ? null
          : 'no capacitor at the ADC pin feeds its sampling switch.',
      ];
      return faults.filter((why) => why !== null).map((why) => ({ part: probe, net, why }));
    });
  },
};

/** ADC code of a probe resistance, with pin leakage in `direction` through the source resistance. */
export function codeWithLeakage(channel: ProbeChannel, ohm: number, direction: -1 | 0 | 1): number {
  const open = !Number.isFinite(ohm);
  const sourceOhm = open
    ? channel.referenceOhm
    : (ohm * channel.referenceOhm) / (ohm + channel.referenceOhm);
  const clean = open ? ADC_FULL_SCALE : codeFromOhm(ohm, channel.referenceOhm);
  const shiftV = direction * (LOGIC.leakageA + CLAMP_LEAKAGE_A) * (sourceOhm + channel.seriesOhm);
  const code = clean + (shiftV / LOGIC.nominalV) * ADC_FULL_SCALE;
  return Math.min(ADC_FULL_SCALE, Math.max(0, code));
}

export const adcWindow: Rule = {
  id: 'adc-window',
  statement:
    'An open probe reads above the open limit, a shorted one below the short limit, and every temperature from -20 to 85 °C between them, with the worst leakage either way.',
  source: 'shared/board/map.ts LIMITER; RP2040 data sheet: input range 0 to ADC supply',
  check(circuit) {
    return PROBE_LIST.flatMap((refs) => {
      const { probe, adcNet } = refs;
      const channel = probeChannel(circuit, refs);
      if (channel === null) return [{ part: probe, net: adcNet, why: 'its parts are missing.' }];
      const open = codeWithLeakage(channel, Number.POSITIVE_INFINITY, -1);
      const short = codeWithLeakage(channel, 0, 1);
      const cold = codeWithLeakage(channel, resistanceOhm(-20), 1);
      const hot = codeWithLeakage(channel, resistanceOhm(85), -1);
      const faults = [
        open > LIMITER.openCode ? null : `open, it may read ${open.toFixed(0)}.`,
        short < LIMITER.shortCode ? null : `shorted, it may read ${short.toFixed(0)}.`,
        cold < LIMITER.openCode ? null : `at -20 °C it may read ${cold.toFixed(0)}.`,
        hot > LIMITER.shortCode ? null : `at 85 °C it may read ${hot.toFixed(0)}.`,
      ];
      return faults.filter((why) => why !== null).map((why) => ({ part: probe, net: adcNet, why }));
    });
  },
};

export const limiterCodes: Rule = {
  id: 'limiter-codes',
  statement:
    'The divider in the netlist is the one the limiter and the firmware reckon with: the same reference resistor, 40.0 and 55.0 °C at the limiter codes.',
  source: 'shared/board/map.ts; shared/physics/ntc.ts',
  check(circuit) {
    const findings: Finding[] = [];
    for (const refs of PROBE_LIST) {
      const { probe, net } = refs;
      const channel = probeChannel(circuit, refs);
      if (channel === null || channel.referenceOhm === PROBE_REFERENCE_OHM) continue;
      findings.push({
        part: probe,
        net,
        why: `its reference resistor is ${channel.referenceOhm} Ω, the firmware reckons with ${PROBE_REFERENCE_OHM} Ω.`,
      });
    }
    const at = [
      { code: LIMITER.rootZoneHotCode, wantedC: 40 },
      { code: LIMITER.matHotCode, wantedC: 55 },
    ];
    for (const { code, wantedC } of at) {
      const isC = temperatureFromCode(code);
      if (Math.abs(isC - wantedC) > 0.05) {
        findings.push({
          part: 'A1',
          net: 'PROBE_ADC',
          why: `limiter code ${code} is ${isC.toFixed(2)} °C, not ${wantedC} °C.`,
        });
      }
    }
    return findings;
  },
};

/** Further from the firmware's curve than this is another part, not tolerance. */
const CURVE_TOLERANCE = 0.005;

/** B, K, of the firmware's curve between 25 and 85 °C. */
const curveB = (): number =>
  Math.log(resistanceOhm(25) / resistanceOhm(85)) /
  (1 / (25 + KELVIN_AT_0C) - 1 / (85 + KELVIN_AT_0C));

export const probeCurve: Rule = {
  id: 'probe-curve',
  statement:
    'A probe has the resistance at 25 °C and the B25/85 of the curve that firmware and limiter reckon with until they are told another.',
  source: 'shared/physics/ntc.ts; another probe, untold, reads wrong without any alarm',
  check(circuit) {
    return partsOf(circuit, 'thermistor').flatMap((probe) => {
      const { ohmAt25C, b } = probe.ratings;
      const off = (is: number, wanted: number): boolean =>
        Math.abs(is / wanted - 1) > CURVE_TOLERANCE;
      const faults = [
        off(ohmAt25C, resistanceOhm(25))
          ? `it has ${ohmAt25C} Ω at 25 °C; the firmware reckons with ${resistanceOhm(25).toFixed(0)} Ω.`
          : null,
        off(b, curveB())
          ? `its B is ${b} K; the firmware's curve has ${curveB().toFixed(0)} K.`
          : null,
      ];
      const net = netsOf(circuit, probe).get('1')?.name ?? '(none)';
      return faults.filter((why) => why !== null).map((why) => ({ part: probe.ref, net, why }));
    });
  },
};

export const probeError: Rule = {
  id: 'probe-error',
  statement: `From ${PROBE_RANGE_C.from} to ${PROBE_RANGE_C.to} °C a probe is within ${PROBE_PROMISE_K.asBuilt} K as built and ${PROBE_PROMISE_K.calibrated} K after one offset at 25 °C (k = 2).`,
  source: 'error budget of hardware/budget/probe.ts, each line with its source; GUM',
  check(circuit) {
    return PROBE_LIST.flatMap((refs) => {
      const { probe, net } = refs;
      const channel = probeChannel(circuit, refs);
      if (channel === null) return [{ part: probe, net, why: 'its parts are missing.' }];
      const worst = [PROBE_RANGE_C.from, 25, PROBE_RANGE_C.to]
        .map((atC) => probeBudget(channel, atC))
        .find(
          (budget) =>
            budget.asBuilt.likely > PROBE_PROMISE_K.asBuilt ||
            budget.calibrated.likely > PROBE_PROMISE_K.calibrated,
        );
      return worst === undefined
        ? []
        : [
            {
              part: probe,
              net,
              why: `at ${worst.atC} °C it may be ${worst.asBuilt.likely.toFixed(2)} K off, ${worst.calibrated.likely.toFixed(2)} K when calibrated.`,
            },
          ];
    });
  },
};

/**
 * Voltage, V, at the ADC reference: what the board's filter resistor leaves of `supplyV` with both
 * dividers drawing through probes of `probeOhm`.
 */
export function adcReferenceV(circuit: Circuit, supplyV: number, probeOhm: number): number {
  const conductance = partsOf(circuit, 'resistor')
    .filter((part) =>
      [...netsOf(circuit, part).values()].some((net) => net.name === 'ADC_REFERENCE'),
    )
    .reduce((sum, part) => sum + 1 / (part.ratings.ohm + probeOhm), 0);
  return (
    (supplyV - ADC.supplyA * ADC.referenceFilterOhm) / (1 + conductance * ADC.referenceFilterOhm)
  );
}

export const adcSupply: Rule = {
  id: 'adc-supply',
  statement: `The ADC keeps ${ADC.supplyMinV} V with both probes shorted.`,
  source: 'RP2040 data sheet, power supplies: performance compromised below 2.97 V',
  check(circuit) {
    const volts = adcReferenceV(circuit, LOGIC.nominalV * (1 - LOGIC.tolerance), 0);
    return volts >= ADC.supplyMinV
      ? []
      : [{ part: 'A1', net: 'ADC_REFERENCE', why: `it falls to ${volts.toFixed(2)} V.` }];
  },
};

export const bridgeInput: Rule = {
  id: 'bridge-input',
  statement:
    'The bridge converter has its supply, the bridge its common mode inside the window, and the largest signal of a 2 mV/V cell at its stop is inside full scale.',
  source:
    'bridge converter data sheet (2.6 V; ± half its supply over 128; common mode from memory)',
  check(circuit) {
    const parts = scaleParts(circuit);
    const net = netOf(circuit, 'A3.VCC')?.name ?? '(none)';
    if (parts === null)
      return [{ part: 'A3', net, why: 'filter resistor or load cell is missing.' }];
    const exciteV = excitationV(parts.filterOhm, parts.bridgeOhm);
    const mode = commonMode(exciteV);
    const faults = [
      exciteV >= BRIDGE.supplyMinV ? null : `only ${exciteV.toFixed(2)} V reach the bridge.`,
      mode.atV > mode.lowV && mode.atV < mode.highV
        ? null
        : `its common mode of ${mode.atV.toFixed(2)} V is outside ${mode.lowV} to ${mode.highV.toFixed(2)} V.`,
      largestSignalV(2, exciteV) < fullScaleV(exciteV) ? null : 'its input saturates.',
    ];
    return faults.filter((why) => why !== null).map((why) => ({ part: 'A3', net, why }));
  },
};

export const cellCarriesTray: Rule = {
  id: 'cell-carries-tray',
  statement: `For every tray format there is a cell rated for ${CELL_MARGIN} times the soaked tray with lid, plants and platform.`,
  source: 'OIML R 60 (maximum capacity); margin is common practice',
  check() {
    const largest = CELLS.at(-1)?.ratedG ?? 0;
    return TRAYS.filter((tray) => heaviestG(tray) * CELL_MARGIN > largest).map((tray) => ({
      part: 'LC1',
      net: 'BRIDGE_PLUS',
      why: `tray ${tray.name} weighs ${heaviestG(tray).toFixed(0)} g; the largest cell is ${largest} g.`,
    }));
  },
};

export const supplyEnough: Rule = {
  id: 'supply-enough',
  statement: `With mat, pump and sounder on, the 5 V converter has ${MARGIN.supply} times its current in hand, the 3.3 V pin stays within the board's limit, and the main fuse holds.`,
  source: 'board and converter data sheets; hardware/budget/supply.ts',
  check(circuit) {
    const budget = supplyBudget(circuit, RAIL.minV, OUTPUT_RATING_A.mat * RAIL.minV);
    const findings: Finding[] = [];
    if (budget.fiveVoltA * MARGIN.supply > LIMITS_OUTSIDE.buckRatedA) {
      findings.push({
        part: 'A2',
        net: 'FIVE_VOLT',
        why: `${budget.fiveVoltA.toFixed(2)} A are drawn from a ${LIMITS_OUTSIDE.buckRatedA} A converter.`,
      });
    }
    const logicA = logicSupplyA(circuit);
    if (logicA > LIMITS_OUTSIDE.logicSupplyA) {
      findings.push({
        part: 'A1',
        net: 'LOGIC_SUPPLY',
        why: `${(logicA * 1e3).toFixed(0)} mA are drawn from its 3.3 V pin.`,
      });
    }
    const resettable = partsOf(circuit, 'fuse').find((part) => part.ratings.style === 'resettable');
    const holdA = (resettable?.ratings.ratedA ?? 0) * RESETTABLE_HOT_SHARE;
    if (budget.converterA > holdA) {
      findings.push({
        part: resettable?.ref ?? 'F4',
        net: 'BUCK_FEED',
        why: `hot, it holds ${holdA.toFixed(2)} A; the 5 V converter takes ${budget.converterA.toFixed(2)} A at ${RAIL.minV} V.`,
      });
    }
    return findings;
  },
};
