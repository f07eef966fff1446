/** Whether every part has its hole: the right size, on a face where it may be. */
import { findPart, splitPin } from '../circuit/circuit';
import { type Circuit, OUTSIDE_PLACES } from '../circuit/kinds';
import { FITS, type FitName, fitOf } from './fits';
import { nameOf, openingsFor, placeWords } from './openings';
import { type EnclosureRule, inEachBuild, pairs } from './plan';
import { AXES } from './shape';

/** How far a light pipe may stand beside its lamp. */
const LAMP_OFF_MM = 2;
/** How much the holes of two plugs differ at least: none goes into the other's. */
const PLUG_STEP_MM = 2;

interface Need {
  readonly part: string;
  readonly fit: FitName;
  readonly why: string;
}

/** Every part that sits in a wall, and every lead that passes one, with what it needs there. */
function needs(circuit: Circuit): Need[] {
  const inWalls = circuit.parts.flatMap((part): Need[] => {
    const { ref, place, block, ratings } = part;
    if (ratings.kind === 'lamp') return [{ part: ref, fit: 'light-pipe', why: 'is to be seen' }];
    if (place !== 'panel') return [];
    if (ratings.kind === 'connector') {
      const family = Object.keys(FITS).find((name): name is FitName => name === ratings.family);
      return family === undefined
        ? []
        : [{ part: ref, fit: family, why: `is of the family ${ratings.family}` }];
    }
    return block === 'sounder' ? [{ part: ref, fit: 'sounder', why: 'is to be heard' }] : [];
  });
  const leads = new Set<string>();
  for (const { from, to } of circuit.wires) {
    const ends = [from, to].flatMap((pin) => findPart(circuit, splitPin(pin).ref) ?? []);
    const [outside] = ends.filter(({ place }) => OUTSIDE_PLACES.includes(place));
    const inside = ends.some(({ place }) => place !== 'panel' && !OUTSIDE_PLACES.includes(place));
    if (outside !== undefined && inside) leads.add(outside.ref);
  }
  return [
    ...inWalls,
    ...[...leads].map((ref): Need => ({ part: ref, fit: 'gland', why: 'has a lead that leaves' })),
    { part: 'A1', fit: 'usb', why: 'is reached by USB' },
  ];
}

export const holeForEach: EnclosureRule = {
  id: 'hole-for-each',
  statement:
    'Every part in a wall, every lead that leaves, the USB socket and the lamp have one hole; no hole is for nothing.',
  source: 'the list of wires and the places of the parts',
  check: (plan, circuit) =>
    inEachBuild(plan, (build) => {
      const holes = openingsFor(plan.openings, build.name);
      const wanted = needs(circuit);
      const count = (part: string): number => holes.filter((hole) => hole.part === part).length;
      return [
        ...circuit.parts
          .filter(({ place }) => place === 'panel')
          .filter(({ ref }) => wanted.every(({ part }) => part !== ref))
          .map(({ ref }) => `Nobody has said what hole ${ref} needs.`),
        ...wanted
          .filter(({ part }) => count(part) !== 1)
          .map(({ part, why }) => `${part} ${why}, and has ${count(part)} holes.`),
        ...holes
          .filter(({ part }) => part !== null && wanted.every((need) => need.part !== part))
          .map((hole) => `${nameOf(hole)} needs no hole.`),
      ];
    }),
};

export const holeFits: EnclosureRule = {
  id: 'hole-fits',
  statement:
    'Each hole has the diameter of what goes in: plugs that of their family, each family one of its own, so that no plug goes where it does harm.',
  source: 'circuit/plugs.ts; common practice of keying by size',
  check: (plan, circuit) => {
    const wanted = needs(circuit);
    const plugs = plan.openings.filter(({ part }) => part !== null && /^J/.test(part));
    return [
      ...plan.openings.flatMap((hole) =>
        wanted
          .filter(({ part, fit }) => part === hole.part && fit !== hole.fit)
          .map(
            ({ part, fit, why }) =>
              `${part} ${why} and needs ${fitOf(fit).holeMm} mm; ${hole.mark} has ${fitOf(hole.fit).holeMm} mm.`,
          ),
      ),
      ...pairs(plugs)
        .filter(([a, b]) => Math.abs(fitOf(a.fit).holeMm - fitOf(b.fit).holeMm) < PLUG_STEP_MM)
        .map(([a, b]) => `${nameOf(a)} and ${nameOf(b)} go into one another's hole.`),
    ];
  },
};

export const dripEdge: EnclosureRule = {
  id: 'drip-edge',
  statement:
    'No opening on top; plugs, glands and the vent in the bottom alone, where drops fall off; in a wall or the lid only what is closed by itself.',
  source: 'CAUTIONS.md; IEC 60529 asks for water from every side (IP54)',
  check: (plan) =>
    inEachBuild(plan, (_, holes) => [
      ...holes
        .filter(({ face }) => face === 'top')
        .map((hole) => `${nameOf(hole)} is on top: water stands there.`),
      ...holes
        .filter(({ face, fit }) => face !== 'bottom' && fitOf(fit).faces === 'bottom')
        .map((hole) => `${nameOf(hole)} looks sideways: drops run along its lead.`),
    ]),
};

export const seenAndHeard: EnclosureRule = {
  id: 'seen-and-heard',
  statement:
    'Sounder and light pipe are in the lid, towards the room; the light pipe stands over the lamp.',
  source: 'common practice; place of the lamp in enclosure/builds.ts',
  check: (plan) =>
    inEachBuild(plan, (build, holes) => {
      const towardsRoom = holes.filter(({ fit }) => fit === 'sounder' || fit === 'light-pipe');
      const { lamp, title } = build;
      return [
        ...towardsRoom
          .filter(({ face }) => face !== 'lid')
          .map((hole) => `${nameOf(hole)} is not in the lid.`),
        ...towardsRoom
          .filter(({ fit, face }) => fit === 'light-pipe' && face === 'lid')
          .filter(({ across, up }) => Math.hypot(across - lamp.x, up - lamp.y) > LAMP_OFF_MM)
          .map(
            (hole) =>
              `${nameOf(hole)} (${placeWords(hole)}) misses the lamp: ${title}, ${lamp.x.toFixed(1)} mm from the ${AXES[0]}, ${lamp.y.toFixed(1)} mm from the ${AXES[1]}.`,
          ),
      ];
    }),
};
