/** The list of wires as a sheet: from where to where, colour, copper, and of which lead each is a core. */
import { splitPin } from '../circuit/circuit';
import { type Circuit, COLOURS, WIRE_SIZES, type Wire } from '../circuit/kinds';
import { isOutside } from '../circuit/leads';
import { LINE, line, sheet, text } from './svg';

/** What a wire is where it is no single one. */
function partOf(circuit: Circuit, { from, to }: Wire): string {
  const refs = [from, to].map((pin) => splitPin(pin).ref);
  const outside = refs.filter((ref) => isOutside(circuit, ref));
  if (outside.length === 0) return '';
  if (outside.length === refs.length) return 'their own leads';
  const plug = refs.find((ref) => /^J\d/.test(ref));
  return plug === undefined ? `lead of ${outside[0]}` : `cable at ${plug}`;
}

/** Columns of the list: what is at its top, how far from its left edge, mm, and what a wire has there. */
const CELLS: readonly (readonly [string, number, (wire: Wire, circuit: Circuit) => string])[] = [
  ['', 0, ({ id }) => id],
  ['from', 10, ({ from }) => from.replace('.', ' ')],
  ['to', 34, ({ to }) => to.replace('.', ' ')],
  ['colour', 58, ({ colour }) => `${colour} ${COLOURS[colour]}`],
  ['mm²', 78, ({ mm2 }) => String(mm2)],
  ['AWG', 90, ({ mm2 }) => String(WIRE_SIZES[mm2].awg)],
  ['core of', 101, (wire, circuit) => partOf(circuit, wire)],
];

const TOP_MM = 30;
const LIST = { left: 11, apart: 141, columns: 2, row: 6.6 } as const;

/** The whole list in two columns. */
export function drawWires(circuit: Circuit): string {
  const each = Math.ceil(circuit.wires.length / LIST.columns);
  const lefts = Array.from({ length: LIST.columns }, (_, i) => LIST.left + i * LIST.apart);
  return sheet(
    'Wires: the list to the wiring picture',
    'Colours with the letters of IEC 60757. No entry under "core of": a single stranded wire inside the enclosure, ferrules on both ends.',
    [
      ...lefts.flatMap((left) => [
        ...CELLS.map(([head, x]) => text({ x: left + x, y: TOP_MM }, head, { size: 2.6 })),
        line(
          { x: left, y: TOP_MM + 1.6 },
          { x: left + LIST.apart - 6, y: TOP_MM + 1.6 },
          { width: LINE.fine },
        ),
      ]),
      ...circuit.wires.flatMap((wire, i) =>
        CELLS.map(([, x, words]) =>
          text(
            {
              x: (lefts[Math.floor(i / each)] ?? 0) + x,
              y: TOP_MM + 7 + (i % each) * LIST.row,
            },
            words(wire, circuit),
            { size: 2.8, bold: x === 0 },
          ),
        ),
      ),
    ],
  );
}
