/** What fits and what does not, each as a sentence a grower can act on. */
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { MARGIN, type RailV } from '../circuit/limits';
import { OUTPUT_RATING_A } from '../circuit/outputs';
import type { MatBudget } from './mat';
import type { SupplyBudget } from './supply';
import { CELL_MARGIN, CELLS, heaviestG, smallestCell, type TrayFormat } from './trays';

export interface ReportInput {
  readonly tray: TrayFormat;
  readonly cellG: number;
  readonly cellMvPerV: number;
  /** Mat, W per square metre of tray. */
  readonly matWM2: number;
  readonly railV: RailV;
  /** Coldest and warmest the room gets, °C. */
  readonly roomC: number;
  readonly roomMaxC: number;
  /** High edge of the warmest band wanted, °C. */
  readonly bandHighC: number;
  /** Content of reservoir and drip tray, ml; null when not asked. */
  readonly reservoirMl: number | null;
  readonly dripTrayMl: number | null;
  /** How the sentences are worded; the figures of the report stay metric. */
  readonly units: UnitSystem;
}

export interface Verdict {
  /** Stable word for programs. */
  readonly about: string;
  readonly level: 'fits' | 'caution' | 'refused';
  readonly sentence: string;
}

/** Root-zone temperature at which nothing germinates any more (tests/reference, germination). */
const ROOT_ZONE_LETHAL_C = 40;
/** A supply above this is no longer power-limited (class 2, NEC chapter 9; from memory). */
const SUPPLY_MAX_W = 100;
/** The drip tray is never filled to its rim. */
const DRIP_TRAY_SHARE = 0.8;
const celsius = (input: ReportInput, c: number): string =>
  formatQuantity('temperature', c, input.units);
const mass = (input: ReportInput, g: number): string => formatQuantity('mass', g, input.units);
const volume = (input: ReportInput, ml: number): string =>
  formatQuantity('volume', ml, input.units);

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

function matVerdicts(input: ReportInput, mat: MatBudget): Verdict[] {
  const amps = mat.powerW / input.railV;
  const limitA = OUTPUT_RATING_A.mat;
  const verdicts: Verdict[] = [
    amps > limitA
      ? {
          about: 'mat-current',
          level: 'refused',
          sentence: `A mat of ${mat.powerW.toFixed(0)} W takes ${amps.toFixed(1)} A at ${input.railV} V; the output is built for ${limitA} A. Take a ${input.railV === 12 ? '24 V mat and supply' : 'smaller mat'}.`,
        }
      : {
          about: 'mat-current',
          level: 'fits',
          sentence: `The mat takes ${amps.toFixed(1)} A of the output's ${limitA} A.`,
        },
  ];
  const reach = `In a room at ${celsius(input, mat.roomC)}, lid closed, this mat holds ${celsius(input, mat.reachesC)} at most`;
  if (mat.dutyShare >= 1) {
    verdicts.push({
      about: 'mat-reach',
      level: 'refused',
      sentence: `${reach}; the band goes to ${celsius(input, mat.bandHighC)}. Take about ${Math.ceil(mat.wantedWM2 / 10) * 10} W/m², or warm the room.`,
    });
  } else if (mat.dutyShare > 1 / MARGIN.supply) {
    verdicts.push({
      about: 'mat-reach',
      level: 'caution',
      sentence: `${reach}; it would be on ${(mat.dutyShare * 100).toFixed(0)} % of the time. A colder night finds it too weak: about ${Math.ceil(mat.wantedWM2 / 10) * 10} W/m² has a quarter in hand.`,
    });
  } else {
    verdicts.push({
      about: 'mat-reach',
      level: 'fits',
      sentence: `${reach}; enough, with margin.`,
    });
  }
  verdicts.push(
    mat.stuckRootZoneC > ROOT_ZONE_LETHAL_C
      ? {
          about: 'mat-stuck-on',
          level: 'caution',
          sentence: `If the switch fails closed on a day of ${celsius(input, mat.roomMaxC)} the root zone reaches ${celsius(input, mat.stuckRootZoneC)} and the crop is lost: the cut-out opens only at ${celsius(input, 65)}. A weaker mat, or a shaded, aired room, is the only cure.`,
        }
      : {
          about: 'mat-stuck-on',
          level: 'fits',
          sentence: `Even with its switch failed closed on a day of ${celsius(input, mat.roomMaxC)} the root zone stays at ${celsius(input, mat.stuckRootZoneC)}.`,
        },
  );
  return verdicts;
}

function supplyVerdict(supply: SupplyBudget): Verdict {
  return supply.unitW > SUPPLY_MAX_W
    ? {
        about: 'supply',
        level: 'refused',
        sentence: `It would take a supply of ${supply.unitW.toFixed(0)} W; a power-limited unit ends at ${SUPPLY_MAX_W} W. Take a smaller mat.`,
      }
    : {
        about: 'supply',
        level: 'fits',
        sentence: `Take a supply of ${supply.railV} V and ${Math.ceil(supply.unitW / 5) * 5} W or more, ${SUPPLY_MAX_W} W at most.`,
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
