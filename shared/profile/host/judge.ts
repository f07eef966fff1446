/** What growers and published trials say of a profile that the board would accept. Pure. */
import { cropOrNull } from '../../crops/library/library';
import { capacityWaterMl } from '../../physics/dry-back';
import { DAY_S } from '../../units/time';
import { PROFILE_LIMITS as LIMITS } from '../limits';
import type { Profile, Stage } from '../profile';
import { spreadNeedMl } from '../spread';
import { type Emergence, emergenceOf } from './emergence';
import { judgeGerminationBand } from './germination-band';
import type { SourceProblem } from './problem';
import type { ProfileFile } from './schema';
import type { Source } from './source';

/** Time without water after sowing that common practice asks for. */
const SOWING_HOLD_MIN_S = 5 * DAY_S;
const MM2_PER_M2 = 1e6;
/** Sizes are told to the millimetre, and wool gives. */
const COVER_MOST_SHARE = 1.05;

/** A germination band beyond published limits is refused; the rest is advice. */
export function judge(profile: Profile, source: Source): SourceProblem[] {
  const [first] = profile.stages;
  if (first === undefined) return [];
  return [
    ...judgeBand(profile.crop, first, source),
    ...judgeSowing(first, source),
    ...judgeEmergence(first, emergenceOf(profile), source),
    ...judgeTransplant(profile.stages, source),
    ...judgeSpread(profile, source),
    ...judgeSmallTray(profile, source),
  ];
}

/** A crop that is not in the library is neither refused nor advised. */
function judgeBand(name: string, { band }: Stage, source: Source): SourceProblem[] {
  const crop = cropOrNull(name);
  if (crop === null) return [];
  const judged = judgeGerminationBand(crop, band);
  const at = ['stages', 0, 'band', 'high'];
  if (!judged.ok) return [source.problemAt(at, { why: judged.why })];
  const { advice } = judged.value;
  return advice === null ? [] : [source.problemAt(at, { severity: 'warning', why: advice })];
}

function judgeSowing({ kind, end }: Stage, source: Source): SourceProblem[] {
  const holdS = end.mark === null ? end.afterS : Number.POSITIVE_INFINITY;
  if (kind === 'hold' && (holdS === 0 || holdS >= SOWING_HOLD_MIN_S)) return [];
  return [
    source.problemAt(['stages', 0], {
      severity: 'warning',
      why: 'Sown plugs want no water for five to six days, and this stage does not leave them that long.',
      source: 'common practice',
    }),
  ];
}

function judgeEmergence(
  { end }: Stage,
  emergence: Emergence | null,
  source: Source,
): SourceProblem[] {
  if (emergence === null || end.afterS === 0 || end.afterS >= emergence.days * DAY_S) return [];
  return [
    source.problemAt(['stages', 0, 'until', 'after'], {
      severity: 'warning',
      why: `Seed takes about ${Math.round(emergence.days)} d to come up in this band: this stage ends before, on bare wool.`,
      source: emergence.source,
    }),
  ];
}

function judgeTransplant(stages: readonly Stage[], source: Source): SourceProblem[] {
  return stages.flatMap(({ end }, i) => {
    const short = end.afterS > 0 && end.afterS < LIMITS.transplantHoldMinS;
    if (stages[i - 1]?.end.mark !== 'transplanted' || !short) return [];
    return [
      source.problemAt(['stages', i, 'until', 'after'], {
        severity: 'warning',
        why: 'Transplanted roots are usually left alone for three days or more.',
        source: 'common practice',
      }),
    ];
  });
}

/** A tube end among many pieces wets those around it. */
function judgeSpread({ spread, media, stages }: Profile, source: Source): SourceProblem[] {
  const [worst] = stages
    .flatMap(({ watering, medium }, i) => {
      const pieces = media[medium]?.pieces ?? 1;
      return watering === null ? [] : [{ i, pieces, doseMl: watering.doseMl }];
    })
    .sort((a, b) => a.doseMl / a.pieces - b.doseMl / b.pieces);
  if (worst === undefined || worst.pieces === 1) return [];
  const { i, pieces, doseMl } = worst;
  if (spread === null) {
    return [
      source.problemAt(['stages', i, 'water', 'dose'], {
        severity: 'warning',
        why: `From one tube, ${doseMl} ml into ${pieces} pieces is ${(doseMl / pieces).toFixed(1)} ml each, and most of it stays where the tube ends. Say under "spread:" what leads it to every piece: matting, a drilled manifold or channels.`,
        source: 'common practice',
      }),
    ];
  }
  if (spread.by !== 'drilled-manifold' || spread.outlets >= pieces) return [];
  return [
    source.problemAt(['spread', 'outlets'], {
      severity: 'warning',
      why: `${spread.outlets} outlets for ${pieces} pieces: those without one stay dry, unless matting lies under them.`,
      source: 'common practice',
    }),
  ];
}

/** Pieces that cover more than what waters them do not all stand on it. The file's own lengths: the image keeps volumes. */
export function judgeRoom({ media, spread }: ProfileFile, source: Source): SourceProblem[] {
  if (spread === undefined) return [];
  const areaM2 = (spread.length * spread.width) / MM2_PER_M2;
  return media.flatMap(({ pieces, length, width }, i) => {
    const coveredM2 = (pieces * length * width) / MM2_PER_M2;
    if (coveredM2 <= areaM2 * COVER_MOST_SHARE) return [];
    return [
      source.problemAt(['media', i, 'pieces'], {
        severity: 'warning',
        why: `${pieces} pieces of ${length} by ${width} mm cover ${coveredM2.toFixed(2)} m², and what waters them under "spread:" ${areaM2.toFixed(2)} m²: those that do not stand on it stay dry. Correct their count or size, or the length and width of what waters them.`,
        source: null,
      }),
    ];
  });
}

/** A tray of few pieces lacks less, when it is too dry, than what leads water to them needs: it would never be watered in time. */
function judgeSmallTray({ spread, media, stages }: Profile, source: Source): SourceProblem[] {
  if (spread === null) return [];
  const needMl = spreadNeedMl(spread);
  return stages.flatMap(({ watering, medium, rescue, name }, i) => {
    const wool = media[medium];
    if (watering === null || wool === undefined) return [];
    const lacksMl = rescue.share * capacityWaterMl(wool);
    if (lacksMl >= needMl) return [];
    const pieces = `${wool.pieces} ${wool.pieces === 1 ? 'piece lacks' : 'pieces lack'}`;
    return [
      source.problemAt(['stages', i, 'rescue', 'at'], {
        why: `In "${name}" ${pieces} ${Math.round(lacksMl)} ml when too dry, and a dose reaches every piece only from ${Math.round(needMl)} ml on: it would come too late. Take matting cut to these pieces, or fewer outlets, and say so under "spread:".`,
        source: 'common practice',
      }),
    ];
  });
}
