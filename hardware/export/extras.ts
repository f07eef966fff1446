/** What to buy beside the parts on the netlist: board, enclosure, mounting, water, tools of the tests. */
import { type Place, WIRE_SIZES } from '../circuit/kinds';
import { LEADS } from '../circuit/leads';
import { GLAND_SEALS_MM, spanText } from '../circuit/plugs';
import { BUILDS, stripBoardToBuy } from '../enclosure/builds';
import { FITS, STANDOFF_MM } from '../enclosure/fits';
import { OPENINGS } from '../enclosure/openings';
import { SHAPE } from '../enclosure/shape';
import { WATER_EXTRAS } from './extras-water';

export interface Extra {
  readonly quantity: string;
  /** Estimate for one, as in `offers.ts`. */
  readonly euro: number;
  readonly what: string;
  readonly substitutes: string;
  readonly where: string;
  /** As in `offers.ts`. */
  readonly example?: string;
}

/** What a strip board must have at least for one of the layouts and its standoffs. */
function stripsAndHoles(place: Place): string {
  const { strips, holes } = stripBoardToBuy(place);
  return `${strips} strips of ${holes} holes`;
}

/** Standoffs of the build that takes the most of them. */
const STANDOFFS = Math.max(
  ...BUILDS.map(({ boards }) => boards.reduce((sum, { standoffs }) => sum + standoffs.length, 0)),
);
const SUPPLY_LEAD = LEADS.find(({ part }) => part === 'J1');
const GLANDS = OPENINGS.filter(({ fit }) => fit === 'gland').length;

