/**
 * Acids that growers bring water down with: what a bottle holds by its label, how many of its protons
 * are given at a pH, and what else a dose brings into the water.
 */
import { percentToTenths } from '../text/percent';
import { logActivity, type Medium } from './carbonate';
import { accept, decline, type Verdict } from './verdict';

export const ACID_NAMES = ['phosphoric', 'nitric', 'sulfuric', 'citric'] as const;
export type AcidName = (typeof ACID_NAMES)[number];

/** Elements that an acid brings into the water, as mg/l. */
export interface Nutrients {
  readonly nMgL: number;
  readonly pMgL: number;
  readonly sMgL: number;
}

export interface Acid {
  readonly formula: string;
  readonly gPerMol: number;
  /** At 25 C and no ionic strength; empty where all is given at once. CRC Handbook (from memory). */
  readonly pk: readonly number[];
  readonly protons: number;
  readonly element: { readonly field: keyof Nutrients; readonly gPerMol: number } | null;
  /** Density of the solution at 20 C, kg/l, by share of mass: Perry's Handbook, citric CRC (from memory; its test has prints). */
  readonly density: readonly (readonly [share: number, kgL: number])[];
}

/** Of water at 20 C. */
const WATER_KG_L = 0.998;
/** Of elements, g/mol: IUPAC 2021. */
const N_G_MOL = 14.007;
const P_G_MOL = 30.974;
const S_G_MOL = 32.06;

export const ACIDS: Readonly<Record<AcidName, Acid>> = {
  phosphoric: {
    formula: 'H3PO4',
    gPerMol: 97.994,
    pk: [2.148, 7.198, 12.35],
    protons: 3,
    element: { field: 'pMgL', gPerMol: P_G_MOL },
    // biome-ignore format: a table
    density: [[0, WATER_KG_L], [0.1, 1.053], [0.2, 1.113], [0.3, 1.181], [0.4, 1.254], [0.5, 1.335], [0.6, 1.426], [0.75, 1.579], [0.85, 1.689]],
  },
  nitric: {
    formula: 'HNO3',
    gPerMol: 63.012,
    pk: [],
    protons: 1,
    element: { field: 'nMgL', gPerMol: N_G_MOL },
    // biome-ignore format: a table
    density: [[0, WATER_KG_L], [0.1, 1.054], [0.2, 1.115], [0.3, 1.18], [0.4, 1.246], [0.5, 1.31], [0.6, 1.367], [0.65, 1.391], [0.7, 1.413]],
  },
  sulfuric: {
    formula: 'H2SO4',
    gPerMol: 98.072,
    pk: [],
    protons: 2,
    element: { field: 'sMgL', gPerMol: S_G_MOL },
    // biome-ignore format: a table
    density: [[0, WATER_KG_L], [0.1, 1.066], [0.2, 1.139], [0.3, 1.219], [0.4, 1.303], [0.5, 1.395], [0.6, 1.498], [0.7, 1.611], [0.8, 1.727], [0.9, 1.814], [0.93, 1.828], [0.96, 1.836]],
  },
  citric: {
    formula: 'C6H8O7',
    gPerMol: 192.123,
    pk: [3.128, 4.761, 6.396],
    protons: 3,
    element: null,
    // biome-ignore format: a table
    density: [[0, WATER_KG_L], [0.1, 1.039], [0.2, 1.081], [0.3, 1.125], [0.4, 1.171], [0.5, 1.22], [0.6, 1.274]],
  },
};

/** What a label says of its strength: share of mass, with the density where it says that too, or mol/l; or it is a powder. */
export type Strength =
  | { readonly by: 'mass'; readonly share: number; readonly kgL: number | null }
  | { readonly by: 'volume'; readonly molL: number }
  | { readonly by: 'powder'; readonly form: PowderForm };

export const POWDER_FORMS = ['monohydrate', 'anhydrous'] as const;
export type PowderForm = (typeof POWDER_FORMS)[number];

