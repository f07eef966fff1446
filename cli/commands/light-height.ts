/** `light height`: what light a lamp gives at another height, and how high a lamp hangs that gives the light wanted. */
import type { Command } from 'commander';
import {
  HEIGHT_LIMITS,
  heightForRatio,
  type LampShape,
  lightRatio,
} from '../../shared/physics/lamp-height';
import { LIGHT_LIMITS } from '../../shared/physics/light';
import { distancesLike, formatQuantity, parseQuantity } from '../../shared/units';
import { needed, type Reader, shortened } from '../arguments/options';
import { ppfd } from '../arguments/ppfd';
import { numberWithin, rangeText, within } from '../arguments/within';
import type { Act, Context } from '../context';
import { refused, usage } from '../failure';
import { table, wrap } from '../terminal/output';
import { LAMP_CAUTION } from '../words/light';

const EXAMPLE =
  'For example: trayward light height --at 40cm --ppfd 300umol --want 150umol --panel 60x60cm';
const { leastM, mostM, sideLeastM, sideMostM } = HEIGHT_LIMITS;
const HEIGHT = within('distance', leastM, mostM, 'It is measured from lamp to leaves.', EXAMPLE);
const SIDE = within('distance', sideLeastM, sideMostM, 'Measure what shines.', EXAMPLE);
/** Less is dark: no lamp hangs for it. */
const PPFD = ppfd(0.1, EXAMPLE);
/** A lamp is changed for one that is this much stronger or weaker at the most. */
const TIMES_LEAST = 0.01;
const TIMES_MOST = 100;

