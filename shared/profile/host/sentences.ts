/** Breaches of the shared rules as a grower reads them, and where they stand in the file. */
import { inBothUnits } from '../../units';
import type { Problem, ProblemReason } from '../breach';
import type { ProblemContent, SourcePath } from './problem';

/** Keys of `Profile` as they are called in the file; the others have the same name. */
const FILE_KEYS: Readonly<Record<string, string>> = {
  lowC: 'low',
  highC: 'high',
  nightBand: 'night_band',
  watering: 'water',
  startShare: 'start',
  stopShare: 'stop',
  soakInS: 'soak_in',
  maxDayMl: 'max_day',
  maxStageMl: 'max_stage',
  doseMl: 'dose',
  share: 'at',
  end: 'until',
  afterS: 'after',
  feedEc: 'feed',
  opening: 'open',
  byS: 'by',
  areaM2: 'length',
  dryG: 'dry',
  holdsMl: 'holds',
  rootZoneMaxC: 'root_zone_max',
  reservoirMl: 'reservoir',
  pieceMl: 'length',
  bulkDensityKgM3: 'bulk_density_kg_m3',
  capacityShare: 'capacity',
  startMin: 'from',
  endMin: 'to',
};

/** A rule's path as keys and indexes of the file. */
export function filePath(path: string): SourcePath {
  return path
    .split('.')
    .filter((step) => step !== '')
    .map((step) => (/^\d+$/.test(step) ? Number(step) : (FILE_KEYS[step] ?? step)));
}

const GERMINATION_LIMIT =
  'germination trials of Harrington and Minges 1954 (Knott’s Handbook): at 35 °C (95 °F) half the tomato seed fails, at 40 °C (104 °F) all of it';

/** Why each breach is one. */
export const WHY: Readonly<Record<ProblemReason, string>> = {
  'out-of-range': 'This value is outside what the board accepts.',
  'wrong-count':
    'There are too few or too many here. In a text, a letter beyond the plain alphabet counts as two or more.',
  'bad-text': 'This text has a control character in it, which a terminal would obey. Type it anew.',
  'band-upside-down': 'The band is upside down: "low" must be below "high".',
  'band-narrow': 'The band is so narrow that sensor noise would switch the mat.',
  'band-wide': 'The band is so wide that the roots would swing with it.',
  'band-near-limit':
    'The band reaches the alarm limit: heat on its way up would raise the alarm. Lower "high", or raise root_zone_max.',
  'night-missing':
    'There is a night_band, but the profile does not say when night is. Add "night:".',
  'window-empty': 'This time of day begins when it ends. Leave it out, or give it a length.',
  'watering-missing': 'A stage of kind weigh needs "water:", which says when and how much.',
  'watering-in-hold': 'A hold gives no water. Take "water:" out, or make the kind weigh.',
  'opening-missing':
    'This stage brings the first feed after emergence or after transplanting, and waiting for dry-back would bring it weeks late. Add "open:", such as open: { by: 2 d, stop: 1 % }.',
  'opening-in-hold': 'A hold gives no water. Take "open:" out, or make the kind weigh.',
  'opening-not-below-start':
    'The opening must end at a smaller dry-back than doses begin at, by two per cent or more: else it would be followed by a dose at once.',
  'first-feed-late':
    'Seedlings want their first feed within seven days of emergence, and this profile can leave them longer on plain water. Shorten the hold after emergence, give it an "after:", or set "by" of the opening sooner.',
  'stop-not-below-start':
    'Doses must end at a smaller dry-back than they begin at, by two per cent or more.',
  'rescue-below-start':
    'The alarm too-dry would come before the first dose. Set rescue "at" to the start of watering or above.',
  'rescue-dose-small': 'A dose so small is mostly the pump starting and stopping.',
  'rescue-dose-in-weigh': 'A rescue dose belongs in a hold; a weigh stage doses by itself.',
  'dose-over-day': 'One dose is more than the whole day may have.',
  'day-over-stage': 'One day is more than the whole stage may have.',
  'dose-over-reservoir': 'One dose is more than the reservoir holds.',
  'dose-not-spread':
    'So small a dose does not reach every piece: matting must be wet right through (half of what it holds), channels want a flood of 3 mm over the tray, a drilled manifold 2 ml for each outlet. Make the dose larger.',
  'outlets-missing': 'A drilled manifold needs "outlets": how many holes it has.',
  'medium-unknown': 'No such medium.',
  'name-twice': 'Two stages have this name, and "the stage of the same name" would be a guess.',
  'transplant-hold-missing':
    'After transplanting the roots must be left alone: the next stage must be a hold that ends by its time, not by a mark.',
  'transplant-hold-short': 'A hold after transplanting is three days; less than one is refused.',
  'feed-strong-at-transplant':
    'Never feed above EC 1.0 around transplanting: damaged roots cannot bear it.',
};

export const isBreach = (reason: string): reason is ProblemReason => Object.hasOwn(WHY, reason);

const UNITS: readonly (readonly [RegExp, string, number])[] = [
  [/Share$|share$/, '%', 100],
  [/Ml$/, 'ml', 1],
  [/S$/, 'h', 1 / 3600],
  [/Ec$/, 'mS/cm', 1],
  [/KgM3$/, 'kg/m3', 1],
  [/M2$/, 'm2', 1],
  [/G$/, 'g', 1],
];

function rangeText({ path, reason, min, max }: Problem): string | null {
  // Another value leaves this one no room: the sentence says which.
  if (min === undefined || max === undefined || min > max) return null;
  const key = path.slice(path.lastIndexOf('.') + 1);
  const isBand = reason === 'band-narrow' || reason === 'band-wide';
  const [, unit, factor] = UNITS.find(([pattern]) => pattern.test(key)) ?? [null, '', 1];
  if (key.endsWith('C') && !isBand) return inBothUnits(min, max);
  const show = (value: number) => Number((value * factor).toFixed(2));
  return `${show(min)} to ${show(max)} ${isBand ? 'K' : unit}`.trim();
}

/** What to tell of a breach. */
export function breachContent(problem: Problem): ProblemContent {
  const key = problem.path.slice(problem.path.lastIndexOf('.') + 1);
  const isBandEdge = problem.reason === 'out-of-range' && (key === 'highC' || key === 'lowC');
  const isPractice = /transplant|first-feed|opening-missing|spread/.test(problem.reason);
  return {
    why: WHY[problem.reason],
    allowed: rangeText(problem),
    source: isBandEdge ? GERMINATION_LIMIT : isPractice ? 'common practice' : null,
  };
}
