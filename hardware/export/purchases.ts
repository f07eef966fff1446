/** The list of everything to buy: parts of the netlist, what is beside them, wires. */
import { stringify } from 'csv-stringify/sync';
import { type Circuit, COLOURS, PLACES, WIRE_SIZES, type WireMm2 } from '../circuit/kinds';
import { PROBE_LIST } from '../circuit/probes';
import { OPENINGS } from '../enclosure/openings';
import { EXTRAS } from './extras';
import { ESTIMATED, offerFor, wireEuro } from './offers';

/** Metres to buy for a wire: inside the box, to its lid that opens, or out to the tray. */
const INSIDE_M = 0.3;
const TO_LID_M = 0.5;
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
  const inLid = OPENINGS.flatMap(({ face, part }) =>
    face === 'lid' && part !== null ? [part] : [],
  );
  const lengthOf = (ends: readonly string[]): number => {
    if (ends.some((ref) => outside.includes(ref))) return OUTSIDE_M;
    return ends.some((ref) => inLid.includes(ref)) ? TO_LID_M : INSIDE_M;
  };
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
    entry.length += lengthOf(far);
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
