/**
 * Every lead that leaves the enclosure: a sheathed cable to buy, or what a part brings. How thick each is, for plugs
 * and glands seal on round leads of their size alone, and what warmth it bears.
 */
import { findPart, splitPin } from './circuit';
import { type Circuit, OUTSIDE_PLACES, type Place, type Wire } from './kinds';
import type { Span } from './plugs';
import { PROBE_CIRCUITS } from './probes';

export interface Lead {
  /** The plug that it ends in, or the part whose own lead passes a gland. */
  readonly part: string;
  readonly outerMm: Span;
  /** Insulation and sheath stay sound at this for ever, °C. */
  readonly bearsC: number;
  /** To buy, m; null for what comes with supply, probe or cell. */
  readonly cableM: number | null;
}

/**
 * One cable for mat and pump: two cores of 0.75 mm², brown and blue, silicone (SiHF: 5.5 to 6.5 mm, 180 °C; from
 * memory). 90 °C is what the mat's end asks, and soft, or it pulls at the scale; plain PVC is stiff and bears 70.
 */
const LOAD_CABLE = { outerMm: [5.5, 6.5], bearsC: 90, cableM: 2 } as const;

/** Leads that come with a part are asked to be as thick as a gland needs; PVC bears 70 °C, the better kind 80 or more. */
const OWN = { outerMm: [3, 6], cableM: null } as const;

export const LEADS: readonly Lead[] = [
  { part: 'J1', outerMm: [5.5, 7], bearsC: 70, cableM: null },
  { part: 'J2', ...LOAD_CABLE },
  { part: 'J3', ...LOAD_CABLE },
  { part: PROBE_CIRCUITS.rootZone.probe, ...OWN, bearsC: 70 },
  { part: PROBE_CIRCUITS.mat.probe, ...OWN, bearsC: 80 },
  { part: 'LC1', ...OWN, bearsC: 70 },
];

/** The wires outside that are cores of the cable at a plug. */
export function coresOf(circuit: Circuit, plug: string): Wire[] {
  return circuit.wires.filter((wire) => {
    const refs = [wire.from, wire.to].map((pin) => splitPin(pin).ref);
    return refs.includes(plug) && refs.some((ref) => isOutside(circuit, ref));
  });
}

/** Where a lead goes: the places of the parts at its far end. */
export function farPlaces(circuit: Circuit, { part }: Lead): Place[] {
  const refs = isOutside(circuit, part)
    ? [part]
    : coresOf(circuit, part).flatMap(({ from, to }) =>
        [from, to].map((pin) => splitPin(pin).ref).filter((ref) => ref !== part),
      );
  return refs.flatMap((ref) => findPart(circuit, ref)?.place ?? []);
}

/** Whether a part is outside the enclosure. */
export function isOutside(circuit: Circuit, ref: string): boolean {
  const place = findPart(circuit, ref)?.place;
  return place !== undefined && OUTSIDE_PLACES.includes(place);
}
