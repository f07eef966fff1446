/** What one short rehearsal warns of, before a profile is loaded. Pure. */
import type { Rehearsal } from '../../firmware/bench/season/rehearsal';
import { ADVICE } from '../../shared/alarms/advice';
import { firstFeedS } from '../../shared/profile/first-feed';
import type { Profile } from '../../shared/profile/profile';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { DAY_S } from '../../shared/units/time';
import { lacksGrowth } from './growth';
import { summaryOf } from './summary';
import { stageOn } from './tasks';
import { bandSentences, onlyAlarmText } from './words';

/** Until a crop in its band is up and has been fed: seconds of the machine, where a season is a minute. */
export const SHORT_DAYS = 12;
/** A grower who looks in once a day marks half a day after the seed is up, and up to a day late. */
const MARKED_LATE_DAYS = 1;
/** Of a weighed dry-back, share: what a scale may be off is no drought. */
const WEIGHED_SHARE = 0.02;

export interface ShortWarning {
  readonly about: 'band' | 'alarm' | 'dry' | 'feed' | 'emergence' | 'growth';
  /** A sentence or two in a grower's words. */
  readonly says: string;
}

/** What goes wrong in a rehearsal, the plants' first needs first; nothing where all goes well. */
export function shortWarnings(
  rehearsal: Rehearsal,
  profile: Profile,
  units: UnitSystem,
): readonly ShortWarning[] {
  const summary = summaryOf([rehearsal]);
  const alarms = summary.alarms.map(
    (one) => `Alarm "${ADVICE[one.alarm].title}": ${onlyAlarmText(one)}.`,
  );
  const told = (about: ShortWarning['about'], says: readonly string[]): readonly ShortWarning[] =>
    says.map((one) => ({ about, says: one }));
  return [
    ...told('band', bandSentences(summary, profile, units)),
    ...told('emergence', emergenceWarning(rehearsal)),
    ...told('feed', feedWarning(rehearsal, profile, units)),
    ...told('dry', dryWarning(rehearsal, profile)),
    ...told('growth', growthWarning(rehearsal)),
    ...told('alarm', alarms),
  ];
}

const emergenceWarning = ({ emergedDay, days }: Rehearsal): readonly string[] =>
  emergedDay === null ? [`Half of the seed is not up within ${days.toFixed(0)} days.`] : [];

/** The first feed against the time at which the profile opens with it. */
function feedWarning(
  { emergedDay, firstFeedDay, days }: Rehearsal,
  { stages }: Profile,
  units: UnitSystem,
): readonly string[] {
  const latestS = firstFeedS(stages);
  if (emergedDay === null || latestS === null || !Number.isFinite(latestS)) return [];
  const dueDay = emergedDay + MARKED_LATE_DAYS + latestS / DAY_S;
  if ((firstFeedDay ?? days) <= dueDay) return [];
  const came = firstFeedDay === null ? 'has not come' : 'comes';
  return [
    `The first feed ${came} by day ${(firstFeedDay ?? days).toFixed(0)}, and the profile wants it within ${formatQuantity('duration', latestS, units)} of emergence on day ${emergedDay.toFixed(0)}.`,
  ];
}

const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;

/** The driest look that is past the rescue share of its stage. */
function dryWarning(rehearsal: Rehearsal, { stages }: Profile): readonly string[] {
  const { days, dryBackShare } = rehearsal.course;
  let worst: { readonly day: number; readonly share: number; readonly beyond: number } | null =
    null;
  for (const [i, share] of dryBackShare.entries()) {
    const day = days[i] ?? 0;
    const rescue = stages[stageOn(rehearsal, day)]?.rescue.share ?? 1;
    const beyond = (share ?? 0) - rescue - WEIGHED_SHARE;
    if (beyond > (worst?.beyond ?? 0)) worst = { day, share: share ?? 0, beyond };
  }
  if (worst === null) return [];
  const { name, rescue } = stages[stageOn(rehearsal, worst.day)] ?? {};
  return [
    `${name}: the tray gets too dry, ${percent(worst.share)} of its water gone on day ${worst.day.toFixed(0)}, where the stage calls ${percent(rescue?.share ?? 1)} too dry.`,
  ];
}

function growthWarning({ deadShare, growthShare }: Rehearsal): readonly string[] {
  if (deadShare > 0) return [`${percent(deadShare)} of the plants are lost.`];
  return lacksGrowth(growthShare)
    ? [`Plants grow ${percent(growthShare)} of what those grow that lack neither water nor salts.`]
    : [];
}
