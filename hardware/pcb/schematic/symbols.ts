/** KiCad's library symbols: one for each kind of part, and one for each module or connector as its sheets draw it. */
import type { PinRole } from '../../circuit/kinds';
import type { Point } from '../../draw/svg';
import { type Form, q } from '../expression';
import type { KicadPart } from '../projects';
import { box, polyline, ring, type Shape, words } from './symbol-shapes';

/** The project's own library, beside its sheets. */
export const LIBRARY = 'trayward';

export const font = (size: number, ...more: readonly Form[]): Form => [
  'effects',
  ['font', ['size', size, size]],
  ...more,
];
export const HIDDEN: Form = ['hide', 'yes'];

export const property = (
  name: string,
  value: string,
  at: readonly [number, number, number],
  ...effects: readonly Form[]
): Form => ['property', q(name), q(value), ['at', ...at], font(1.27, ...effects)];

/** KiCad's word for what a pin does. Grounds want to be told where they get their level from, as supplies do. */
export const ELECTRICAL: Readonly<Record<PinRole, string>> = {
  source: 'power_out',
  sink: 'power_in',
  ground: 'power_in',
  output: 'output',
  input: 'input',
  analog: 'input',
  passive: 'passive',
};

export const wantsDriver = (role: PinRole): boolean => role === 'sink' || role === 'ground';

interface PinForm {
  readonly role: string;
  readonly at: readonly [number, number, number];
  readonly length: number;
  readonly name: string;
  readonly pad: string;
  readonly hidden: boolean;
}

const pinForm = ({ role, at, length, name, pad, hidden }: PinForm): Form => [
  'pin',
  role,
  'line',
  ['at', ...at],
  ['length', length],
  ...(hidden ? [HIDDEN] : []),
  ['name', q(name), font(1.27)],
  ['number', q(pad), font(1)],
];

interface Head {
  readonly id: string;
  readonly letter: string;
  readonly what: string;
  readonly showNumbers: boolean;
  readonly showNames: boolean;
  readonly power?: boolean;
}

function symbol(head: Head, units: readonly (readonly [string, readonly Form[]])[]): Form {
  return [
    'symbol',
    q(`${LIBRARY}:${head.id}`),
    ...(head.power === true ? [['power'] as const] : []),
    ...(head.showNumbers ? [] : [['pin_numbers', HIDDEN] as const]),
    ['pin_names', ['offset', 0.8], ...(head.showNames ? [] : [HIDDEN])],
    ['exclude_from_sim', 'no'],
    ['in_bom', 'yes'],
    ['on_board', 'yes'],
    property('Reference', head.letter, [0, 2.54, 0]),
    property('Value', head.id, [0, -2.54, 0]),
    property('Footprint', '', [0, 0, 0], HIDDEN),
    property('Datasheet', '', [0, 0, 0], HIDDEN),
    property('Description', head.what, [0, 0, 0], HIDDEN),
    ...units.map(([suffix, forms]): Form => ['symbol', q(`${head.id}_${suffix}`), ...forms]),
    ['embedded_fonts', 'no'],
  ];
}

const letterOf = (ref: string): string => ref.replace(/\d+$/, '');

/** A part with a symbol of its own. Legs of one pin lie on top of each other; the first is shown. */
export function partSymbol(part: KicadPart, shape: Shape): { id: string; form: Form } {
  const id = `${shape.id}${padSuffix(part, shape)}`;
  const pins = shape.pins.flatMap((spot) =>
    (part.pads.get(spot.name) ?? []).map((pad, index) =>
      pinForm({
        role: ELECTRICAL[part.part.pins[spot.name] ?? 'passive'],
        at: [spot.x, spot.y, spot.turn],
        length: spot.length,
        name: spot.name,
        pad,
        hidden: index > 0,
      }),
    ),
  );
  const head = {
    id,
    letter: letterOf(part.ref),
    what: part.part.ratings.kind,
    showNumbers: shape.showNumbers,
    showNames: false,
  };
  return {
    id,
    form: symbol(head, [
      ['0_1', shape.lines],
      ['1_1', pins],
    ]),
  };
}

