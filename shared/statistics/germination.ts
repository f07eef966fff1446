/**
 * What the seed trade reckons from counts of emergence: how much comes up, how fast, and how evenly. Indices as
 * Ranal and de Santana 2006 (Revista Brasileira de Botânica 29:1) collect them. Times are days from sowing.
 */

/** So many stood, of those sown, when it was counted. */
export interface StandCount {
  readonly day: number;
  readonly standing: number;
}

/** So many came up between the count before and this one: they are booked on its day. */
export interface NewlyUp {
  readonly day: number;
  readonly count: number;
}

/** How evenly and fast, of those that came up; NaN where so few cannot tell. */
export interface EmergencePace {
  /** Days until half of them were up, by straight lines between counts; null when that was before the first count. */
  readonly t50FarooqDay: number | null;
  readonly t50CoolbearDay: number | null;
  /** Mean time to emergence, days; standard deviation, and standard error of the mean. */
  readonly meanDays: number;
  readonly sdDays: number;
  readonly seDays: number;
  /** Mean rate, 1/day, and coefficient of velocity, per cent per day (Kotowski 1926): 100 times it. */
  readonly meanRatePerDay: number;
  readonly velocityPercentPerDay: number;
  /** Sum of seedlings a day: speed of emergence (Maguire 1962). */
  readonly speedPerDay: number;
  /** Spread of the times as a share of their mean, per cent. */
  readonly cvTimePercent: number;
  /** 1 when all come up at one count, 0 when no two do (Primack 1980). */
  readonly synchrony: number;
  /** Bit: 0 when all come up at one count (Labouriau and Valadares 1976). */
  readonly uncertaintyBit: number;
  /** Coefficient of uniformity (Heydecker 1972), 1/day2. */
  readonly uniformityPerDay2: number;
}

/**
 * What came up from count to count. Plants that fell since are no negative emergence: a count below the most so far
 * adds nothing. `counts` in the order of their days.
 */
export function newlyUp(counts: readonly StandCount[]): readonly NewlyUp[] {
  let most = 0;
  return counts.map(({ day, standing }) => {
    const count = Math.max(0, standing - most);
    most = Math.max(most, standing);
    return { day, count };
  });
}

const sumOf = (rows: readonly NewlyUp[], of: (row: NewlyUp) => number): number =>
  rows.reduce((sum, row) => sum + of(row), 0);

/** The pace of emergence; null while nothing is up. */
export function emergencePace(rows: readonly NewlyUp[]): EmergencePace | null {
  const total = sumOf(rows, ({ count }) => count);
  if (total === 0) return null;
  const meanDays = sumOf(rows, ({ day, count }) => day * count) / total;
  const squares = sumOf(rows, ({ day, count }) => count * (day - meanDays) ** 2);
  const variance = total > 1 ? squares / (total - 1) : Number.NaN;
  const pairs = (total * (total - 1)) / 2;
  return {
    t50CoolbearDay: dayOfRank(rows, (total + 1) / 2),
    t50FarooqDay: dayOfRank(rows, total / 2),
    meanDays,
    sdDays: Math.sqrt(variance),
    seDays: Math.sqrt(variance / total),
    meanRatePerDay: 1 / meanDays,
    velocityPercentPerDay: 100 / meanDays,
    speedPerDay: sumOf(rows, ({ day, count }) => count / day),
    cvTimePercent: (100 * Math.sqrt(variance)) / meanDays,
    synchrony:
      pairs > 0 ? sumOf(rows, ({ count }) => (count * (count - 1)) / 2) / pairs : Number.NaN,
    uncertaintyBit: -sumOf(rows, ({ count }) =>
      count === 0 ? 0 : (count / total) * Math.log2(count / total),
    ),
    uniformityPerDay2: squares > 0 ? total / squares : Number.NaN,
  };
}

/**
 * Day on which the `rank`-th came up, straight between the counts on either side: with `(total + 1) / 2` the T50 of
 * Coolbear et al. 1984 (Journal of Experimental Botany 35:1609), with `total / 2` as Farooq et al. 2005 (Journal of
 * Integrative Plant Biology 47:187) have it. Null when it was up at the first count: nobody saw when it came.
 */
function dayOfRank(rows: readonly NewlyUp[], rank: number): number | null {
  let upBefore = 0;
  for (const [i, { day, count }] of rows.entries()) {
    const up = upBefore + count;
    // A rank that a count meets exactly came up by its day: some programs go on to the next one and are late.
    if (up >= rank) {
      const before = rows[i - 1];
      if (before === undefined) return null;
      return before.day + ((rank - upBefore) / count) * (day - before.day);
    }
    upBefore = up;
  }
  return null;
}

/** Day on which `share` of those sown stood, by the same straight lines; null when that has not been seen. */
export function dayOfShare(rows: readonly NewlyUp[], sown: number, share: number): number | null {
  return dayOfRank(rows, sown * share);
}
