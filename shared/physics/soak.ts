/**
 * Soaking stone wool before use: how long by the size of a piece, and how much to mix. The wool comes out
 * of the furnace with lime on it, at pH 7 to 8; the soak takes that off.
 */
import { accept, decline, type Verdict } from './verdict';

/** Outer size of a piece. */
export interface PieceSize {
  readonly lengthMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

/** The sizes of the trade, by the names that a grower calls them. */
export const NAMED_PIECES = {
  'plug-25': { lengthMm: 25, widthMm: 25, heightMm: 40 },
  'plug-36': { lengthMm: 36, widthMm: 36, heightMm: 40 },
  'block-75': { lengthMm: 75, widthMm: 75, heightMm: 65 },
  'block-100': { lengthMm: 100, widthMm: 100, heightMm: 65 },
  'block-150': { lengthMm: 150, widthMm: 150, heightMm: 142 },
  'slab-900': { lengthMm: 900, widthMm: 150, heightMm: 75 },
  'slab-1000': { lengthMm: 1000, widthMm: 150, heightMm: 75 },
} as const satisfies Record<string, PieceSize>;
export type PieceName = keyof typeof NAMED_PIECES;

/** What the bath is brought to (common practice; below 5 the wool dissolves). */
export const SOAK_PH = 5.5;

export const PIECE_FORMS = ['plug', 'block', 'slab'] as const;
export type PieceForm = (typeof PIECE_FORMS)[number];

/**
 * What the trade has, mm: the longest, middle and shortest side at most. Plugs are cut from 10 mm on; blocks end at 6 in
 * a side; the largest slab is of 1,330 x 300 x 100 (facts of the trade).
 */
export const PIECE_LIMITS = {
  sideLeastMm: 10,
  blockMostMm: 160,
  slabMostMm: [1_330, 300, 100],
} as const;

/** Larger pieces that fit a block's sides are blocks. */
const PLUG_MOST_ML = 130;

const volumeMl = ({ lengthMm, widthMm, heightMm }: PieceSize): number =>
  (lengthMm * widthMm * heightMm) / 1000;

/** What a piece of this size is, whichever way it lies; null for one that nobody makes. */
export function pieceForm(size: PieceSize): PieceForm | null {
  const { sideLeastMm, blockMostMm, slabMostMm } = PIECE_LIMITS;
  const sides = [size.lengthMm, size.widthMm, size.heightMm].sort((a, b) => b - a);
  if (!sides.every((side) => side >= sideLeastMm)) return null;
  if (sides.every((side) => side <= blockMostMm)) {
    return volumeMl(size) <= PLUG_MOST_ML ? 'plug' : 'block';
  }
  return sides.every((side, i) => side <= (slabMostMm[i] ?? 0)) ? 'slab' : null;
}

interface SoakTime {
  readonly form: PieceForm;
  /** The largest piece of its form that it is for. */
  readonly upToMl: number;
  /** From, and at the latest; the same where one time is given. */
  readonly fromS: number;
  readonly toS: number;
}

const MIN_S = 60;

/**
 * Facts of the trade for plugs, blocks of 75 and 100 mm, of 150 mm (from the size halfway on), and slabs. Makers differ: one gives plugs 30 s and blocks a minute, hobby growers soak for hours.
 */
const SOAK_TIMES: readonly SoakTime[] = [
  { form: 'plug', upToMl: PLUG_MOST_ML, fromS: 15, toS: 30 },
  { form: 'block', upToMl: 1_500, fromS: 5 * MIN_S, toS: 5 * MIN_S },
  { form: 'block', upToMl: Number.POSITIVE_INFINITY, fromS: 15 * MIN_S, toS: 15 * MIN_S },
  { form: 'slab', upToMl: Number.POSITIVE_INFINITY, fromS: 30 * MIN_S, toS: 30 * MIN_S },
];

/** Of a piece's volume: full, 0.94 to 0.95 m3/m3 (Front. Plant Sci. 5:625; Acta Agrophysica 10:113); drained, 0.80 to 0.86. */
export const SATURATED_SHARE = 0.95;
export const DRAINED_SHARE = 0.8;
/** So much more than the pieces drink covers them to the end (common practice). */
const BATH_OVER_DRINK = 1.2;

/** A soak reckoned for all pieces together. */
export interface Soak {
  readonly form: PieceForm;
  readonly pieceMl: number;
  readonly fromS: number;
  readonly toS: number;
  /** What the pieces take up while they lie in it. */
  readonly drinkMl: number;
  /** What to mix. A slab is filled in its film, and takes no bath. */
  readonly mixMl: number;
  /** What stays in them, drained. */
  readonly keepMl: number;
}

/** More are not soaked at a time. */
export const PIECES_MAX = 10_000;

/** The soak of `pieces` of one size. Refuses a size that no stone wool for plants comes in. */
export function soakOf(size: PieceSize, pieces: number): Verdict<Soak> {
  const pieceMl = volumeMl(size);
  const made = pieceForm(size);
  const time = SOAK_TIMES.find(({ form, upToMl }) => form === made && pieceMl <= upToMl);
  if (time === undefined) return decline('No stone wool for plants is of that size.');
  if (!(pieces >= 1 && pieces <= PIECES_MAX)) {
    return decline(`There must be 1 to ${PIECES_MAX} pieces.`);
  }
  const drinkMl = pieces * pieceMl * SATURATED_SHARE;
  const { form, fromS, toS } = time;
  return accept({
    form,
    pieceMl,
    fromS,
    toS,
    drinkMl,
    mixMl: form === 'slab' ? drinkMl : drinkMl * BATH_OVER_DRINK,
    keepMl: pieces * pieceMl * DRAINED_SHARE,
  });
}
