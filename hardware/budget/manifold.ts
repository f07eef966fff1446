/** The drilled tube along the middle of a tray: what it takes for each size of floor. */
import { TRAYS, type TrayFormat } from './trays';

export const MANIFOLD = {
  /** Stiff tube, inside and outside, mm: fittings of the push-in kind are made for it. */
  boreMm: 6,
  outerMm: 8,
  holeMm: 1,
  /** From hole to hole: that of plugs of 36 mm. */
  pitchMm: 36,
  /** Further apart, a tube that is full sags by more than the millimetre that it must be level to. */
  supportsApartMm: 260,
} as const;

/** A size of floor, the formats that have it, and the tube over it. */
export interface FloorFittings {
  readonly trays: readonly TrayFormat[];
  readonly lengthMm: number;
  readonly widthMm: number;
  /** In two halves, on either side of the tee. */
  readonly tubeMm: number;
  readonly holes: number;
  readonly supports: number;
}

/** For every size of floor among the formats, in their order. */
export function fittings(): FloorFittings[] {
  const floors = new Map<string, TrayFormat[]>();
  for (const tray of TRAYS) {
    const key = `${tray.lengthMm} x ${tray.widthMm}`;
    floors.set(key, [...(floors.get(key) ?? []), tray]);
  }
  return [...floors.values()].flatMap((trays) => {
    const [first] = trays;
    if (first === undefined) return [];
    const { lengthMm, widthMm } = first;
    const { pitchMm, supportsApartMm } = MANIFOLD;
    return [
      {
        trays,
        lengthMm,
        widthMm,
        tubeMm: lengthMm,
        holes: Math.floor(lengthMm / pitchMm),
        supports: Math.max(2, Math.ceil(lengthMm / supportsApartMm)),
      },
    ];
  });
}
