/** `water soak`: what to mix and how long to soak stone wool, and a timer that goes along with it. */
import type { Command } from 'commander';
import {
  NAMED_PIECES,
  PIECE_LIMITS,
  PIECES_MAX,
  type PieceName,
  type PieceSize,
  pieceForm,
  SOAK_PH,
  type Soak,
  soakOf,
} from '../../shared/physics/soak';
import { didYouMean } from '../../shared/text/nearest';
import { formatQuantity, parseQuantity, type UnitSystem } from '../../shared/units';
import { given, needed, type Reader, shortened, whole } from '../arguments/options';
import { rangeText } from '../arguments/within';
import type { Act, Context } from '../context';
import { usage } from '../failure';
import { facts, wrap } from '../terminal/output';
import { aboutVolume } from '../words/about';
import { soakSteps } from '../words/soak';
import { ACID_CAUTION } from './acid';
import { countDown } from './timer';

const EXAMPLE =
  'For example: trayward water soak --pieces 98 --size plug-36, or --size 100x100x65mm';
const NAMES = Object.keys(NAMED_PIECES);
const isNamed = (word: string): word is PieceName => Object.hasOwn(NAMED_PIECES, word);

/** What the trade has: plugs and blocks, and slabs. */
function sizesText(units: UnitSystem): string {
  const { sideLeastMm, blockMostMm, slabMostMm } = PIECE_LIMITS;
  const blocks = rangeText('length', sideLeastMm, blockMostMm, units);
  const slab = slabMostMm.map((side) => formatQuantity('length', side, units)).join(' x ');
  return `plugs and blocks have sides of ${blocks}, and no slab is larger than ${slab}`;
}

/** A name of the trade, or length x width x height with one unit. */
const pieceSize: Reader<PieceSize | null> = (typed, flag, units) => {
  if (typeof typed !== 'string') return null;
  const word = typed.trim().toLowerCase();
  if (isNamed(word)) return NAMED_PIECES[word];
  const [, length, width, height, unit] =
    /^([\d.]+)\s*x\s*([\d.]+)\s*x\s*([\d.]+)\s*([a-z"]+)$/.exec(word) ?? [];
  const sides = [length, width, height].map((side) => parseQuantity('length', `${side} ${unit}`));
  const [lengthMm, widthMm, heightMm] = sides.map((side) => (side.ok ? side.value : Number.NaN));
  if (lengthMm !== undefined && widthMm !== undefined && heightMm !== undefined) {
    const size = { lengthMm, widthMm, heightMm };
    if (pieceForm(size) !== null) return size;
  }
  throw usage(
    `${flag} ${shortened(typed)} is no size of stone wool: ${sizesText(units)}.${didYouMean(word, NAMES)}`,
    `Give one of ${NAMES.join(', ')}, or length x width x height such as 100x100x65mm.`,
  );
};

const OPTIONS = {
  pieces: needed(
    whole(1, PIECES_MAX, 'It is how many pieces are soaked at a time.', EXAMPLE),
    EXAMPLE,
  ),
  size: needed(pieceSize, EXAMPLE),
  timer: given,
};

const MAKERS_DIFFER =
  'Times are those of the trade. Makers differ: one wets plugs for 30 s and blocks for a minute; your maker’s sheet goes first.';

const WOOL_CAUTION =
  'Dry stone wool itches and its dust is bad to breathe: gloves, sleeves, a mask.';

function soakText(soak: Soak, { units, style }: Context): string {
  const volume = (ml: number): string => aboutVolume(ml, units);
  const rows = [
    { label: 'Mix', value: volume(soak.mixMl), note: `the wool takes up ${volume(soak.drinkMl)}` },
    { label: 'Keeps', value: volume(soak.keepMl), note: 'once it has drained' },
  ];
  const steps = soakSteps(soak, units).map((step, i) => `${i + 1}. ${step}`);
  return `${facts(rows, style)}\n${wrap(`${steps.join('\n')}\n${MAKERS_DIFFER}`, style.width, 3)}`;
}

export function addSoak(noun: Command, act: Act): void {
  noun
    .command('soak')
    .description('how much to mix and how long to soak plugs, blocks or slabs of stone wool')
    .option('--pieces <count>', 'how many')
    .option('--size <size>', `${NAMES.join(', ')}, or 100x100x65mm`)
    .option('--timer', 'go along with it, step by step, at a terminal')
    .action(
      act(OPTIONS, async (context, { pieces, size, timer }) => {
        const soak = soakOf(size, pieces);
        if (!soak.ok) throw usage(soak.why, EXAMPLE);
        const text = soakText(soak.value, context);
        if (timer && !context.ask.possible) {
          throw usage(
            '--timer goes along with somebody at a terminal, and there is none.',
            'Leave --timer and --json out, or run it in a terminal.',
            'needs-a-terminal',
          );
        }
        context.caution(`${WOOL_CAUTION} ${ACID_CAUTION}`);
        if (timer) await countDown(context, soak.value);
        const { form, pieceMl, fromS, toS, mixMl, drinkMl, keepMl } = soak.value;
        return {
          result: { form, pieceMl, fromS, toS, ph: SOAK_PH, mixMl, drinkMl, keepMl },
          text: timer ? 'Soaked.' : text,
        };
      }),
    );
}
