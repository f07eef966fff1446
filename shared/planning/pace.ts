/** How many days a crop takes from sowing to emergence, and from there to transplanting, in this room. Pure. */
import type { Crop, CropStage, Published, Range, SourcedRange } from '../crops/library/crop';
import { emergence } from '../crops/library/emergence';
import { accept, decline, type Verdict } from '../physics/verdict';
import { judgeGerminationBand } from '../profile/host/germination-band';
import { inBothUnits } from '../units';
import { PLAN_LIMITS } from './limits';

/** Air of the room; the two are the same where it does not change. */
export interface Room {
  readonly nightC: number;
  readonly dayC: number;
}

/** Days as one source has them, or as they were reckoned from what it says. */
export interface SourcedDays extends SourcedRange {
  readonly by: 'trials' | 'thermal-time' | 'table';
}

/** Days over all sources, and those that a plan goes by. */
export interface Pace extends Range {
  readonly planned: number;
  readonly said: readonly SourcedDays[];
}

/** Root zone while seed comes up or cuttings root. */
export type RootZone = Room & {
  /** A mat holds it above the room. */
  readonly isWarmed: boolean;
  /** Who has the band that is held, or `the room`. */
  readonly source: string;
};

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
export const middle = ({ low, high }: Range): number => (low + high) / 2;
/** The middle of the most trusted source; null where nobody published any. */
export const firstMiddle = ([first]: Published): number | null =>
  first === undefined ? null : middle(first);

/** Over all sources; `planned` is the mean of their middles. */
function paceOf(said: readonly SourcedDays[]): Pace {
  return {
    low: Math.min(...said.map(({ low }) => low)),
    high: Math.max(...said.map(({ high }) => high)),
    planned: mean(said.map(middle)),
    said,
  };
}

/** Whether a mat has to warm `band` in a room whose nights are of `nightC`: one rule for every stage. */
export const isWarmedIn = (band: Range, nightC: number): boolean => band.low > nightC;

/**
 * The root zone while seed comes up: in the middle of the first source's band where a mat has to hold it and the room is
 * not warmer (a mat cannot cool), else that of the room.
 */
export function rootZoneAtFirst(crop: Crop, room: Room, hasMat: boolean): RootZone {
  const [band] = crop.stages[0]?.rootZoneC ?? [];
  if (!hasMat || band === undefined || !isWarmedIn(band, room.nightC)) {
    return { ...room, isWarmed: false, source: 'the room' };
  }
  const matC = middle(band);
  return {
    nightC: Math.max(room.nightC, matC),
    dayC: Math.max(room.dayC, matC),
    isWarmed: true,
    source: room.dayC > matC ? 'the room' : band.source,
  };
}

/** As it was where the tables were made: the first source's band, held by a mat. */
export const tableRootZone = (crop: Crop): RootZone => rootZoneAtFirst(crop, FROST, true);
const FROST: Room = { nightC: 0, dayC: 0 };

/** Days from sowing to emergence, or from sticking to first roots. Refuses what no source has come up at. */
export function firstPace(crop: Crop, { nightC, dayC }: Room): Verdict<Pace> {
  if (crop.from === 'cutting') return rootingPace(crop);
  const band = judgeGerminationBand(crop, { lowC: nightC, highC: dayC });
  if (!band.ok) return band;
  const [night, day] = [emergence(crop, nightC), emergence(crop, dayC)];
  if (!night.ok) return night;
  if (!day.ok) return day;
  // Half of the time each: it is the paces that add up. The sources are the same on both sides but for their reach.
  const said = day.value.estimates.flatMap((one) => {
    const other = night.value.estimates.find(
      ({ by, source }) => by === one.by && source === one.source,
    );
    if (other === undefined) return [];
    const both = (a: number, b: number): number => 2 / (1 / a + 1 / b);
    return [{ ...one, low: both(one.low, other.low), high: both(one.high, other.high) }];
  });
  if (said.length > 0) return accept(paceOf(said));
  return decline(
    `No source has tried ${crop.name} seed at both ${inBothUnits(nightC)} and ${inBothUnits(dayC)}.`,
  );
}

