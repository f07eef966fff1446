/** What fits and what does not, each as a sentence a grower can act on. */
import { formatQuantity } from '../../shared/units';
import type { MatBudget } from '../budget/mat';
import type { SupplyBudget } from '../budget/supply';
import { CELL_MARGIN, CELLS, heaviestG, smallestCell } from '../budget/trays';
import { matFuseA, matVerdicts } from './mat-verdicts';
import { mass, type ReportInput, type Verdict, volume } from './verdict';

/** A supply above this is no longer power-limited (class 2, NEC chapter 9; from memory). */
const SUPPLY_MAX_W = 100;
/** A blade fuse opens within ten minutes at this multiple of its rating (ISO 8820-3: 0.75 to 600 s). */
const FUSE_OPENS_AT = 1.35;
/** The drip tray is never filled to its rim. */
const DRIP_TRAY_SHARE = 0.8;

function cellVerdict(input: ReportInput): Verdict {
  const { tray, cellG } = input;
  const loadG = heaviestG(tray);
  const wanted = smallestCell(tray);
  const load = `Soaked, with lid, plants and platform, this tray puts ${mass(input, loadG)} on the cell`;
  if (cellG < loadG * CELL_MARGIN) {
    return {
      about: 'cell',
      level: 'refused',
      sentence: `${load}; a ${mass(input, cellG)} cell leaves no margin for a hand on the rim. Take ${wanted === null ? 'a smaller tray' : `a cell of ${mass(input, wanted.ratedG)}`}.`,
    };
  }
  if (wanted !== null && cellG > 2 * wanted.ratedG) {
    return {
      about: 'cell',
      level: 'caution',
      sentence: `${load}; a ${mass(input, cellG)} cell carries it but is coarse. A cell of ${mass(input, wanted.ratedG)} tells doses better.`,
    };
  }
  return { about: 'cell', level: 'fits', sentence: `${load}; the cell carries it with margin.` };
}

function platformVerdict(input: ReportInput): Verdict {
  const { tray, cellG } = input;
  const platformMm = CELLS.find((cell) => cell.ratedG >= cellG)?.platformMm ?? 400;
  const longest = Math.max(tray.lengthMm, tray.widthMm);
  return longest <= platformMm
    ? {
        about: 'platform',
        level: 'fits',
        sentence: 'The tray stands inside the platform the cell allows.',
      }
    : {
        about: 'platform',
        level: 'caution',
        sentence: `The tray is ${formatQuantity('length', longest, input.units)} long; such a cell is trimmed for platforms up to ${formatQuantity('length', platformMm, input.units)}. Centre the tray on the cell, and set the overload stops at the ends.`,
      };
}

/** Watts are sold in steps of five. */
const sold = (watts: number): number => Math.ceil(watts / 5) * 5;

function supplyVerdict(supply: SupplyBudget): Verdict {
  const about = 'supply';
  const fuseA = matFuseA(supply.matA);
  const fuseW = FUSE_OPENS_AT * fuseA * supply.railV;
  if (supply.unitW > SUPPLY_MAX_W) {
    return {
      about,
      level: 'refused',
      sentence: `It would take a supply of ${supply.unitW.toFixed(0)} W; a power-limited unit ends at ${SUPPLY_MAX_W} W. Take a smaller mat.`,
    };
  }
  const least = sold(Math.min(SUPPLY_MAX_W, Math.max(supply.unitW, fuseW)));
  const watts = least < SUPPLY_MAX_W ? `${least} to ${SUPPLY_MAX_W} W` : `${SUPPLY_MAX_W} W`;
  return fuseW > SUPPLY_MAX_W
    ? {
        about,
        level: 'caution',
        sentence: `Take a supply of ${supply.railV} V and ${watts}. Even that may not blow F2 (${fuseA} A): a short of the mat then ends in the supply's own limit, so it must have one.`,
      }
    : {
        about,
        level: 'fits',
        sentence: `Take a supply of ${supply.railV} V and ${watts}: enough to run all, and to blow F2.`,
      };
}

function waterVerdicts(input: ReportInput): Verdict[] {
  const { reservoirMl, dripTrayMl } = input;
  if (reservoirMl === null || dripTrayMl === null) return [];
  const mayMl = dripTrayMl * DRIP_TRAY_SHARE;
  return [
    reservoirMl > mayMl
      ? {
          about: 'reservoir',
          level: 'refused',
          sentence: `A drip tray of ${volume(input, dripTrayMl)} safely holds ${volume(input, mayMl)}; the reservoir has ${volume(input, reservoirMl)}. All of it may run out one day: take a smaller reservoir or a larger drip tray.`,
        }
      : {
          about: 'reservoir',
          level: 'fits',
          sentence: 'The drip tray holds the whole reservoir.',
        },
  ];
}

/** All verdicts of a build. */
export function verdictsOf(input: ReportInput, mat: MatBudget, supply: SupplyBudget): Verdict[] {
  return [
    cellVerdict(input),
    platformVerdict(input),
    ...matVerdicts(input, mat),
    supplyVerdict(supply),
    ...waterVerdicts(input),
  ];
}
