/** What counts of emergence are worth, in a grower's words. */
import { printedDays } from '../../shared/crops/library/emergence';
import { REPLICATES_FROM_PERCENT } from '../../shared/statistics/tolerances';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { rangeText } from '../arguments/within';
import type { Context } from '../context';
import { stepOfDays } from '../digits/known';
import { type Fact, facts, wrap } from '../terminal/output';
import { plot } from '../terminal/plot';
import { degreesText } from '../words/about';
import { percent } from '../words/percent';
import type { JudgedSeries, Pacing } from './judged';
import type { ReplicatesResult, ThermalResult } from './trials';
import { days } from './words';

const PLOT_ROWS = 11;
const PLOT_WIDTH = 60;
/** Below this chance two lots are said to differ (the usual 5 %). */
const DIFFER_CHANCE = 0.05;
/** A spread of so few seedlings is none. */
const FEW = 10;

/** Whether all that came up did so by one count: that tells no pace. */
const isAtOnce = ({ pace }: JudgedSeries): boolean => pace?.uniformityPerDay2 === null;

function paceFacts(judged: JudgedSeries): Fact[] {
  const { pace, apartDays } = judged;
  if (pace === null || isAtOnce(judged)) return [];
  const inDays = (value: number): string => value.toFixed(stepOfDays(apartDays) < 1 ? 1 : 0);
  const { t50FarooqDay, t50CoolbearDay, meanDays, seDays, meanRatePerDay, sdDays, synchrony } =
    pace;
  const half =
    t50FarooqDay === null
      ? { value: 'before the first count', note: 'count earlier next time' }
      : { value: `day ${inDays(t50FarooqDay)}`, note: halfNote(t50CoolbearDay, inDays) };
  return [
    { label: 'half of those up', ...half },
    {
      label: 'mean time',
      value: `${inDays(meanDays ?? 0)} d${seDays === null ? '' : `, give or take ${inDays(seDays)}`}`,
      note: `rate ${(meanRatePerDay ?? 0).toFixed(3)} a day; velocity ${(pace.velocityPercentPerDay ?? 0).toFixed(1)}`,
    },
    ...(sdDays === null
      ? []
      : [
          {
            label: 'spread',
            value: `${inDays(sdDays)} d`,
            note: `${Math.round(pace.cvTimePercent ?? 0)} % of the mean time`,
          },
        ]),
    ...(synchrony === null
      ? []
      : [
          {
            label: 'synchrony',
            value: synchrony.toFixed(2),
            note: `1: all at one count; uncertainty ${(pace.uncertaintyBit ?? 0).toFixed(2)} bit`,
          },
        ]),
  ];
}

const halfNote = (coolbear: number | null, inDays: (value: number) => string): string =>
  coolbear === null ? 'T50, Farooq 2005' : `T50, Farooq 2005; ${inDays(coolbear)} by Coolbear 1984`;

/** What rare counts leave open. */
function rareText(judged: JudgedSeries): string[] {
  const { apartDays, pace } = judged;
  if (pace === null || isAtOnce(judged) || stepOfDays(apartDays) < 1) return [];
  return [
    `Counts lie some ${Math.round(apartDays)} days apart, and what came up between is booked on the later one: these days may be so much too late.`,
  ];
}

const PACING: Readonly<Record<Pacing, string>> = {
  early: 'It came up sooner than that.',
  'in-time': 'It came up in time.',
  late: 'It is late: look at the temperature in the plugs, how wet they are, and the age of the seed.',
  waiting: 'Half of it is not up yet, and it may still come in time.',
  unsure: 'That may have been in time, or late: count every day about then.',
};

/** Where half stood at some time between two counts, and the table does not tell in which part of it. */
function betweenText({ pacing, halfUpAfterDay }: NonNullable<JudgedSeries['table']>): string {
  if (pacing !== 'unsure' || halfUpAfterDay === null) return '';
  return halfUpAfterDay === 0
    ? 'Half of it stood at the first count already. '
    : `Half of it came to stand at some time after the count of day ${halfUpAfterDay.toFixed(1)}. `;
}

function tableText(table: NonNullable<JudgedSeries['table']>, units: UnitSystem): string {
  const { crop, atC, lowDays, highDays, normalShare, sources } = table;
  const printed = printedDays({ low: lowDays, high: highDays });
  const after =
    printed.low === printed.high ? `${printed.low} d` : `${printed.low} to ${printed.high} d`;
  const by = table.by === 'journal' ? ', the mean of the tray’s journal' : '';
  const at = `${formatQuantity('temperature', atC, units)}${by}`;
  const normal = normalShare === null ? '' : `, ${percent(normalShare)} of good seed`;
  return `By the table half of ${crop} seed is up after ${after} at ${at}${normal} (${sources.join('; ')}). ${betweenText(table)}${PACING[table.pacing]}`;
}

