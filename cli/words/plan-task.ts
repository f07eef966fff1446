/** What is to be done, and why, in a grower's words: for the wall, the calendar and the agenda. */

import { SOAK_PH } from '../../shared/physics/soak';
import type { Task, TaskKind } from '../../shared/planning/agenda';
import { shortDay } from '../../shared/planning/calendar-day';
import { STEPS } from '../../shared/planning/limits';
import type { BatchPlan } from '../../shared/planning/plan';
import type { PlanRequest } from '../../shared/planning/request';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { aboutVolume, rough } from './about';
import { lidText } from './lid';

export interface TaskWords {
  readonly title: string;
  readonly why: string;
}

/** What the words are taken from. */
export interface Telling {
  readonly isCutting: boolean;
  readonly request: PlanRequest;
  readonly plan: BatchPlan;
  readonly units: UnitSystem;
}

/** Of those wanted, where a count has fewer. */
function standing({ plants }: PlanRequest, { stand }: BatchPlan): string {
  return stand === null || stand.counted >= plants ? `${plants}` : `${stand.counted} of ${plants}`;
}

type Words = (telling: Telling, task: Task) => TaskWords;

/** Strength of the feed, as far as anybody has published it; the middle of what the first source has. */
export function feedText({ plan }: Telling): string {
  const ec = plan.needs.feedEc;
  return ec === null ? 'feed for seedlings' : `EC ${((ec.low + ec.high) / 2).toFixed(1)}`;
}

/** The mat is on before the seed is in, where it is needed at all. */
function matText({ plan, units }: Telling): string {
  if (!plan.rootZone.isWarmed) return 'let it drain';
  const at = formatQuantity('temperature', plan.rootZone.nightC, units).replace('.0 ', ' ');
  return `drain; mat at ${at}`;
}

const soakText = ({ plan, units }: Telling): string => aboutVolume(plan.needs.soakMl, units, rough);
const hours = ({ plan }: Telling): string => `${Math.round(plan.needs.light.hoursPerDay)} h a day`;
const seeds = ({ isCutting, plan }: Telling): string =>
  `${plan.seed.seeds} ${isCutting ? 'cutting' : 'seed'}${plan.seed.seeds === 1 ? '' : 's'}`;

const TEXTS: Readonly<Record<TaskKind, Words>> = {
  clean: () => ({
    title: 'Clean reservoir, tray',
    why: 'what the last crop left rots',
  }),
  calibrate: () => ({
    title: 'Calibrate',
    why: 'scale and pump, now between crops',
  }),
  soak: (telling) => ({
    title: `Soak ${telling.plan.seed.seeds} ${telling.plan.seed.seeds === 1 ? 'plug' : 'plugs'} in ${soakText(telling)}`,
    why: `${feedText(telling)}, pH ${SOAK_PH}; ${matText(telling)}`,
  }),
  sow: (telling) => ({
    title: `${telling.isCutting ? 'Stick' : 'Sow'} ${seeds(telling)}`,
    why: `\`mark sown\`; lid ${lidText('closed')}`,
  }),
  air: ({ isCutting }, { until }) => ({
    title: isCutting ? 'Air and mist, daily' : 'Air daily, no water',
    why: `a minute, to ${shortDay(until)}${isCutting ? '' : '; mist dry plugs'}`,
  }),
  look: ({ isCutting }, { until }) => ({
    title: isCutting ? 'Look for roots, daily' : 'Look for seedlings',
    why: `daily to ${shortDay(until)}: lots differ`,
  }),
  emerged: (telling) => ({
    title: `${telling.isCutting ? 'Rooted' : 'Half is up'}: ${lidText('vents-open')}`,
    why: `\`mark emerged\`; light ${hours(telling)}`,
  }),
  'prop-lid': () => ({ title: 'Prop the lid', why: 'damp air brings damping-off' }),
  count: () => ({
    title: 'Count what is up',
    why: 'bent and weak ones apart',
  }),
  'sow-more': ({ isCutting, plan }, { until }) => ({
    title: `${isCutting ? 'Stick' : 'Sow'} ${plan.stand?.seeds ?? 0} more`,
    why: `${plan.stand?.missing ?? 0} missing; at once, by ${shortDay(until)}`,
  }),
  'first-feed': (telling, { until }) => ({
    title: 'First feed',
    why: `${feedText(telling)}, by ${shortDay(until)} at the latest`,
  }),
  'count-again': ({ plan }) => ({
    title: 'Count again',
    why: `fewer than ${plan.seed.plants}: sow again at once`,
  }),
  'feed-change': (_, { until }) => ({
    title: 'Change the feed',
    why: `weekly to ${shortDay(until)}; \`mark refilled\``,
  }),
  wash: () => ({
    title: 'Wash reservoir',
    why: 'every 2 weeks: algae clog the pump',
  }),
  'lid-by-day': () => ({
    title: `Lid ${lidText('off-by-day')}`,
    why: 'an hour, then longer each day',
  }),
  harden: () => ({
    title: 'Harden',
    why: 'cooler, drier, no lid by night',
  }),
  transplant: ({ request, plan }) => ({
    title: `Transplant ${standing(request, plan)}`,
    why: '`mark transplanted`; wet them first',
  }),
  rewater: () => ({
    title: 'Water again',
    why: `roots go down for ${STEPS.rewaterAfterTransplant} d, no sooner`,
  }),
};

/** The title of a task, and why it is done. */
export const taskWords = (telling: Telling, task: Task): TaskWords =>
  TEXTS[task.kind](telling, task);