function rootingPace(crop: Crop): Verdict<Pace> {
  const seen = crop.rooting?.rootsDays ?? [];
  const said = seen.length > 0 ? seen : summed(rootingStages(crop));
  if (said.length > 0) return accept(paceOf(said.map((one) => ({ ...one, by: 'table' }))));
  return decline(`How long cuttings of ${crop.name} take to root is not in the library.`);
}

const rootingStages = ({ stages }: Crop): readonly CropStage[] =>
  stages.filter(({ name }) => name === 'callus' || name === 'root');

/** Stages that follow emergence, or rooting. */
export const laterStages = ({ stages }: Crop): readonly CropStage[] =>
  stages.filter(({ name }) => name !== 'germinate' && name !== 'callus' && name !== 'root');

/** Days of all the stages together, by the first source of each. Empty where one has none. */
function summed(stages: readonly CropStage[]): Published {
  const firsts = stages.map(({ days }) => days[0]);
  if (firsts.length === 0 || firsts.includes(undefined)) return [];
  const known = firsts.filter((one) => one !== undefined);
  return [
    {
      low: known.reduce((sum, { low }) => sum + low, 0),
      high: known.reduce((sum, { high }) => sum + high, 0),
      source: known[0]?.source ?? '',
    },
  ];
}

/**
 * Days from emergence (or first roots) to transplanting. Tables count from sowing: `tablePace` is what of that
 * goes before emergence in their own conditions. `slowdown` as by `slowdownIn`.
 */
export function laterPace(crop: Crop, tablePace: Pace, slowdown: number): Verdict<Pace> {
  const printed = crop.daysToTransplant;
  if (printed.length === 0) {
    return decline(
      `Nobody has published how long ${crop.name} takes to transplanting, as far as the library goes.`,
    );
  }
  const after = (days: number): number => Math.max(1, days - tablePace.planned) * slowdown;
  return accept(
    paceOf(
      printed.map(({ low, high, source }) => ({
        low: after(low),
        high: after(high),
        source,
        by: slowdown === 1 ? 'table' : 'thermal-time',
      })),
    ),
  );
}

/** How many times as long as printed growth takes in a room, and what that was reckoned from; null where it was not. */
export interface Slowdown {
  readonly times: number;
  readonly by: { readonly tableC: number; readonly baseC: number; readonly source: string } | null;
}

/**
 * Thermal time: growth goes with the warmth above a base, up to where it is in full swing, so days go with its inverse.
 * What a table's days were counted at is the mean of day and night of the same leaflet. Refuses a room in which the
 * crop stands still, or nearly so.
 */
export function slowdownIn(crop: Crop, room: Room): Verdict<Slowdown> {
  const tableC = tableAirC(crop);
  if (crop.growth === null || tableC === null) {
    return accept({ times: 1, by: null });
  }
  const { growthBaseC: baseC, growthFullC: fullC, source } = crop.growth;
  const warmth = (atC: number): number => Math.max(0, Math.min(atC, fullC) - baseC);
  // Of the spells, not of their mean: a night below the base takes nothing back.
  const pace = mean([warmth(room.nightC), warmth(room.dayC)]) / warmth(tableC);
  if (!(pace >= PLAN_LIMITS.slowestPace)) {
    const leastC = baseC + PLAN_LIMITS.slowestPace * warmth(tableC);
    return decline(
      `In that room ${crop.name} hardly grows: it stands still at ${inBothUnits(baseC)} (${source}), and below ${inBothUnits(leastC)} no table tells its days.`,
    );
  }
  return accept({
    times: 1 / Math.min(PLAN_LIMITS.fastestPace, pace),
    by: { tableC, baseC, source },
  });
}

/** Air that the tables' days were counted in; null where they do not tell. It is the room of whoever names none. */
export function tableRoom(crop: Crop): Room | null {
  const airC = tableAirC(crop);
  return airC === null ? null : { nightC: airC, dayC: airC };
}

/** Mean air of the tables that the days are from. */
function tableAirC(crop: Crop): number | null {
  const grown = laterStages(crop).find(({ airDayC }) => airDayC.length > 0);
  const dayC = firstMiddle(grown?.airDayC ?? []);
  if (dayC === null) return null;
  return mean([dayC, firstMiddle(grown?.airNightC ?? []) ?? dayC]);
}