function againstText(judged: JudgedSeries): string {
  const { against } = judged;
  if (against === null) return '';
  const { emerged, of, chance, points, tolerancePoints } = against;
  const odds = chance < 0.001 ? 'less than 0.1 %' : `${Number((chance * 100).toPrecision(2))} %`;
  const differs =
    chance < DIFFER_CHANCE ? 'the lots differ' : 'that proves no difference; more seeds might';
  const tolerated =
    tolerancePoints === null
      ? ''
      : ` Tests of 400 seeds may differ by ${tolerancePoints} points (AOSA); these do by ${points.toFixed(1)}${points <= tolerancePoints ? ': tolerated' : ': repeat the test'}.`;
  return `Against ${emerged} of ${of}, ${percent(emerged / of)}: chance alone sets two lots so far apart in ${odds} of cases (Fisher’s exact test), so ${differs}.${tolerated}`;
}

const fellText = (fallen: number): string =>
  fallen === 1 ? 'One that was up stands no more.' : `${fallen} that were up stand no more.`;

/** All of it, with the curve. */
export function testText(judged: JudgedSeries, { style, units }: Context): string {
  const { of, counts, emerged, standing, share, lowShare, highShare, table } = judged;
  const last = counts.at(-1)?.day ?? 0;
  const head = `${counts.length === 1 ? 'One count' : `${counts.length} counts`} of ${of} ${of === 1 ? 'seed' : 'seeds'}, to day ${last.toFixed(1)}`;
  const up: Fact = {
    label: 'came up',
    value: `${emerged}, ${percent(share)}`,
    note: `${Math.round(lowShare * 100)} to ${Math.round(highShare * 100)} % of such seed (95 %, Wilson)`,
  };
  const fell = standing < emerged ? [fellText(emerged - standing)] : [];
  const atOnce = isAtOnce(judged)
    ? ['All that came up was up at one count: count before and after to see a pace.']
    : [];
  const few =
    emerged > 0 && emerged < FEW ? [`So few seedlings tell little of pace and spread.`] : [];
  const points = counts.map((one) => ({ x: one.day, share: one.standing / of }));
  const sentences = [
    ...fell,
    ...few,
    ...rareText(judged),
    ...atOnce,
    ...(table === null ? [] : [tableText(table, units)]),
    ...(judged.against === null ? [] : [againstText(judged)]),
  ].map((text) => wrap(text, style.width));
  return [
    head,
    facts([up, ...paceFacts(judged)], style),
    ...sentences,
    '',
    plot(points, {
      width: Math.min(PLOT_WIDTH, style.width),
      height: PLOT_ROWS,
      xTitle: 'days from sowing',
    }),
  ].join('\n');
}

/** Whether replicates agree. */
export function replicatesText(result: ReplicatesResult): string {
  const { meanPercent, rangePoints, tolerancePoints, agree } = result;
  const found = `Mean ${meanPercent.toFixed(0)} %, and ${rangePoints} points from least to most.`;
  if (tolerancePoints === null) {
    const isBetween =
      meanPercent > 100 - REPLICATES_FROM_PERCENT && meanPercent < REPLICATES_FROM_PERCENT;
    return isBetween
      ? `${found} The rows of 7 CFR 201.55 known here stop at a mean of ${REPLICATES_FROM_PERCENT} %: its printed table goes on, look there.`
      : `${found} So near to all or none the table (7 CFR 201.55) has no figure.`;
  }
  return `${found} ${tolerancePoints} are tolerated (7 CFR 201.55): ${agree ? 'they agree' : 'they do not agree; repeat the test'}.`;
}

/** Base temperature and thermal time. */
export function thermalText(result: ThermalResult, units: UnitSystem): string {
  const { baseC, sumCDays, fromC, toC, r2, leftOutC, to } = result;
  const celsius = (value: number): string => formatQuantity('temperature', value, units);
  const left =
    leftOutC.length === 0
      ? ''
      : ` Left out: ${leftOutC.map(celsius).join(', ')}, where it came up no sooner than at ${celsius(toC)}.`;
  const sum = units === 'us' ? `${Math.round(sumCDays * 1.8)} °F` : `${Math.round(sumCDays)} °C`;
  const at = to === null ? '' : ` At ${celsius(to.atC)} it takes ${days(to.days)}.`;
  return `Base temperature ${degreesText(baseC, units)}, thermal time ${sum} days (degrees above it, day by day), from ${rangeText('temperature', fromC, toC, units)}; the line explains ${Math.round(r2 * 100)} % of the differences.${left}${at} Which trials enter moves the base by ${units === 'us' ? '2 to 5 °F' : '1 to 3 K'}: note them with it.`;
}