export const EXTRAS: readonly Extra[] = [
  {
    quantity: '1',
    euro: 30,
    what: 'Supply unit 12 or 24 V DC, SELV or class 2, certified, of the watts that `trayward hardware check` prints, 100 W at most',
    substitutes: 'none without a safety mark; never an open-frame unit',
    where: 'outside, away from water',
  },
  {
    quantity: '1.5 m',
    euro: 1,
    what: `Cable, round, sheathed, flexible, 2 cores of 1 mm² (AWG ${WIRE_SIZES[1].awg}), brown and blue${SUPPLY_LEAD === undefined ? '' : `, ${spanText(SUPPLY_LEAD.outerMm)} thick`}`,
    substitutes: 'the own lead of the supply unit, round, of that thickness, 1 mm² or more',
    where: 'from the supply unit to the plug of J1: brown plus, blue minus',
    example: 'H05VV-F 2 x 1',
  },
  {
    quantity: '2',
    euro: 9,
    what: `Strip board 2.54 mm: one with at least ${stripsAndHoles('power-board')}, one with at least ${stripsAndHoles('signal-board')}`,
    substitutes:
      'dot board with tinned wire for strips; or the two boards of hardware/kicad from a board maker',
    where: 'power board, signal board',
  },
  {
    quantity: String(STANDOFFS),
    euro: 0.7,
    what: `Standoff M3, ${STANDOFF_MM} mm, with screws, and a sealing washer under each that goes through the back`,
    substitutes: 'plastic standoffs that are glued',
    where: 'both boards',
  },
  {
    quantity: '1',
    euro: 28,
    what: `Enclosure, plastic, IP54 or better, ${SHAPE.sizeMm.join(' x ')} mm outside (width, height, depth), its body without the lid ${SHAPE.bodyMm} mm deep or more, smooth walls, lugs to hang it by, its data sheet stating IP, sizes and that it is self-extinguishing (UL 94 V-0 or V-1)`,
    substitutes:
      'a larger one, with the holes moved along; metal only if joined to protective earth by someone licensed',
    where: 'above and beside the drip tray',
  },
  {
    quantity: String(GLANDS),
    euro: 1,
    what: `Cable gland M12 x 1.5 with nut, for leads of ${spanText(GLAND_SEALS_MM)}`,
    substitutes: 'rubber grommets with strain relief inside',
    where: 'underside of the enclosure: both probes, load cell',
    example: 'Hummel HSK-K M12 x 1,5',
  },
  {
    quantity: '1',
    euro: 3,
    what: 'Vent plug M12 x 1.5 with membrane and nut: lets the box breathe, and no water in',
    substitutes: 'none: a tight box draws water in through its glands when it cools',
    where: 'underside of the enclosure',
    example: 'Gore PolyVent Standard, M12 x 1,5',
  },
  {
    quantity: '1',
    euro: 2,
    what: `Light pipe: clear acrylic rod ${FITS['light-pipe'].holeMm} mm, 0.12 m, ends polished`,
    substitutes: 'a transparent lid',
    where: 'lid, over the lamp of the controller board',
  },
  {
    quantity: '1',
    euro: 12,
    what: 'Platform, aluminium 4 mm or varnished plywood 10 mm, edge bent or dripped down 10 mm',
    substitutes: 'any stiff, water-proof plate',
    where: 'on the load cell',
  },
  {
    quantity: '1',
    euro: 10,
    what: 'Base, plywood 18 mm varnished or aluminium 6 mm, on four feet of 25 mm',
    substitutes: 'any stiff, water-proof plate',
    where: 'under the load cell, in the drip tray',
  },
  {
    quantity: '4',
    euro: 1,
    what: 'Screw M6 x 50 with two nuts, as overload stop',
    substitutes: 'M5 or M8',
    where: 'base, near each corner',
  },
  {
    quantity: '4',
    euro: 0.8,
    what: 'Screws of the thread of the load cell (M4 to M6), and two spacers 6 mm high of its foot size',
    substitutes: 'a stack of washers',
    where: 'load cell',
  },
  {
    quantity: '1',
    euro: 6,
    what: 'Closed-cell foam sheet (XPS or similar) 10 to 20 mm, size of the tray',
    substitutes: 'cork',
    where: 'between platform and mat',
  },
  ...WATER_EXTRAS,
  {
    quantity: '1',
    euro: 9,
    what: `Panel socket USB, round, for a hole of ${FITS.usb.holeMm} mm, with a lead of 0.3 m to the USB plug of the controller board, data lines included, sealed cap`,
    substitutes: 'a gland and a cable that stays in; never a charging cable without data lines',
    where: 'right wall of the enclosure',
  },
  {
    quantity: '1',
    euro: 5,
    what: 'USB cable, 2 m, data lines included, with the plugs of the laptop and of that panel socket',
    substitutes: 'a longer one, up to 5 m; never a charging cable',
    where: 'laptop to panel socket, while it is needed',
  },
  {
    quantity: '1',
    euro: 18,
    what: 'Known weight, class M1, 1 kg or more',
    substitutes: 'a sealed bottle of water, weighed on a better scale',
    where: 'build guide, part 3',
  },
  {
    quantity: '2',
    euro: 5,
    what: 'Lamp of the voltage of the supply, 5 to 21 W, with holder and leads',
    substitutes: 'a resistor of that power and a lamp that shows it',
    where: 'build guide, steps 2.3 and 2.7',
  },
  {
    quantity: '1',
    euro: 20,
    what: 'Thermometer, 0 to 100 °C, within 0.2 K near 25 °C',
    substitutes: 'ice water for the probes; any that is within 1 K for the thermal link',
    where: 'build guide, steps 2.9 and 3',
  },
  {
    quantity: '1',
    euro: 6,
    what: 'Post, 10 mm rod or tube as high as the lid, with foot and two clips',
    substitutes: 'a shelf upright',
    where: 'beside the drip tray: feed tube and leads',
  },
  {
    quantity: '1 set',
    euro: 8,
    what: 'Cable ties with adhesive bases, heat-shrink sleeve, heat-resistant sleeve 6 mm for the thermal link, foam mounting tape 1 mm',
    substitutes: 'none for the heat-resistant one',
    where: 'strain relief, splices, mat; the modules in the enclosure',
  },
  {
    quantity: '30',
    euro: 0.05,
    what: 'Wire-end ferrules 0.25 to 1 mm²',
    substitutes: 'none for stranded wire in screw terminals',
    where: 'all terminals',
  },
  {
    quantity: '2',
    euro: 3,
    what: 'Thermal link as TC1, of the same batch',
    substitutes: 'none: the one that is tested says what the one that is fitted would do',
    where: 'one to heat until it opens (build guide, step 2.9), one to keep',
  },
  {
    quantity: '1',
    euro: 5,
    what: 'Aluminium tape 50 mm, 0.5 m',
    substitutes: 'heat-resistant polyimide tape',
    where: 'mat probe, cut-out',
  },
];
