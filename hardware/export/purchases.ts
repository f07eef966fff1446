/** The list of everything to buy: parts of the netlist, what is beside them, wires. */
import { stringify } from 'csv-stringify/sync';
import { splitPin } from '../circuit/circuit';
import {
  type Circuit,
  COLOURS,
  PLACES,
  WIRE_SIZES,
  type Wire,
  type WireMm2,
} from '../circuit/kinds';
import { coresOf, isOutside, LEADS, type Lead } from '../circuit/leads';
import { spanText } from '../circuit/plugs';
import { OPENINGS } from '../enclosure/openings';
import { EXTRAS } from './extras';
import { CABLE_EURO, ESTIMATED, offerFor, wireEuro } from './offers';

/** Metres to buy for a wire: inside the box, or to its lid that opens. */
const INSIDE_M = 0.3;
const TO_LID_M = 0.5;

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

/** Sheathed cables to plugs: one row for those alike. */
function cableRows(circuit: Circuit): Row[] {
  const alike = new Map<string, { readonly first: Lead; metres: number; cores: Wire[] }>();
  for (const lead of LEADS) {
    if (lead.cableM === null) continue;
    const cores = coresOf(circuit, lead.part);
    const key = [lead.outerMm, lead.bearsC, ...cores.map(({ mm2, colour }) => mm2 + colour)].join();
    const entry = alike.get(key) ?? { first: lead, metres: 0, cores: [] };
    entry.metres += lead.cableM;
    entry.cores.push(...cores);
    alike.set(key, entry);
  }
  return [...alike.values()].map(({ first, metres, cores }) => {
    const colours = [...new Set(cores.map(({ colour }) => COLOURS[colour]))];
    const mm2 = cores[0]?.mm2 ?? 0.75;
    return {
      quantity: `${metres.toFixed(1)} m`,
      references: cores.map(({ id }) => id).join(' '),
      value: `${colours.length} x ${mm2} mm²`,
      what: `Cable, round, finely stranded, insulation and sheath of silicone, ${colours.length} cores of ${mm2} mm² (AWG ${WIRE_SIZES[mm2].awg}), ${colours.join(' and ')}, ${spanText(first.outerMm)} thick, for ${first.bearsC} °C or more: its data sheet states both`,
      substitutes:
        'PVC for 90 °C (H03V2V2-F) to the pump: to the mat it pulls at the scale; never plain PVC (70 °C) to the mat; never a flat cable: no plug seals on it',
      where: 'from the plugs in the wall to mat and pump',
      example: 'SiHF 2 x 0,75',
      euro: euroText(CABLE_EURO),
    };
  });
}

/** Leads that come with what they belong to, and cores of cables, are no single wires to buy. */
const isSingle = (circuit: Circuit, { from, to }: Wire): boolean =>
  ![from, to].some((pin) => isOutside(circuit, splitPin(pin).ref));

function wireRows(circuit: Circuit): Row[] {
  const metres = new Map<string, { mm2: WireMm2; colour: string; length: number; ids: string[] }>();
  const inLid = OPENINGS.flatMap(({ face, part }) =>
    face === 'lid' && part !== null ? [part] : [],
  );
  for (const wire of circuit.wires.filter((one) => isSingle(circuit, one))) {
    const ends = [wire.from, wire.to].map((pin) => splitPin(pin).ref);
    const key = `${wire.mm2} ${wire.colour}`;
    const entry = metres.get(key) ?? {
      mm2: wire.mm2,
      colour: COLOURS[wire.colour],
      length: 0,
      ids: [],
    };
    entry.length += ends.some((ref) => inLid.includes(ref)) ? TO_LID_M : INSIDE_M;
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
    ...EXTRAS.map(({ euro, example = '', ...extra }) => ({
      ...extra,
      references: '',
      value: '',
      example,
      euro: euroText(euro),
    })),
    ...cableRows(circuit),
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