/** `60x60cm`: two sides, the unit once or twice. */
const panel: Reader<LampShape | null> = (typed, flag, units) => {
  if (typeof typed !== 'string') return null;
  const [, length, lengthUnit, width, unit] =
    /^([\d.]+)\s*([a-z"']*)\s*[x×]\s*([\d.]+)\s*([a-z"']+)$/i.exec(typed.trim()) ?? [];
  if (width === undefined || !parseQuantity('distance', `${width} ${unit}`).ok) {
    throw usage(
      `${flag} ${shortened(typed)} is no size of a panel: two sides of ${rangeText('distance', sideLeastM, sideMostM, units)}. Measure what shines.`,
      'Write it as 60x60cm, or 24x48in.',
    );
  }
  return {
    kind: 'panel',
    lengthM: needed(SIDE)(`${length} ${lengthUnit || unit}`, flag, units),
    widthM: needed(SIDE)(`${width} ${unit}`, flag, units),
  };
};

const disc: Reader<LampShape | null> = (typed, flag, units) => {
  const diameterM = SIDE(typed, flag, units);
  return diameterM === null ? null : { kind: 'disc', diameterM };
};

const OPTIONS = {
  at: needed(HEIGHT, EXAMPLE),
  ppfd: PPFD,
  want: PPFD,
  height: HEIGHT,
  times: numberWithin(
    TIMES_LEAST,
    TIMES_MOST,
    'It is the light of the new lamp for each of the old one; lamps differ by no more.',
    EXAMPLE,
  ),
  panel,
  round: disc,
};

interface Asked {
  readonly at: number;
  readonly ppfd: number | null;
  readonly want: number | null;
  readonly height: number | null;
  /** What the lamp that is to hang gives, for each that the present one gives at the same height. */
  readonly times: number;
}

/** The height asked for, or the one that gives what is wanted: the light there was before, where only the lamp changes. */
function heightOf({ at, ppfd, want, height, times }: Asked, shape: LampShape): number {
  if (height !== null) return height;
  if (want !== null && ppfd === null) throw usage('--want needs --ppfd: the light now.', EXAMPLE);
  const ratio = (want === null || ppfd === null ? 1 : want / ppfd) / times;
  const found = heightForRatio(shape, at, ratio);
  if (found.ok) return found.value;
  throw refused(
    'no-such-height',
    found.why,
    'Change --want, or tell --times what another lamp gives, and ask again.',
  );
}

/** Heights of the table, as parts of the one found. */
const TABLE_PARTS = [0.5, 0.75, 1, 1.5, 2, 3];

function heightResult(asked: Asked, shape: LampShape) {
  const { at, ppfd, times } = asked;
  const heightM = heightOf(asked, shape);
  const lightAt = (m: number) => {
    const ratio = times * lightRatio(shape, at, m);
    return { heightM: m, times: ratio, ppfdUmol: ppfd === null ? null : ppfd * ratio };
  };
  return {
    ...lightAt(heightM),
    raiseM: heightM - at,
    shape: shape.kind,
    around: TABLE_PARTS.map((part) => part * heightM)
      .filter((m) => m >= leastM && m <= mostM)
      .map(lightAt)
      // No lamp that stands over plants gives more.
      .filter(({ ppfdUmol }) => ppfdUmol === null || ppfdUmol <= LIGHT_LIMITS.ppfdMostUmol),
  };
}
export type HeightResult = ReturnType<typeof heightResult>;

const SHAPE_TEXT: Readonly<Record<LampShape['kind'], string>> = {
  point:
    'Reckoned as a small lamp: half the height is four times the light. That holds from five times its longest measure on (IES); for a panel give --panel, or --round.',
  panel: 'Reckoned as an even panel, under its middle; towards its edges there is less.',
  disc: 'Reckoned as an even disc, under its middle; towards its edge there is less.',
};

/** Lower than this, a lamp that is hot, or not even, burns leaves. */
const CLOSE_M = 0.1;

function heightText(result: HeightResult, { style, units }: Context): string {
  const m = distancesLike(result.heightM, units);
  const { heightM, raiseM, ppfdUmol, times } = result;
  const light = (one: { times: number; ppfdUmol: number | null }): string =>
    one.ppfdUmol === null
      ? `${Number(one.times.toPrecision(2))} times`
      : formatQuantity('ppfd', Number(one.ppfdUmol.toPrecision(2)), units);
  const move =
    Math.abs(raiseM) < 0.005
      ? 'where the present one hangs'
      : `${m(Math.abs(raiseM))} ${raiseM > 0 ? 'higher' : 'lower'} than now`;
  const ofNow =
    Math.abs(times - 1) < 0.005
      ? 'the same light as there is now'
      : `${light(result)} the light there is now`;
  const given = ppfdUmol === null ? ofNow : light(result);
  const sentences = [
    `${m(heightM)} above the leaves, ${move}, it gives ${given}.`,
    SHAPE_TEXT[result.shape],
    'Walls that throw light back make it fall off less. Measure at the leaves when it hangs, and raise it as they grow.',
    ...(heightM < CLOSE_M
      ? ['So close, heat and bright spots burn leaves: look again after an hour.']
      : []),
  ];
  const rows = result.around.map((one) => [m(one.heightM), light(one)]);
  const columns = [
    { title: 'above leaves', align: 'right' },
    { title: 'light', align: 'right' },
  ] as const;
  return [
    ...sentences.map((text) => wrap(text, style.width)),
    '',
    table(columns, rows, style),
  ].join('\n');
}

/** Gives `light` its verb `height`. */
export function registerHeight(noun: Command, act: Act): void {
  noun
    .command('height')
    .description('light of a lamp at another height, and how high to hang a lamp')
    .option('--at <distance>', 'how high above the leaves the lamp hangs now, such as 40cm')
    .option('--ppfd <light>', 'the light it gives there, under its middle, such as 300umol')
    .option('--want <light>', 'the light wanted: how high then?')
    .option('--height <distance>', 'or a height: how much light there?')
    .option(
      '--times <number>',
      'for a new lamp: its light for each of the old one, such as 1.6 for 480 in place of 300 umol/s on the labels',
    )
    .option('--panel <size>', 'the lamp is a panel, such as 60x60cm: its light falls off less')
    .option('--round <distance>', 'the lamp is a round panel of this diameter')
    .action(
      act(OPTIONS, async (context, options) => {
        const { want, height, times } = options;
        if (want !== null && height !== null) {
          throw usage('Give --want or --height, not both.', EXAMPLE);
        }
        if (want === null && height === null && times === null) {
          throw usage('Nothing is asked: --want, --height or --times is missing.', EXAMPLE);
        }
        if (options.panel !== null && options.round !== null) {
          throw usage('Give --panel or --round, not both.', EXAMPLE);
        }
        const shape = options.panel ?? options.round ?? ({ kind: 'point' } as const);
        const result = heightResult({ ...options, times: times ?? 1 }, shape);
        context.caution(LAMP_CAUTION);
        return { result, text: heightText(result, context) };
      }),
    );
}
