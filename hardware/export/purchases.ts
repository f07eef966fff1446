/** What to buy beside the parts on the netlist, and the list of everything. */
import { stringify } from 'csv-stringify/sync';
import { BOARDS, boardSize } from '../circuit/boards';
import {
  type Circuit,
  COLOURS,
  PLACES,
  type Place,
  WIRE_SIZES,
  type WireMm2,
} from '../circuit/kinds';
import { PROBE_LIST } from '../circuit/probes';
import { ESTIMATED, offerFor, wireEuro } from './offers';

interface Extra {
  readonly quantity: string;
  /** Estimate for one, as in `offers.ts`. */
  readonly euro: number;
  readonly what: string;
  readonly substitutes: string;
  readonly where: string;
}

/** What a strip board must have at least for one of the layouts. */
function stripsAndHoles(place: Place): string {
  const plan = BOARDS.find((board) => board.place === place);
  if (plan === undefined) throw new Error(`there is no layout for ${place}`);
  const { strips, holes } = boardSize(plan);
  return `${strips} strips of ${holes} holes`;
}

/** Board, box and mounting. */
const EXTRAS: readonly Extra[] = [
  {
    quantity: '1',
    euro: 30,
    what: 'Supply unit 12 or 24 V DC, SELV or class 2, certified, of the watts that `trayward hardware check` prints, 100 W at most',
    substitutes: 'none without a safety mark; never an open-frame unit',
    where: 'outside, away from water',
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
    quantity: '8',
    euro: 0.6,
    what: 'Standoff M3, 10 mm, with screws',
    substitutes: 'plastic standoffs that are glued',
    where: 'both boards',
  },
  {
    quantity: '1',
    euro: 20,
    what: 'Enclosure, plastic, IP54 or better, about 240 x 160 x 90 mm, self-extinguishing (UL 94 V-0 or V-1)',
    substitutes: 'metal only if joined to protective earth by someone licensed',
    where: 'above and beside the drip tray',
  },
  {
    quantity: '3',
    euro: 1,
    what: 'Cable gland M12 for leads of 3 to 6 mm',
    substitutes: 'rubber grommets with strain relief inside',
    where: 'underside of the enclosure: both probes, load cell',
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
    euro: 5,
    what: 'Capillary matting 2 to 3 mm, felted polyester without a film, cut to the floor of the tray; one to use, one to wash',
    substitutes:
      'channels 3 mm deep in the floor of the tray, flooded; for few large pieces the manifold alone',
    where: 'in the tray, under plugs or blocks',
  },
  {
    quantity: '1',
    euro: 4,
    what: 'Manifold: stiff plastic tube 6 mm inside, as long as the tray, closed at its end, with a 1 mm hole every 36 mm, burrs off',
    substitutes: 'the same in 4 to 8 mm; soft tube only if clipped straight',
    where: 'along the middle of the matting, on two supports, level to 1 mm',
  },
  {
    quantity: '1',
    euro: 9,
    what: 'Panel socket USB with a lead to the USB plug of the controller board, data lines included, dust cap',
    substitutes: 'a gland and a cable that stays in; never a charging cable without data lines',
    where: 'enclosure wall, above the water line',
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
    what: 'Cable ties, heat-shrink sleeve, heat-resistant sleeve 6 mm for the thermal link',
    substitutes: 'none for the heat-resistant one',
    where: 'strain relief, splices, mat',
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

/** Metres to buy for a wire: inside the box, or out to the tray. */
const INSIDE_M = 0.3;
const OUTSIDE_M = 2;

interface Row {
  readonly quantity: string;
  readonly references: string;
  readonly value: string;
  readonly what: string;
  readonly substitutes: string;
  readonly where: string;
  readonly example: string;
  readonly euro: string;
}

const euroText = (euro: number): string => euro.toFixed(2);

const numberOf = (ref: string): number => Number(ref.replace(/\D/g, ''));

function partRows(circuit: Circuit): Row[] {
  const groups = new Map<string, Omit<Row, 'euro' | 'example'> & { readonly count: number }>();
  const byNumber = [...circuit.parts].sort((a, b) => numberOf(a.ref) - numberOf(b.ref));
  for (const part of byNumber) {
    if (part.place === 'controller' && part.ref !== 'A1') continue;
    const key = part.purchase.what;
    const before = groups.get(key);
    const references = before === undefined ? part.ref : `${before.references} ${part.ref}`;
    const count = (before?.count ?? 0) + 1;
    const where = PLACES[part.place];
    groups.set(key, {
      count,
      quantity: String(count),
      references,
      value: part.ratings.kind === 'test-point' ? '' : part.value,
      what: part.purchase.what,
      substitutes: part.purchase.substitutes,
      where:
        before === undefined
          ? where
          : before.where.includes(where)
            ? before.where
            : `${before.where}, ${where}`,
    });
  }
  const letters = (row: { readonly references: string }): string =>
    row.references.replace(/\d.*/, '');
  return [...groups.values()]
    .sort((a, b) => letters(a).localeCompare(letters(b), 'en'))
    .map(({ count: _, ...row }) => {
      const { euro, example = '' } = offerFor(row.references.split(' ')[0] ?? '');
      return { ...row, euro: euroText(euro), example };
    });
}

/** They bring their own leads. */
const OWN_LEADS: readonly string[] = [...PROBE_LIST.map(({ probe }) => probe), 'LC1'];

function wireRows(circuit: Circuit): Row[] {
  const metres = new Map<string, { mm2: WireMm2; colour: string; length: number; ids: string[] }>();
  const outside = ['HM1', 'TC1', 'M1'];
  for (const wire of circuit.wires) {
    const far = [wire.from, wire.to].map((pin) => pin.slice(0, pin.indexOf('.')));
    if (far.some((ref) => OWN_LEADS.includes(ref))) continue;
    const key = `${wire.mm2} ${wire.colour}`;
    const entry = metres.get(key) ?? {
      mm2: wire.mm2,
      colour: COLOURS[wire.colour],
      length: 0,
      ids: [],
    };
    entry.length += far.some((ref) => outside.includes(ref)) ? OUTSIDE_M : INSIDE_M;
    entry.ids.push(wire.id);
    metres.set(key, entry);
  }
  return [...metres.values()]
    .sort((a, b) => b.mm2 - a.mm2)
    .map(({ mm2, colour, length, ids }) => ({
      quantity: `${length.toFixed(1)} m`,
      references: ids.join(' '),
      value: `${mm2} mm²`,
      what: `Stranded wire ${mm2} mm² (AWG ${WIRE_SIZES[mm2].awg}), ${colour}`,
      substitutes:
        'the same copper or more; another colour if the list of wires is changed with it',
      where: 'wiring',
      example: '',
      euro: euroText(wireEuro(mm2)),
    }));
}

/** The list of everything to buy, RFC 4180. Quantities are for one tray. */
export function purchaseList(circuit: Circuit): string {
  const rows: readonly Row[] = [
    ...partRows(circuit),
    ...EXTRAS.map(({ euro, ...extra }) => ({
      ...extra,
      references: '',
      value: '',
      example: '',
      euro: euroText(euro),
    })),
    ...wireRows(circuit),
  ];
  return stringify([...rows], {
    header: true,
    record_delimiter: '\r\n',
    columns: [
      { key: 'quantity', header: 'Quantity' },
      { key: 'references', header: 'References' },
      { key: 'value', header: 'Value' },
      { key: 'what', header: 'What to buy' },
      { key: 'substitutes', header: 'Substitutes' },
      { key: 'where', header: 'Where' },
      { key: 'example', header: 'Example (its data sheet decides)' },
      { key: 'euro', header: `EUR each, estimate ${ESTIMATED}` },
    ],
  });
}
