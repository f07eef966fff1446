/** What the grower has to do, and on which days, by all rehearsals of a profile. Pure. */
import type { Rehearsal } from '../../firmware/bench/season/rehearsal';
import type { Profile } from '../../shared/profile/profile';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { lidText } from '../words/lid';
import { type Span, type StageSummary, type Summary, spanOf } from './summary';

/** Days are since sowing. */
export interface RehearsedTask {
  /** Null: in none of the rehearsals, however long they went on. */
  readonly from: Span | null;
  /** When it is over; null: it is done once. */
  readonly until: Span | null;
  /** In so many of the rehearsals. */
  readonly rehearsals: number;
  /** In a few words, and what is to know of it. */
  readonly title: string;
  readonly why: string;
}

/** What tasks are reckoned from. */
export interface Rehearsed {
  readonly all: readonly Rehearsal[];
  readonly summary: Summary;
  readonly profile: Profile;
  readonly units: UnitSystem;
}

const AT_SOWING: Span = { least: 0, middle: 0, most: 0 };
const LATEST = Number.POSITIVE_INFINITY;

/** By the day on which they come; what never came stands last. */
export function tasksOf(rehearsed: Rehearsed): readonly RehearsedTask[] {
  return [
    // Those of a day stand in this order: what is marked begins a stage, and that has its lid.
    sowing(rehearsed),
    ...emerging(rehearsed),
    ...transplanting(rehearsed),
    ...refills(rehearsed),
    ...lidSteps(rehearsed),
    ...airing(rehearsed),
    ...holds(rehearsed),
  ].sort((a, b) => dayOf(a) - dayOf(b));
}

const dayOf = ({ from }: RehearsedTask): number =>
  from === null ? LATEST : Math.round(from.middle);

const feedText = ({ profile, units }: Rehearsed, stage: number): string => {
  const wanted = profile.stages.slice(stage).find(({ feedEc }) => feedEc > 0);
  const volume = formatQuantity('volume', profile.reservoirMl, units);
  return wanted === undefined
    ? volume
    : `${volume} of ${formatQuantity('ec', wanted.feedEc, units)}`;
};

function sowing(rehearsed: Rehearsed): RehearsedTask {
  const { profile, summary } = rehearsed;
  const lid = lidText(profile.stages[0]?.lid ?? 'closed');
  return {
    ...{ from: AT_SOWING, until: null, rehearsals: summary.rehearsals },
    title: `Sow, lid ${lid}`,
    why: `plugs soaked and drained, ${feedText(rehearsed, 0)} in the reservoir; \`trayward mark sown\``,
  };
}

const ends = ({ profile }: Rehearsed, mark: string): boolean =>
  profile.stages.some(({ end }) => end.mark === mark);

function emerging(rehearsed: Rehearsed): readonly RehearsedTask[] {
  if (!ends(rehearsed, 'emerged')) return [];
  const { all, summary } = rehearsed;
  return [
    {
      ...{ from: summary.emergedDay, until: null },
      rehearsals: all.filter(({ emergedDay }) => emergedDay !== null).length,
      title: 'Half is up: mark it',
      why: 'look every day from the earliest one on; `trayward mark emerged`',
    },
  ];
}

function transplanting(rehearsed: Rehearsed): readonly RehearsedTask[] {
  if (!ends(rehearsed, 'transplanted')) return [];
  const { all, summary } = rehearsed;
  return [
    {
      ...{ from: summary.transplantDay, until: null },
      rehearsals: all.filter(({ transplantDay }) => transplantDay !== null).length,
      title: 'Transplant',
      why: '`trayward mark transplanted`; let it drain, then `trayward mark soaked`',
    },
  ];
}

const nameOf = ({ profile }: Rehearsed, stage: number): string =>
  profile.stages[stage]?.name ?? `${stage + 1}`;

/** In how many rehearsals a stage came. */
export const cameIn = (all: readonly Rehearsal[], stage: number): number =>
  all.filter(({ stages }) => stages.some((one) => one.stage === stage)).length;

/** Where the lid belongs elsewhere than in the stage before. */
function lidSteps(rehearsed: Rehearsed): readonly RehearsedTask[] {
  const { all, summary } = rehearsed;
  return summary.stages.flatMap((one, i) => {
    const before = summary.stages[i - 1];
    if (before === undefined || before.lid === one.lid) return [];
    return [
      {
        ...{ from: one.fromDay, until: null, rehearsals: cameIn(all, one.stage) },
        title: `Lid ${lidText(one.lid)}`,
        why: `stage ${nameOf(rehearsed, one.stage)} begins`,
      },
    ];
  });
}

/** When a stage is over: as the next one begins, or with the rehearsals. */
const endOf = ({ summary }: Rehearsed, stage: number): Span =>
  summary.stages.find((one) => one.stage > stage)?.fromDay ?? summary.days;

/** Stages of a kind without a gap between them, told as one: the first, and the last. */
function stretches(
  { summary }: Rehearsed,
  is: (one: StageSummary) => boolean,
): readonly { readonly first: StageSummary; readonly last: StageSummary }[] {
  const found: { first: StageSummary; last: StageSummary }[] = [];
  for (const one of summary.stages.filter(is)) {
    const open = found.at(-1);
    if (open !== undefined && open.last.stage === one.stage - 1) open.last = one;
    else found.push({ first: one, last: one });
  }
  return found;
}

const during = (
  rehearsed: Rehearsed,
  is: (one: StageSummary) => boolean,
  words: Pick<RehearsedTask, 'title' | 'why'>,
): readonly RehearsedTask[] =>
  stretches(rehearsed, is).map(({ first, last }) => ({
    ...{ from: first.fromDay, until: endOf(rehearsed, last.stage) },
    ...{ rehearsals: cameIn(rehearsed.all, first.stage), ...words },
  }));

const airing = (rehearsed: Rehearsed): readonly RehearsedTask[] =>
  during(rehearsed, ({ lid }) => lid === 'closed', {
    title: 'Air daily',
    why: 'lift the closed lid for some minutes',
  });

const holds = (rehearsed: Rehearsed): readonly RehearsedTask[] =>
  during(rehearsed, ({ stage }) => rehearsed.profile.stages[stage]?.kind === 'hold', {
    title: 'Give no water',
    why: 'the tray gives none either, unless it gets too dry: roots go down after the water',
  });

/** The stage that was running on a day of a rehearsal. */
export const stageOn = ({ stages }: Rehearsal, day: number): number =>
  stages.filter(({ fromDay }) => fromDay <= day).at(-1)?.stage ?? 0;

/** The first of each rehearsal, then the second. */
function refills(rehearsed: Rehearsed): readonly RehearsedTask[] {
  const { all } = rehearsed;
  const most = Math.max(0, ...all.map(({ refillDays }) => refillDays.length));
  return Array.from({ length: most }, (_, i) => {
    const days = all.flatMap(({ refillDays }) => refillDays[i] ?? []);
    const stages = all.flatMap((one) => {
      const day = one.refillDays[i];
      return day === undefined ? [] : [stageOn(one, day)];
    });
    return {
      ...{ from: spanOf(days), until: null, rehearsals: days.length },
      title: most === 1 ? 'Refill' : `Refill ${i + 1}`,
      why: `${feedText(rehearsed, spanOf(stages)?.middle ?? 0)}; \`trayward mark refilled\` with both`,
    };
  });
}
