/** What rehearsals came to, in a grower's words: for the screen and for the page. Pure. */
import { ADVICE } from '../../shared/alarms/advice';
import type { Profile } from '../../shared/profile/profile';
import { formatQuantity, NO_VALUE, type QuantityKind, type UnitSystem } from '../../shared/units';
import type { Fact } from '../terminal/output';
import { lidText } from '../words/lid';
import { missedText } from './band';
import { lacksGrowth } from './growth';
import type { AlarmSummary, Span, StageSummary, Summary } from './summary';
import type { RehearsedTask } from './tasks';

/** A stage that the rehearsal only just came to, days. */
const JUST_BEGUN_DAYS = 0.5;
/** Of so much of the time in its band a stage is not worth a word. */
const BAND_SHARE = 0.9;

/** `4` or `4 to 6`, the most likely first where they differ: `5 (4 to 6)`. */
export function spanText({ least, middle, most }: Span, shown: (value: number) => string): string {
  const [a, b, c] = [shown(least), shown(middle), shown(most)];
  return a === c ? b : `${b} (${a} to ${c})`;
}

export const dayText = (span: Span): string => `day ${spanText(span, (value) => value.toFixed(0))}`;

/** A quantity in whole units of its kind. */
export const amount =
  (kind: QuantityKind, units: UnitSystem) =>
  (value: number): string =>
    formatQuantity(kind, value, units);

/** From when to when a task is for. */
export function taskWhenText({ from, until }: RehearsedTask, { days }: Summary): string {
  if (from === null) return `not within ${days.most.toFixed(0)} days`;
  return dayText(from) + (until === null ? '' : ` to ${dayText(until)}`);
}

export function whenFacts(summary: Summary): Fact[] {
  const { emergedDay, firstFeedDay, transplantDay, days } = summary;
  const late = (span: Span | null, what: string): Pick<Fact, 'value' | 'tone'> =>
    span === null ? { value: what, tone: 'warn' } : { value: dayText(span) };
  return [
    { label: 'Half is up', ...late(emergedDay, `not within ${days.most.toFixed(0)} days`) },
    { label: 'First feed', ...late(firstFeedDay, `none within ${days.most.toFixed(0)} days`) },
    ...(transplantDay === null ? [] : [{ label: 'Transplant', value: dayText(transplantDay) }]),
  ];
}

export function takesFacts(
  summary: Summary,
  units: UnitSystem,
  pricePerKwh: number | null,
): Fact[] {
  const { refills, firstRefillDay, matW, matKwh } = summary;
  const volume = amount('volume', units);
  const first = firstRefillDay === null ? '' : `, the first on ${dayText(firstRefillDay)}`;
  const kwh = (value: number): string => value.toFixed(1);
  const cost =
    pricePerKwh === null
      ? ''
      : `; at ${pricePerKwh} a kWh ${spanText(matKwh, (value) => (value * pricePerKwh).toFixed(2))}`;
  return [
    {
      label: 'Feed',
      value: spanText(summary.ml, volume),
      note: `in ${spanText(summary.doses, (value) => value.toFixed(0))} doses, most in a day ${volume(summary.mostDayMl.most)}`,
    },
    { label: 'Refills', value: `${spanText(refills, (value) => value.toFixed(0))}${first}` },
    {
      label: 'Each plant gets',
      value: `${spanText(summary.eachMl, volume)} with ${spanText(summary.eachSaltsMg, (mg) => mg.toFixed(1))} mg of salts`,
      note: 'since emergence, besides what it was soaked in',
    },
    {
      label: 'Heat',
      value: `${spanText(matKwh, kwh)} kWh${cost}`,
      note: `with a mat of ${matW.toFixed(0)} W`,
    },
  ];
}

