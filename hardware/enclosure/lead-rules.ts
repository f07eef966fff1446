/** Whether every lead that leaves the enclosure keeps water out and bears the place it goes to. */
import { partsOf } from '../circuit/circuit';
import type { Circuit } from '../circuit/kinds';
import { coresOf, farPlaces } from '../circuit/leads';
import { spanText } from '../circuit/plugs';
import { fitOf } from './fits';
import { nameOf } from './openings';
import type { EnclosureRule } from './plan';

/** What the mat may come to before its cut-out opens at the latest, °C. */
const matMaxC = (circuit: Circuit): number =>
  Math.max(
    ...partsOf(circuit, 'cut-out').map(({ ratings }) => ratings.opensC + ratings.toleranceK),
  );

export const sealedLeads: EnclosureRule = {
  id: 'sealed-leads',
  statement:
    'Each lead out of a plug or gland is one round sheathed cable as thick as it seals on; what goes to the mat bears what the mat may come to.',
  source: 'circuit/plugs.ts; IEC 60529 (IP54); cables of EN 50525 bear 70 or 90 °C (from memory)',
  check: (plan, circuit) =>
    plan.openings.flatMap((hole) => {
      const { sealsMm } = fitOf(hole.fit);
      if (sealsMm === undefined || hole.part === null) return [];
      const [lead, ...others] = plan.leads.filter(({ part }) => part === hole.part);
      if (lead === undefined || others.length > 0) {
        return [`${nameOf(hole)} has ${others.length === 0 ? 'no sheathed lead' : 'two leads'}.`];
      }
      const [thin, thick] = lead.outerMm;
      const cores = coresOf(circuit, lead.part);
      const hot = farPlaces(circuit, lead).includes('mat');
      return [
        ...(thin < sealsMm[0] || thick > sealsMm[1]
          ? [
              `The lead of ${nameOf(hole)} is ${spanText(lead.outerMm)} thick; it seals on ${spanText(sealsMm)}.`,
            ]
          : []),
        ...(hot && lead.bearsC < matMaxC(circuit)
          ? [
              `The lead of ${nameOf(hole)} bears ${lead.bearsC} °C; the mat may come to ${matMaxC(circuit)} °C.`,
            ]
          : []),
        ...(new Set(cores.map(({ colour }) => colour)).size < cores.length ||
        new Set(cores.map(({ mm2 }) => mm2)).size > 1
          ? [`The cores of the lead of ${nameOf(hole)} are not those of one cable.`]
          : []),
      ];
    }),
};