/** Two packages of one kind of transistor are two symbols. */
function padSuffix(part: KicadPart, shape: Shape): string {
  if (!shape.showNumbers) return '';
  return `_${[...part.pads].map(([name, pads]) => `${name}${pads.join('')}`).join('_')}`;
}

export interface PoleSpot {
  readonly pin: string;
  readonly words: string;
  readonly label: Point & { readonly anchor?: 'start' | 'middle' | 'end' };
}

const ANCHOR = { start: 'left', middle: undefined, end: 'right' } as const;

/** A connector whose poles stand where they are used: a unit for each, with its name beside it. */
export function poleSymbol(part: KicadPart, poles: readonly PoleSpot[]): Form {
  const units = poles.map(({ pin, words: text, label }, index): readonly [string, Form[]] => [
    `${index + 1}_1`,
    [
      ring([0, 0], 0.9),
      words(
        text,
        [label.x, label.x === 0 ? -label.y : 0.9 - label.y],
        1.2,
        ANCHOR[label.anchor ?? 'middle'],
      ),
      ...(part.pads.get(pin) ?? []).map((pad) =>
        pinForm({
          role: ELECTRICAL[part.part.pins[pin] ?? 'passive'],
          at: [0, 0, 0],
          length: 0,
          name: pin,
          pad,
          hidden: false,
        }),
      ),
    ],
  ]);
  const head = {
    id: part.ref,
    letter: letterOf(part.ref),
    what: part.bought,
    showNumbers: false,
    showNames: false,
  };
  return symbol(head, units);
}

export interface BoxSpot {
  readonly halfWidth: number;
  readonly halfHeight: number;
  /** Pins from the middle of the box, y upwards. */
  readonly pins: ReadonlyMap<string, Point>;
}

/** A module: a box with its pins at the sides. */
export function moduleSymbol(part: KicadPart, spot: BoxSpot): Form {
  const { halfWidth, halfHeight } = spot;
  const pins = [...spot.pins].flatMap(([name, { x, y }]) =>
    (part.pads.get(name) ?? []).map((pad) =>
      pinForm({
        role: ELECTRICAL[part.part.pins[name] ?? 'passive'],
        at: [x, y, x < 0 ? 0 : 180],
        length: Math.abs(x) - halfWidth,
        name,
        pad,
        hidden: false,
      }),
    ),
  );
  const head = {
    id: part.ref,
    letter: letterOf(part.ref),
    what: part.bought,
    showNumbers: part.footprint !== null,
    showNames: true,
  };
  const body = box([-halfWidth, halfHeight], [halfWidth, -halfHeight]);
  return symbol(head, [
    ['0_1', [body]],
    ['1_1', pins],
  ]);
}

const powerPin = (role: string): Form =>
  pinForm({ role, at: [0, 0, 0], length: 0, name: '', pad: '1', hidden: false });

/** The symbol of a ground: a net of that name on every sheet. */
export function groundSymbol(net: string, quiet: boolean): Form {
  const lines = quiet
    ? [polyline('0,0 0,-1.27'), polyline('-1.9,-1.27 1.9,-1.27 0,-3.6 -1.9,-1.27')]
    : [
        polyline('0,0 0,-1.27'),
        polyline('-2,-1.27 2,-1.27'),
        polyline('-1.3,-2 1.3,-2'),
        polyline('-0.6,-2.7 0.6,-2.7'),
      ];
  const head = {
    id: net,
    letter: '#PWR',
    what: `net ${net}`,
    showNumbers: false,
    showNames: false,
    power: true,
  };
  return symbol(head, [
    ['0_1', lines],
    ['1_1', [powerPin('power_in')]],
  ]);
}

/** Tells KiCad's rules that a net has its level from somewhere, though no pin of a symbol says so. */
export const POWER_FLAG: Form = symbol(
  {
    id: 'PWR_FLAG',
    letter: '#FLG',
    what: 'says that a net is fed',
    showNumbers: false,
    showNames: false,
    power: true,
  },
  [
    ['0_1', [polyline('0,0 0,1.27 -1,1.9 0,2.54 1,1.9 0,1.27')]],
    ['1_1', [powerPin('power_out')]],
  ],
);
