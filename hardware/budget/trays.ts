/** Trays, their stone wool and their weight: what the load cell is chosen by. */
import { dryWoolG, type StoneWool, soakedWoolG } from '../../shared/physics/dry-back';
import { gFromMl, USUAL_WATER_C } from '../../shared/physics/water';
import type { Spread } from '../../shared/profile/profile';
import { spreadNeedMl } from '../../shared/profile/spread';

export interface TrayFormat {
  /** What is typed after `--tray`. */
  readonly name: string;
  readonly title: string;
  readonly wool: StoneWool;
  /** Floor of the tray: what the mat heats, mm. */
  readonly lengthMm: number;
  readonly widthMm: number;
  /** Tray and lid, empty, g (weighed examples differ by a third; weigh your own). */
  readonly trayAndLidG: number;
}

const wool = (pieces: number, pieceMl: number, capacityShare = 0.8): StoneWool => ({
  pieces,
  pieceMl,
  bulkDensityKgM3: 70,
  capacityShare,
});

/** Common formats. Footprints are those of the 10 x 20 inch flat and its half, and of blocks and slabs. */
export const TRAYS: readonly TrayFormat[] = [
  {
    name: 'half-40',
    title: 'half flat, 40 plugs 36 x 36 x 40 mm',
    wool: wool(40, 51.84),
    lengthMm: 254,
    widthMm: 254,
    trayAndLidG: 350,
  },
  {
    name: 'flat-98',
    title: 'flat, 98 plugs 36 x 36 x 40 mm',
    wool: wool(98, 51.84),
    lengthMm: 508,
    widthMm: 254,
    trayAndLidG: 600,
  },
  {
    name: 'flat-200',
    title: 'flat, 200 plugs 25 x 25 x 40 mm',
    wool: wool(200, 25),
    lengthMm: 508,
    widthMm: 254,
    trayAndLidG: 600,
  },
  {
    name: 'blocks-8',
    title: 'flat, 8 blocks 100 x 100 x 65 mm',
    wool: wool(8, 650),
    lengthMm: 508,
    widthMm: 254,
    trayAndLidG: 600,
  },
  {
    name: 'blocks-18',
    title: 'flat, 18 blocks 75 x 75 x 65 mm',
    wool: wool(18, 365.625),
    lengthMm: 508,
    widthMm: 254,
    trayAndLidG: 600,
  },
  {
    name: 'slab-1000',
    title: 'slab 1000 x 150 x 75 mm in a gutter',
    wool: wool(1, 11_250, 0.75),
    lengthMm: 1000,
    widthMm: 150,
    trayAndLidG: 900,
  },
];

/** Platform, insulation and mat that stand on the cell with the tray, g (as the bench has it). */
export const DEAD_LOAD_G = 900;
/** Grown plants and water standing in the tray, g per square metre of floor (common practice). */
const PLANTS_G_PER_M2 = 6000;

export const areaM2 = (tray: TrayFormat): number => (tray.lengthMm * tray.widthMm) / 1e6;

/** Felted matting of 2 to 3 mm, dry, and the water that stays in it (common practice; weigh your own). */
const MATTING = { dryGPerM2: 460, holdsMlPerM2: 1850 } as const;

/** Matting cut to the tray: what leads a dose to every piece, in the words of a profile. */
export function mattingOf(tray: TrayFormat): Spread {
  const area = areaM2(tray);
  return {
    by: 'capillary-matting',
    areaM2: area,
    dryG: MATTING.dryGPerM2 * area,
    holdsMl: MATTING.holdsMlPerM2 * area,
    outlets: 0,
  };
}

/** The smallest dose, ml, that reaches every piece: over matting, by one outlet each, or as a flood. */
export function leastDosesMl(tray: TrayFormat): Readonly<Record<Spread['by'], number>> {
  const matting = mattingOf(tray);
  const outlets = tray.wool.pieces;
  return {
    'capillary-matting': spreadNeedMl(matting),
    'drilled-manifold': spreadNeedMl({ ...matting, by: 'drilled-manifold', outlets }),
    channels: spreadNeedMl({ ...matting, by: 'channels' }),
  };
}

/** Dead water, g: on the scale at container capacity, and in no piece. */
const deadWaterG = (tray: TrayFormat): number => gFromMl(mattingOf(tray).holdsMl, USUAL_WATER_C);

/** Most the cell ever bears, g: wool soaked and not yet drained, matting, tray, lid, plants, platform. */
export function heaviestG(tray: TrayFormat): number {
  return soakedTrayG(tray) + DEAD_LOAD_G + PLANTS_G_PER_M2 * areaM2(tray);
}

/** Soaked tray with matting and lid, without platform and plants, g: what a kitchen scale would show. */
export function soakedTrayG(tray: TrayFormat): number {
  const { dryG } = mattingOf(tray);
  return soakedWoolG(tray.wool) + dryG + deadWaterG(tray) + tray.trayAndLidG;
}

/** Dry tray with matting and lid, g. */
export function dryTrayG(tray: TrayFormat): number {
  return dryWoolG(tray.wool) + mattingOf(tray).dryG + tray.trayAndLidG;
}

export interface CellChoice {
  readonly ratedG: number;
  /** Largest platform a single-point cell of this rating is trimmed for, mm (data sheets; from memory). */
  readonly platformMm: number;
}

/** Single-point cells as they are sold. */
export const CELLS: readonly CellChoice[] = [
  { ratedG: 3000, platformMm: 250 },
  { ratedG: 5000, platformMm: 300 },
  { ratedG: 10_000, platformMm: 350 },
  { ratedG: 20_000, platformMm: 400 },
  { ratedG: 30_000, platformMm: 400 },
  { ratedG: 50_000, platformMm: 400 },
];

/** The cell is rated for at least this multiple of the heaviest load: a hand on the rim is load too. */
export const CELL_MARGIN = 1.25;

/** The smallest cell that carries the tray with its margin, or null when none does. */
export function smallestCell(tray: TrayFormat): CellChoice | null {
  return CELLS.find((cell) => cell.ratedG >= CELL_MARGIN * heaviestG(tray)) ?? null;
}
