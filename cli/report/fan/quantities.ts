/** What each quantity of a fan is called, and how it is written: on its lane, and where a reader points. Pure. */
import type { Fan, FanName } from './model';

export interface Quantity {
  /** Above its lane, without the unit. */
  readonly title: string;
  readonly says: string;
  readonly digits: number;
  /** Its line in the style. */
  readonly kind: 'root' | 'true' | 'weight';
  readonly heightPx: number;
  /** Its axis is never narrower than this, in its unit; and always has 0 where `isFromZero`. */
  readonly least: number;
  readonly isFromZero: boolean;
  unit(fan: Fan): string;
}

export const QUANTITIES: Readonly<Record<FanName, Quantity>> = {
  rootZone: {
    ...{ title: 'Root zone', says: 'root zone', digits: 1, kind: 'root', heightPx: 150 },
    ...{ least: 2, isFromZero: false, unit: ({ temperatureUnit }) => temperatureUnit },
  },
  dryBack: {
    ...{ title: 'Dry-back', says: 'dry-back', digits: 1, kind: 'true', heightPx: 110 },
    ...{ least: 5, isFromZero: true, unit: () => '%' },
  },
  each: {
    ...{ title: 'Given to each plant', says: 'each plant was given', digits: 1, kind: 'weight' },
    ...{ heightPx: 110, least: 1, isFromZero: true, unit: ({ eachUnit }) => eachUnit },
  },
  reservoir: {
    ...{ title: 'Reservoir', says: 'reservoir', digits: 2, kind: 'weight', heightPx: 80 },
    ...{ least: 1, isFromZero: true, unit: ({ reservoirUnit }) => reservoirUnit },
  },
  standing: {
    ...{ title: 'Standing of the seed', says: 'standing', digits: 0, kind: 'true', heightPx: 80 },
    ...{ least: 10, isFromZero: true, unit: () => '%' },
  },
};
