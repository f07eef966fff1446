/** What to buy for the way of the water: drip tray, reservoir, tube, fittings, matting. */
import { fittings, MANIFOLD } from '../budget/manifold';
import type { Extra } from './extras';

const FLOORS = fittings();
const { boreMm, outerMm, holeMm, pitchMm } = MANIFOLD;

/** `254 mm for a tray of 254 x 254 mm, ...`: a figure for each size of floor. */
const eachFloor = (figure: (floor: (typeof FLOORS)[number]) => string | number): string =>
  FLOORS.map(
    (floor) => `${figure(floor)} for a tray of ${floor.lengthMm} x ${floor.widthMm} mm`,
  ).join(', ');

export const WATER_EXTRAS: readonly Extra[] = [
  {
    quantity: '1',
    euro: 12,
    what: 'Drip tray that holds the whole reservoir below the underside of the base',
    substitutes: 'none',
    where: 'under everything that can drip',
  },
  {
    quantity: '1',
    euro: 6,
    what: 'Reservoir with lid, no larger than the drip tray holds',
    substitutes: 'none',
    where: 'below the tray',
  },
  {
    quantity: '1 set',
    euro: 8,
    what: 'Silicone tube for the pump, inner size as its data say, 2 m, with a holder for its end',
    substitutes: 'PVC tube outside the pump head',
    where: 'reservoir to tray',
  },
  {
    quantity: '2',
    euro: 0.4,
    what: 'Hose clip, spring or ear, of the outer size of that tube',
    substitutes: 'cable ties, two turns',
    where: 'both ends of the pump',
  },
  {
    quantity: '2',
    euro: 5,
    what: `Capillary matting 2 to 3 mm, felted polyester without a film, cut to the floor of the tray: ${FLOORS.map(({ lengthMm, widthMm }) => `${lengthMm} x ${widthMm} mm`).join(', ')}; one to use, one to wash`,
    substitutes:
      'channels 3 mm deep in the floor of the tray, flooded; for few large pieces the manifold alone',
    where: 'in the tray, under plugs or blocks',
  },
  {
    quantity: '1',
    euro: 2,
    what: 'Black polyethylene film, 0.1 mm or more, as large as the matting',
    substitutes: 'none needed where pieces cover the whole floor',
    where: 'on bare matting between blocks or beside a part-filled tray',
  },
  {
    quantity: '1',
    euro: 4,
    what: `Manifold: straight stiff plastic tube ${outerMm} mm outside, ${boreMm} mm inside, cut in two in its middle, with a ${holeMm} mm hole every ${pitchMm} mm, burrs off; ${eachFloor(({ tubeMm, holes }) => `${tubeMm} mm with ${holes} holes`)}`,
    substitutes:
      'the same in 4 to 8 mm inside with fittings of its size; soft tube only if clipped straight',
    where: 'along the middle of the matting, on its supports, level to 1 mm',
  },
  {
    quantity: '1',
    euro: 3,
    what: `Tee, push-in, all plastic, for tube of ${outerMm} mm outside`,
    substitutes: `a barbed tee of ${boreMm} mm, with pieces of silicone tube ${outerMm} mm inside over tube and barb`,
    where: 'middle of the manifold, its branch upwards',
  },
  {
    quantity: '1',
    euro: 1,
    what: `Funnel, plastic, about 40 mm wide, its stem ${outerMm} mm outside or pushed on a piece of the manifold tube`,
    substitutes: 'a bottle neck with a drilled stopper',
    where: 'upright in the branch of the tee, under the end of the feed tube',
  },
  {
    quantity: '2',
    euro: 1,
    what: `Cap for tube of ${outerMm} mm outside, plastic, that comes off by hand`,
    substitutes: `a silicone stopper for ${boreMm} mm; a push-in end plug`,
    where: 'both ends of the manifold: off for cleaning',
  },
  {
    quantity: `${Math.max(...FLOORS.map(({ supports }) => supports))}`,
    euro: 0.8,
    what: `Saddle clip for tube of ${outerMm} mm with a plastic or stainless M4 screw as foot, to level it by; ${eachFloor(({ supports }) => supports)}`,
    substitutes: 'a strip of plastic with a hole for the tube, on edge',
    where: 'under the manifold',
  },
];