/** An acid as it is measured out: by ml of a solution, or by g of a powder. */
export interface Product {
  readonly unit: 'ml' | 'g';
  /** Mol of acid in one of them. */
  readonly molPerUnit: number;
}

/** Density of an acid of the shops, kg/l: from water to a little above sulfuric acid. */
export const ACID_DENSITY_KG_L = { low: 0.99, high: 1.9 } as const;

const WATER_G_MOL = 18.015;

/** What a ml or g of it holds. Refuses a strength that the acid is not made in. */
export function acidProduct(name: AcidName, strength: Strength): Verdict<Product> {
  if (strength.by !== 'powder') {
    const molL = molInALitre(name, strength);
    return molL.ok ? accept({ unit: 'ml', molPerUnit: molL.value / 1000 }) : molL;
  }
  if (name !== 'citric') {
    return decline(`Only citric acid is a powder; ${name} acid comes as a solution.`);
  }
  const crystalWater = strength.form === 'monohydrate' ? WATER_G_MOL : 0;
  return accept({ unit: 'g', molPerUnit: 1 / (ACIDS[name].gPerMol + crystalWater) });
}

function molInALitre(
  name: AcidName,
  strength: Exclude<Strength, { readonly by: 'powder' }>,
): Verdict<number> {
  const { density, gPerMol } = ACIDS[name];
  const strongest = density.at(-1) ?? [0, WATER_KG_L];
  if (strength.by === 'volume') {
    const mostMolL = (1000 * strongest[0] * strongest[1]) / gPerMol;
    if (strength.molL > 0 && strength.molL <= mostMolL) return accept(strength.molL);
    return decline(
      `A litre of ${name} acid holds ${mostMolL.toFixed(1)} mol at most, at ${percentToTenths(strongest[0])}.`,
    );
  }
  if (!(strength.share > 0 && strength.share <= strongest[0])) {
    return decline(
      `Solutions of ${name} acid known here are of ${percentToTenths(strongest[0])} at most, and more than nothing.${name === 'citric' ? ' What is stronger is a powder: its strength is monohydrate or anhydrous.' : ''}`,
    );
  }
  const kgL = strength.kgL ?? densityAt(density, strength.share);
  if (!(kgL >= ACID_DENSITY_KG_L.low && kgL <= ACID_DENSITY_KG_L.high)) {
    return decline(
      `No acid of the shops weighs ${kgL} kg a litre: ${ACID_DENSITY_KG_L.low} to ${ACID_DENSITY_KG_L.high}.`,
    );
  }
  return accept((1000 * strength.share * kgL) / gPerMol);
}

function densityAt(table: Acid['density'], share: number): number {
  for (let i = 1; i < table.length; i++) {
    const [low, high] = [table[i - 1], table[i]];
    if (!low || !high || share > high[0]) continue;
    return low[1] + ((high[1] - low[1]) * (share - low[0])) / (high[0] - low[0]);
  }
  return Number.NaN;
}

/** Protons that a mol of the acid has given at a pH, as a meter tells it. */
export function protonsGiven(name: AcidName, ph: number, medium: Medium): number {
  const { pk, protons } = ACIDS[name];
  if (pk.length === 0) return protons;
  // Each form next to the one with a proton more: the whole acid counts 1.
  let form = 1;
  let all = 1;
  let given = 0;
  for (const [i, constant] of pk.entries()) {
    form *= 10 ** (ph - constant + logActivity(i, medium) - logActivity(i + 1, medium));
    all += form;
    given += (i + 1) * form;
  }
  return given / all;
}

/** What `molL` of the acid brings into a litre of water. */
export function nutrientsOf(name: AcidName, molL: number): Nutrients {
  const none: Nutrients = { nMgL: 0, pMgL: 0, sMgL: 0 };
  const { element } = ACIDS[name];
  return element === null ? none : { ...none, [element.field]: 1000 * molL * element.gPerMol };
}
