/** Tables of the documents, made from the data. The tests keep the documents to them. */
import { ADC_FULL_SCALE, LIMITER } from '../../shared/board/map';
import { codeFromOhm, resistanceOhm } from '../../shared/physics/ntc';
import { fittings } from '../budget/manifold';
import { fluxNeededWM2, steadyRises } from '../budget/mat';
import { excitationV, scaleBudget, scaleParts } from '../budget/scale';
import {
  dryTrayG,
  heaviestG,
  leastDosesMl,
  mattingOf,
  smallestCell,
  soakedTrayG,
  TRAYS,
} from '../budget/trays';
import { RULES } from '../checks/rules';
import { adcReferenceV } from '../checks/senses';
import type { Circuit } from '../circuit/kinds';
import { LOGIC, MARGIN } from '../circuit/limits';
import { PROBE_LIST } from '../circuit/probes';
import { ENCLOSURE_RULES } from '../enclosure/rules';
import { markdown } from './markdown';

const g = (grams: number): string => `${Math.round(grams / 10) * 10} g`;

/** Which cell for which tray, and what it can tell. */
export function cellTable(circuit: Circuit): string {
  const parts = scaleParts(circuit) ?? { filterOhm: 0, bridgeOhm: 350 };
  const exciteV = excitationV(parts.filterOhm, parts.bridgeOhm);
  return markdown(
    [
      '`--tray`',
      'format',
      'dry, with lid',
      'soaked, with lid',
      'most on the cell',
      'cell',
      'likely error, a dose',
      'a day, 4 K swing',
    ],
    TRAYS.map((tray) => {
      const cell = smallestCell(tray);
      const ratedG = cell?.ratedG ?? Number.NaN;
      const budget = scaleBudget(
        { ratedG, ratedMvPerV: 1, loadG: heaviestG(tray), swingK: 4 },
        exciteV,
      );
      return [
        `\`${tray.name}\``,
        tray.title,
        g(dryTrayG(tray)),
        g(soakedTrayG(tray)),
        g(heaviestG(tray)),
        `${ratedG / 1000} kg`,
        `${budget.dose.total.likely.toFixed(1)} g`,
        `${budget.day.total.likely.toFixed(1)} g`,
      ];
    }),
  );
}

const ml = (volume: number): string =>
  `${volume < 10 ? Math.round(volume) : Math.round(volume / 10) * 10} ml`;

/** What leads a dose to every piece weighs and holds, and the least dose that it carries there. */
export function spreadTable(): string {
  return markdown(
    [
      '`--tray`',
      'matting, cut',
      'dry',
      'dead water',
      'least dose, matting',
      'an outlet each',
      'flood of 3 mm',
    ],
    TRAYS.map((tray) => {
      const { dryG, holdsMl } = mattingOf(tray);
      const least = leastDosesMl(tray);
      return [
        `\`${tray.name}\``,
        `${tray.lengthMm} x ${tray.widthMm} mm`,
        g(dryG),
        ml(holdsMl),
        ml(least['capillary-matting']),
        ml(least['drilled-manifold']),
        ml(least.channels),
      ];
    }),
  );
}

/** What the drilled manifold takes over each size of floor. */
export function fittingsTable(): string {
  return markdown(
    [
      '`--tray`',
      'tube, in two halves',
      'holes',
      'tee',
      'funnel',
      'caps',
      'supports',
      'matting, film',
    ],
    fittings().map(({ trays, tubeMm, holes, supports, lengthMm, widthMm }) => [
      trays.map(({ name }) => `\`${name}\``).join(', '),
      `${tubeMm} mm`,
      `${holes}`,
      '1',
      '1',
      '2',
      `${supports}`,
      `${lengthMm} x ${widthMm} mm`,
    ]),
  );
}

const ROOMS_C = [10, 14, 18, 22] as const;
const BANDS_C = [20, 23, 26, 29] as const;

/** W/m2 that hold a band in a room with a quarter in hand, lid closed. */
export function matTable(): string {
  return markdown(
    ['coldest room', ...BANDS_C.map((c) => `band up to ${c} °C`)],
    ROOMS_C.map((roomC) => [
      `${roomC} °C`,
      ...BANDS_C.map((bandC) => {
        if (bandC <= roomC) return '-';
        const flux = fluxNeededWM2(bandC - roomC, 'closed') * MARGIN.supply;
        return `${Math.ceil(flux / 5) * 5}`;
      }),
    ]),
  );
}

/** How far a mat that cannot be switched off heats the root zone above the room. */
export function stuckTable(): string {
  const fluxes = [60, 80, 100, 120, 160, 200];
  return markdown(
    ['mat, W/m²', ...fluxes.map(String)],
    [
      [
        'root zone above the room, lid closed',
        ...fluxes.map((q) => `${steadyRises(q, 'closed').rootZoneK.toFixed(0)} K`),
      ],
      ['lid off', ...fluxes.map((q) => `${steadyRises(q, 'off').rootZoneK.toFixed(0)} K`)],
      [
        'mat above the room, lid closed',
        ...fluxes.map((q) => `${steadyRises(q, 'closed').matK.toFixed(0)} K`),
      ],
    ],
  );
}

/** What a meter shows at the probe test points. */
export function probeVoltTable(circuit: Circuit): string {
  const tp7 = adcReferenceV(circuit, LOGIC.nominalV, resistanceOhm(25));
  const cells = [5, 10, 15, 20, 25, 30, 35, 40].map((tempC) => {
    const ohm = resistanceOhm(tempC);
    return [
      `${tempC} °C`,
      `${Math.round(ohm)} Ω`,
      `${((tp7 * codeFromOhm(ohm)) / ADC_FULL_SCALE).toFixed(2)} V`,
      `${Math.round(codeFromOhm(ohm))}`,
    ];
  });
  return markdown(
    [
      'probe at',
      'resistance',
      `${PROBE_LIST.map(({ test }) => test).join(', ')} against AGND (TP7 at ${tp7.toFixed(1)} V)`,
      'code',
    ],
    [
      ...cells,
      ['unplugged', 'endless', `${tp7.toFixed(1)} V`, `above ${LIMITER.openCode}`],
      ['shorted', '0 Ω', '0 V', `below ${LIMITER.shortCode}`],
    ],
  );
}

interface Told {
  readonly id: string;
  readonly statement: string;
  readonly source: string;
}

const toldRules = (rules: readonly Told[]): string =>
  markdown(
    ['rule', 'what it asks', 'source'],
    rules.map(({ id, statement, source }) => [`\`${id}\``, statement, source]),
  );

/** Every rule of the circuit with its source. */
export const rulesTable = (): string => toldRules(RULES);

/** Every rule of the holes in the enclosure with its source. */
export const enclosureTable = (): string => toldRules(ENCLOSURE_RULES);
