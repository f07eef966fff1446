/** The size of a piece of stone wool, as it is typed. */
import {
  NAMED_PIECES,
  PIECE_LIMITS,
  type PieceName,
  type PieceSize,
  pieceForm,
} from '../../shared/physics/soak';
import { didYouMean } from '../../shared/text/nearest';
import { formatQuantity, parseQuantity, type UnitSystem } from '../../shared/units';
import { usage } from '../failure';
import { type Reader, shortened } from './options';
import { rangeText } from './within';

/** What a grower calls the sizes of the trade. */
export const PIECE_NAMES = Object.keys(NAMED_PIECES);
const isNamed = (word: string): word is PieceName => Object.hasOwn(NAMED_PIECES, word);

/** What the trade has: plugs and blocks, and slabs. */
function sizesText(units: UnitSystem): string {
  const { sideLeastMm, blockMostMm, slabMostMm } = PIECE_LIMITS;
  const blocks = rangeText('length', sideLeastMm, blockMostMm, units);
  const slab = slabMostMm.map((side) => formatQuantity('length', side, units)).join(' x ');
  return `plugs and blocks have sides of ${blocks}, and no slab is larger than ${slab}`;
}

/** Length x width x height with one unit; null for what is none. */
function written(word: string): PieceSize | null {
  const [, length, width, height, unit] =
    /^([\d.]+)\s*x\s*([\d.]+)\s*x\s*([\d.]+)\s*([a-z"]+)$/.exec(word) ?? [];
  const sides = [length, width, height].map((side) => parseQuantity('length', `${side} ${unit}`));
  const [lengthMm, widthMm, heightMm] = sides.map((side) => (side.ok ? side.value : Number.NaN));
  if (lengthMm === undefined || widthMm === undefined || heightMm === undefined) return null;
  const size = { lengthMm, widthMm, heightMm };
  return pieceForm(size) === null ? null : size;
}

/** A name of the trade or three sides, as the trade has them; or null. */
export const pieceSize: Reader<PieceSize | null> = (typed, flag, units) => {
  if (typeof typed !== 'string') return null;
  const word = typed.trim().toLowerCase();
  const size = isNamed(word) ? NAMED_PIECES[word] : written(word);
  if (size !== null) return size;
  throw usage(
    `${flag} ${shortened(typed)} is no size of stone wool: ${sizesText(units)}.${didYouMean(word, PIECE_NAMES)}`,
    `Give one of ${PIECE_NAMES.join(', ')}, or length x width x height such as 100x100x65mm.`,
  );
};

/** The same of a piece that is sown in: a plug or a block. */
export const plugSize: Reader<PieceSize | null> = (typed, flag, units) => {
  const size = pieceSize(typed, flag, units);
  if (size === null || pieceForm(size) !== 'slab') return size;
  throw usage(
    `${flag} ${shortened(String(typed))} is a slab, and nothing is sown in one.`,
    `Give a plug or a block: ${PIECE_NAMES.filter((name) => !name.startsWith('slab')).join(', ')}, or its three sides.`,
  );
};
