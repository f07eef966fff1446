/** What each quantity of a fan is called, and how it is written: on its lane, and where a reader points. Pure. */
import type { Fan, FanName } from './model';

export interface Quantity {
  /** Above its lane, without the unit. */
  readonly title: string;
  readonly says: string;
  /** Its line in the style. */
  readonly kind: 'root' | 'true' | 'weight';
  readonly heightPx: number;
  /** Its axis always has 0; and where its band is drawn, and how many numbers stand at it. */
  readonly isFromZero: boolean;
  readonly hasBand: boolean;
  readonly ticks: number;
  scale(fan: Fan): Scale;
}

/** How a unit is written, and what its axis is never narrower than. */
interface Scale {
  readonly unit: string;
  readonly digits: number;
  readonly least: number;
}

const PER_CENT = (digits: number, least: number): Scale => ({ unit: '%', digits, least });
/** By the unit in which the fan has it. */
const SCALES: Readonly<Record<string, Scale>> = {
  '°C': { unit: '°C', digits: 1, least: 2 },
  '°F': { unit: '°F', digits: 1, least: 4 },
  ml: { unit: 'ml', digits: 1, least: 1 },
  'fl oz': { unit: 'fl oz', digits: 2, least: 0.05 },
  l: { unit: 'l', digits: 2, least: 1 },
  gal: { unit: 'gal', digits: 2, least: 0.25 },
};
function scaleIn(unit: string): Scale {
  const scale = SCALES[unit];
  if (scale === undefined) throw new RangeError(`no scale in ${unit}`);
  return scale;
}

export const QUANTITIES: Readonly<Record<FanName, Quantity>> = {
  rootZone: {
    ...{ title: 'Root zone', says: 'root zone', kind: 'root', heightPx: 150, ticks: 4 },
    ...{ isFromZero: false, hasBand: true },
    scale: ({ temperatureUnit }) => scaleIn(temperatureUnit),
  },
  dryBack: {
    ...{ title: 'Dry-back', says: 'dry-back', kind: 'true', heightPx: 110, ticks: 3 },
    ...{ isFromZero: true, hasBand: false },
    scale: () => PER_CENT(1, 5),
  },
  each: {
    ...{ title: 'Given to each plant', says: 'each plant was given', kind: 'weight' },
    ...{ heightPx: 110, ticks: 3, isFromZero: true, hasBand: false },
    scale: ({ eachUnit }) => scaleIn(eachUnit),
  },
  reservoir: {
    ...{ title: 'Reservoir', says: 'reservoir', kind: 'weight', heightPx: 80, ticks: 3 },
    ...{ isFromZero: true, hasBand: false },
    scale: ({ reservoirUnit }) => scaleIn(reservoirUnit),
  },
  standing: {
    ...{ title: 'Standing of the seed', says: 'standing', kind: 'true', heightPx: 80, ticks: 3 },
    ...{ isFromZero: true, hasBand: false },
    scale: () => PER_CENT(0, 10),
  },
};