export function plantFacts({ driestShare, deadShare, growthShare, rehearsals }: Summary): Fact[] {
  const percent = (value: number): string => `${(100 * value).toFixed(0)} %`;
  const poor = lacksGrowth(growthShare.least);
  return [
    { label: 'Driest', value: spanText(driestShare, percent), note: 'of the water gone' },
    {
      label: 'Growth',
      value: spanText(growthShare, percent),
      note: 'of that of plants which lack neither water nor salts',
      ...(poor ? { tone: 'warn' as const } : {}),
    },
    ...(deadShare.most > 0
      ? [
          {
            label: 'Plants lost',
            value: `${spanText(deadShare, percent)}, in ${rehearsals} rehearsals`,
            tone: 'bad' as const,
          },
        ]
      : []),
  ];
}

/** Titles of what is told of each stage. */
export const STAGE_COLUMNS = [
  { title: 'stage' },
  { title: 'from day' },
  { title: 'lid' },
  { title: 'in band', align: 'right' },
  { title: 'roots' },
  { title: 'feed a day', align: 'right' },
] as const;

/** A row for each stage that has run. */
export const stageRows = (
  { stages }: Summary,
  profile: Profile,
  units: UnitSystem,
): readonly (readonly string[])[] =>
  stages.filter(hasRun).map((one) => stageRow(one, profile, units));

function stageRow(one: StageSummary, profile: Profile, units: UnitSystem): string[] {
  const degrees = amount('temperature', units);
  const stage = profile.stages[one.stage];
  return [
    stage?.name ?? '',
    spanText(one.fromDay, (value) => value.toFixed(0)),
    lidText(one.lid),
    `${(100 * one.inBandShare.middle).toFixed(0)} %`,
    `${degrees(one.coldestC)} to ${degrees(one.warmestC)}`,
    one.mlADay.most === 0 ? NO_VALUE : formatQuantity('volume', one.mlADay.middle, units),
  ];
}

const hasRun = ({ forDays }: StageSummary): boolean => forDays.most >= JUST_BEGUN_DAYS;

/** Stages that are long outside their band, when, and why: a mat warms and cannot cool. */
export const bandSentences = (summary: Summary, profile: Profile, units: UnitSystem): string[] =>
  summary.stages
    .filter(({ inBandShare }) => inBandShare.middle < BAND_SHARE)
    .filter(hasRun)
    .flatMap((one) => {
      const { name, band } = profile.stages[one.stage] ?? {};
      return band === undefined ? [] : [`${name}: ${bandSentence(one, band, units)}`];
    });

function bandSentence(
  { lid, coldestC, warmestC, below, above }: StageSummary,
  band: Profile['stages'][number]['band'],
  units: UnitSystem,
): string {
  const degrees = amount('temperature', units);
  const isKnown = above.hoursADay !== below.hoursADay;
  const tooWarm = isKnown
    ? above.hoursADay > below.hoursADay
    : warmestC - band.highC > band.lowC - coldestC;
  if (tooWarm)
    return `the room is too warm for it${missedText(above)}, up to ${degrees(warmestC)} at the roots, and a mat cannot cool: a cooler place, or a raised lamp.`;
  const helps =
    lid === 'closed'
      ? 'a warmer place, or insulation under the mat'
      : 'a warmer place, insulation under the mat, or the lid closed longer';
  return `the mat does not reach its band${missedText(below)}, down to ${degrees(coldestC)}: ${helps}.`;
}

const oftenText = ({ times }: AlarmSummary): string =>
  times.most > 1 ? `${spanText(times, (value) => value.toFixed(0))} times` : '';

/** In how many of the rehearsals, how often in one of them, and from which day on. */
export function alarmText(one: AlarmSummary, of: number): string {
  const often = oftenText(one);
  return `in ${one.rehearsals} of ${of}${often === '' ? '' : `, ${often}`}; first on ${dayText(one.firstDay)}`;
}

/** The same of the only rehearsal. */
export function onlyAlarmText(one: AlarmSummary): string {
  const often = oftenText(one);
  return often === ''
    ? `on ${dayText(one.firstDay)}`
    : `${often}, first on ${dayText(one.firstDay)}`;
}

export const alarmSentences = ({ alarms, rehearsals }: Summary): readonly string[] =>
  alarms.map((one) => `${ADVICE[one.alarm].title} (${alarmText(one, rehearsals)})`);
