/** What plants of a crop usually weigh on a tray, by their age alone: for a tray whose plants were not weighed yet. Pure. */
import { DAY_MS } from '../../shared/units/time';

/** Expolinear growth of a closing stand: W' = c (1 - exp(-r W / c)) (Goudriaan and Monteith, Ann. Bot. 1990). */
interface UsualPlant {
  /** One seedling as it comes up, most of it water, g. */
  readonly firstG: number;
  /** Relative growth of a young plant, 1/d; and growth of a closed stand on a tray of 0.13 m2, g/d. */
  readonly relativePerDay: number;
  readonly mostGPerDay: number;
}

/**
 * A tomato seedling begins at about 0.1 g (Klapwijk and de Lint, Neth. J. Agric. Sci.), the others by the size of
 * their cotyledons (from memory). Paces are the bench's at 22 C: they give 2 to 4 g a tomato in six weeks
 * and 4 g a cucumber in three, as transplants have; how far others are from it stands at `usualOffShare`.
 */
const USUAL: Readonly<Record<string, UsualPlant>> = {
  tomato: { firstG: 0.1, relativePerDay: 0.16, mostGPerDay: 13 },
  pepper: { firstG: 0.1, relativePerDay: 0.14, mostGPerDay: 11 },
  cucumber: { firstG: 0.45, relativePerDay: 0.25, mostGPerDay: 14 },
  lettuce: { firstG: 0.04, relativePerDay: 0.26, mostGPerDay: 20 },
  basil: { firstG: 0.036, relativePerDay: 0.15, mostGPerDay: 10 },
};
/** A crop that is not in the table is taken for one in the middle of it. */
const MIDDLE: UsualPlant = { firstG: 0.1, relativePerDay: 0.16, mostGPerDay: 13 };

export function usualPlant(crop: string): UsualPlant {
  return USUAL[crop.trim().toLowerCase()] ?? MIDDLE;
}

/** What a stand of `fromG` weighs `forMs` later, g. */
export function usualStandG(plant: UsualPlant, fromG: number, forMs: number): number {
  const scaleG = plant.mostGPerDay / plant.relativePerDay;
  const times = Math.exp((plant.relativePerDay * forMs) / DAY_MS);
  return scaleG * Math.log(1 + (Math.exp(fromG / scaleG) - 1) * times);
}
