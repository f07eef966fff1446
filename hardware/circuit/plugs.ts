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
