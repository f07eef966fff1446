/**
 * The plugs in the wall of the enclosure. A hole of its own size for each family: a plug that goes into the wrong hole
 * would bring the supply to the mat.
 */

/**
 * Diameter of a family's hole, mm: round panel connectors of three sizes, as the usual makes are (from memory). The
 * data sheet of the part that was bought decides.
 */
export const PLUG_HOLE_MM = {
  'dc-inlet': 21,
  'round-2-pole-a': 13,
  'round-2-pole-b': 17,
} as const;

export type PlugFamily = keyof typeof PLUG_HOLE_MM;

/** Thinnest and thickest, mm. */
export type Span = readonly [from: number, to: number];

/** `4 to 6.5 mm`. */
export const spanText = ([from, to]: Span): string => `${from} to ${to} mm`;

/**
 * What round cable the lead plug of a family seals on: the usual insert of that size, from memory. Makers have a second
 * insert for thicker ones, with a letter of its own in the part number.
 */
export const PLUG_SEALS_MM: Readonly<Record<PlugFamily, Span>> = {
  'dc-inlet': [4.5, 7],
  'round-2-pole-a': [4, 6.5],
  'round-2-pole-b': [5, 7],
};

/** The same for a gland M12 x 1.5. */
export const GLAND_SEALS_MM: Span = [3, 6];
