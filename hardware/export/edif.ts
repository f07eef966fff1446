/**
 * The netlist as EDIF 2 0 0 (EIA-548, IEC 61690-1), level 0, view type NETLIST: the plain-text
 * interchange form that circuit and layout programs import. One library of cells (one for each
 * shape of part), one cell for the board. Also reads such a file back, so that the tests can prove
 * that nothing was lost.
 */
import type { Circuit, Part } from '../circuit/kinds';

/** EDIF identifiers: letters, digits, underscores; one that does not begin with a letter is led by `&`. */
export function edifName(name: string): string {
  const plain = name
    .replaceAll('+', '_P')
    .replace(/-$/, '_N')
    .replace(/[^A-Za-z0-9_]/g, '_');
  return /^[A-Za-z]/.test(plain) ? plain : `&${plain}`;
}

/** Strings are ASCII; what is outside is spelled. */
export function edifText(words: string): string {
  const ascii = words
    .replaceAll('Ω', 'ohm')
    .replaceAll('µ', 'u')
    .replaceAll('²', '2')
    .replaceAll('°', 'deg ')
    .replaceAll('±', '+/-')
    .replaceAll('"', "'")
    .replaceAll('%', 'percent')
    .replace(/[^\x20-\x7e]/g, '?');
  return `"${ascii}"`;
}

/** A name, renamed where the identifier is not the name itself. */
const named = (name: string): string =>
  edifName(name) === name ? name : `(rename ${edifName(name)} ${edifText(name)})`;

/** Parts with the same kind and pins share a cell. */
const cellOf = (part: Part): string =>
  edifName(`${part.ratings.kind}_${Object.keys(part.pins).join('_')}`).toUpperCase();

const DIRECTIONS = {
  source: 'OUTPUT',
  output: 'OUTPUT',
  input: 'INPUT',
  analog: 'INPUT',
  sink: 'INPUT',
  ground: 'INOUT',
  passive: 'INOUT',
} as const;

function cells(circuit: Circuit): string[] {
  const seen = new Set<string>();
  return circuit.parts.flatMap((part) => {
    const cell = cellOf(part);
    if (seen.has(cell)) return [];
    seen.add(cell);
    const ports = Object.entries(part.pins).map(
      ([pin, role]) => `          (port ${named(pin)} (direction ${DIRECTIONS[role]}))`,
    );
    return [
      `    (cell ${cell} (cellType GENERIC)`,
      '      (view NETLIST (viewType NETLIST)',
      '        (interface',
      `${ports.join('\n')})))`,
    ];
  });
}

function instances(circuit: Circuit): string[] {
  return circuit.parts.flatMap((part) => [
    `          (instance ${named(part.ref)} (viewRef NETLIST (cellRef ${cellOf(part)} (libraryRef PARTS)))`,
    `            (property VALUE (string ${edifText(part.value)}))`,
    `            (property DESCRIPTION (string ${edifText(part.purchase.what)}))`,
    `            (property PLACE (string ${edifText(part.place)})))`,
  ]);
}

function nets(circuit: Circuit): string[] {
  return circuit.nets.map((net) => {
    const ports = net.pins.map((pin) => {
      const dot = pin.indexOf('.');
      return `            (portRef ${edifName(pin.slice(dot + 1))} (instanceRef ${edifName(pin.slice(0, dot))}))`;
    });
    return `          (net ${named(net.name)} (joined\n${ports.join('\n')}))`;
  });
}

/** The whole file, ASCII, lines ended by a line feed. */
export function edif(circuit: Circuit): string {
  return [
    '(edif TRAYWARD',
    '  (edifVersion 2 0 0)',
    '  (edifLevel 0)',
    '  (keywordMap (keywordLevel 0))',
    '  (status (written (timeStamp 2000 1 1 0 0 0) (program "Trayward hardware/export")))',
    '  (library PARTS (edifLevel 0) (technology (numberDefinition))',
    `${cells(circuit).join('\n')})`,
    '  (library BOARD (edifLevel 0) (technology (numberDefinition))',
    '    (cell TRAYWARD (cellType GENERIC)',
    '      (view NETLIST (viewType NETLIST)',
    '        (interface)',
    '        (contents',
    ...instances(circuit),
    `${nets(circuit).join('\n')}))))`,
    '  (design TRAYWARD (cellRef TRAYWARD (libraryRef BOARD))))',
    '',
  ].join('\n');
}

/** A parsed expression: a word, or a list of them. */
export type Expression = string | readonly Expression[];

/** Reads one expression; throws with the place where brackets or quotes do not match. */
export function parseExpression(text: string): Expression {
  const tokens = text.match(/"[^"]*"|[()]|[^\s()"]+/g) ?? [];
  const stack: Expression[][] = [[]];
  for (const token of tokens) {
    if (token === '(') stack.push([]);
    else if (token === ')') {
      const done = stack.pop();
      const above = stack.at(-1);
      if (done === undefined || above === undefined)
        throw new Error('a bracket too many is closed');
      above.push(done);
    } else stack.at(-1)?.push(token);
  }
  const [only, ...rest] = stack[0] ?? [];
  if (stack.length !== 1 || only === undefined || rest.length > 0) {
    throw new Error('brackets do not match');
  }
  return only;
}

const isList = (value: Expression | undefined): value is readonly Expression[] =>
  Array.isArray(value);

/** Every list below `top` whose first word is `keyword`. */
export function findAll(top: Expression, keyword: string): (readonly Expression[])[] {
  if (!isList(top)) return [];
  const below = top.flatMap((part) => findAll(part, keyword));
  return top[0] === keyword ? [top, ...below] : below;
}
