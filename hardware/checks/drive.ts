/** Rules about what a pin drives: enough for the transistor behind it, never more than its gate bears. */
import { netsOf, partsOf } from '../circuit/circuit';
import { LOGIC, MARGIN } from '../circuit/limits';
import { driveResistor, loadOf, PAD_OHM, pullDowns } from './outputs';
import { FIVE_VOLT_MAX_V } from './polarised';
import type { Rule } from './rule';

const BASE_V = 0.7;
/** Base current over what the data sheet's gain asks for: saturated, not just conducting (common practice: 1.5 or more). */
const OVERDRIVE = 1.5;

export const baseDrive: Rule = {
  id: 'base-drive',
  statement: `At the pin's lowest voltage a bipolar switch gets ${OVERDRIVE} times the base current that its load needs, and bears load and voltage.`,
  source: 'RP2040 data sheet, V_OH; gain of transistor data sheets; overdrive is common practice',
  check(circuit) {
    return partsOf(circuit, 'bipolar').flatMap((part) => {
      const load = loadOf(circuit, part);
      const drive = driveResistor(circuit, part);
      const pull = pullDowns(circuit, part)[0];
      const net = netsOf(circuit, part).get('B')?.name ?? '(none)';
      if (load === undefined || drive === undefined || pull === undefined) return [];
      const supplyV = LOGIC.nominalV * (1 - LOGIC.tolerance);
      const baseA = (supplyV - BASE_V) / (drive.ratings.ohm + PAD_OHM) - BASE_V / pull.ratings.ohm;
      const needA = (OVERDRIVE * load.ratings.peakA) / part.ratings.gainMin;
      const { collectorA, collectorV } = part.ratings;
      const faults = [
        baseA < needA
          ? `its base gets ${(baseA * 1e3).toFixed(2)} mA; ${load.ref} needs ${(needA * 1e3).toFixed(2)} mA.`
          : null,
        collectorA < OVERDRIVE * load.ratings.peakA ? `it bears ${collectorA} A.` : null,
        collectorV < FIVE_VOLT_MAX_V * MARGIN.voltage ? `it bears ${collectorV} V.` : null,
      ];
      return faults.filter((why) => why !== null).map((why) => ({ part: part.ref, net, why }));
    });
  },
};

export const gateLimits: Rule = {
  id: 'gate-limits',
  statement: `The gate of a switch on a 3.3 V pin bears ${MARGIN.voltage} times what a slip to 5 V puts there.`,
  source: 'MOSFET data sheets, V_GS; the 5 V strip is on the same board',
  check(circuit) {
    return partsOf(circuit, 'mosfet')
      .filter((part) => part.ratings.channel === 'n')
      .filter((part) => part.ratings.gateSourceMaxV < FIVE_VOLT_MAX_V * MARGIN.voltage)
      .map((part) => ({
        part: part.ref,
        net: netsOf(circuit, part).get('G')?.name ?? '(none)',
        why: `its gate bears ${part.ratings.gateSourceMaxV} V.`,
      }));
  },
};
