/** A plan as a page for the wall: what it comes to, then day by day. */

import type { Range } from '../../shared/crops/library/crop';
import { printedDays } from '../../shared/crops/library/emergence';
import { type Day, dayText, shortDay, weekday } from '../../shared/planning/calendar-day';
import type { DayRange } from '../../shared/planning/dates';
import { PLAN_DEFAULTS } from '../../shared/planning/limits';
import type { Pace } from '../../shared/planning/pace';
import { percentToTenths } from '../../shared/text/percent';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { type Fact, facts, type Style, table, wrap } from '../terminal/output';
import { capitalised } from './capitalised';
import { counted, needFacts, plugText, seedFact } from './plan-needs';
import { type Telling, taskWords } from './plan-task';
import type { ToldPlan } from './told-plan';

export const dated = (day: Day): string => `${weekday(day)} ${dayText(day)}`;

/** Days that may move, from the first source to the last. */
function rangeText({ earliest, latest }: DayRange): string {
  return earliest === latest ? '' : `${dayText(earliest)} to ${dayText(latest)}, as sources differ`;
}

/** `33 to 57 d`, in whole days. */
function daysText({ low, high }: Range): string {
  const [from, to] = [Math.round(low), Math.round(high)];
  return from === to ? `${from} d` : `${from} to ${to} d`;
}

/** Who says so, each with its days. */
const sources = ({ said }: Pace): string =>
  said
    .map(({ low, high, source, by }) => {
      const how = by === 'thermal-time' ? ', by thermal time' : '';
      const days = by === 'table' ? { low, high } : printedDays({ low, high });
      return `${source}${how} ${daysText(days)}`;
    })
    .join('; ');

function dateFacts({ crop, happened, plan }: ToldPlan): Fact[] {
  const { dates } = plan;
  const done = (day: Day | null): string => (day === null ? '' : 'done');
  return [
    {
      label: crop.from === 'cutting' ? 'Stick' : 'Sow',
      value: dated(dates.sow.planned),
      note: done(happened.sown) || rangeText(dates.sow),
    },
    {
      label: crop.from === 'cutting' ? 'First roots' : 'Half is up',
      value: dated(dates.emerged.planned),
      note: done(happened.emerged) || rangeText(dates.emerged),
    },
    {
      label: 'Ready',
      value: dated(dates.ready.planned),
      note: done(happened.transplanted) || rangeText(dates.ready),
    },
  ];
}

function slowdownSentence({ plan }: ToldPlan, units: UnitSystem): string[] {
  const { by, times } = plan.slowdown;
  if (by === null) {
    return plan.room.by !== 'told'
      ? []
      : ['Growth is as long as the tables have it: no source tells how it goes with the room.'];
  }
  const at = (atC: number): string => formatQuantity('temperature', atC, units);
  if (Math.abs(times - 1) < AS_LONG) return [];
  return [
    `Growth takes ${times.toFixed(1)} times as long in your room as in the tables’ air of ${at(by.tableC)} on average (above a base of ${at(by.baseC)}: ${by.source}).`,
  ];
}

/** A batch that is not ready when it was wanted. */
function lateSentences({ request: { aim }, plan: { dates } }: ToldPlan): string[] {
  const lateDays = aim.by === 'ready' ? dates.ready.planned - aim.day : 0;
  if (lateDays <= 0) return [];
  return [
    `That is ${lateDays} d later than ${dayText(aim.day)}: only the quickest sources say it is ready then. A warmer room helps.`,
  ];
}

/** Tables are in whole weeks. */
const AS_LONG = 0.05;

/** What a grower should know before relying on it. */
export function cautions(told: ToldPlan, units: UnitSystem): string[] {
  const { crop, request, plan } = told;
  const { reduced } = plan.seed;
  const [cells] = crop.cellsPerTray;
  const light = plan.needs.light.hoursPerDay;
  return [
    ...lateSentences(told),
    ...(request.germination === null
      ? [
          `${crop.from === 'cutting' ? 'Share of cuttings that root' : 'Germination'} is taken as ${percentToTenths(PLAN_DEFAULTS.germination)}: give what ${crop.from === 'cutting' ? 'yours did before' : 'the packet says'} with --germination.`,
        ]
      : []),
    ...(request.plug === null
      ? [
          `Plugs are taken as of ${plugText(plan.seed.plug, units)}, as fill a tray of ${request.cellsPerTray}: give yours with --plug.`,
        ]
      : []),
    ...(reduced === null
      ? []
      : [
          `In that root zone ${Math.round(reduced.share * 100)} seeds come up for 100 at the best temperature (${reduced.source}): it is reckoned with.`,
        ]),
    ...(cells !== undefined &&
    (request.cellsPerTray < cells.low || request.cellsPerTray > cells.high)
      ? [
          `${capitalised(cells.source)} raises ${crop.name} in trays of ${cells.low === cells.high ? cells.low : `${cells.low} to ${cells.high}`}: in ${request.cellsPerTray} cells plants have ${request.cellsPerTray > cells.high ? 'less' : 'more'} room.`,
        ]
      : []),
    ...(light > LONG_DAY_H
      ? [
          `${Math.round(light)} h of light leave little night: a lamp that gives more, or hangs lower, does it in less.`,
        ]
      : []),
    ...slowdownSentence(told, units),
    ...(crop.note === '' ? [] : [crop.note]),
  ];
}
/** Longer days than these do most crops no good (common practice). */
const LONG_DAY_H = 18;

/** What a count means; nothing before it. */
function standSentences({ crop, plan, request }: ToldPlan): string[] {
  const { stand, seed } = plan;
  if (stand === null) return [];
  if (stand.missing === 0) {
    return [`${stand.counted} stand: enough for the ${request.plants} wanted, and spare ones.`];
  }
  const unlikely =
    stand.luck < UNLIKELY
      ? ' So few are hardly chance: look at the seed, its depth, the wetness and the warmth.'
      : '';
  const what = crop.from === 'cutting' ? 'Stick' : 'Sow';
  return [
    `${stand.counted} stand of ${stand.of}, ${stand.missing} fewer than ${seed.plants}. ${what} ${stand.seeds} more at once; they will be later by as much.${unlikely}`,
  ];
}
/** One in twenty. */
const UNLIKELY = 0.05;

/** Whose marks the days are of, and which were left out. */
const datedSentences = ({ datedBy, leftOut }: ToldPlan): string[] => [
  ...(datedBy === null
    ? []
    : [`What is done is by the marks of controller ${datedBy}, as its journal was pulled last.`]),
  ...(leftOut === null ? [] : [leftOutText(leftOut)]),
];

/** Marks that cannot be, and what to do about it. */
export const leftOutText = (why: string): string =>
  `Not all that was marked on its tray can be: ${why} \`plan update\` tells what really happened.`;

/** The whole page. */
export function planPage(told: ToldPlan, units: UnitSystem, style: Style): string {
  const { crop, request, plan, name } = told;
  const title = `${capitalised(crop.name)}, ${counted(request.plants, 'plant')}${name === crop.name ? '' : ` (${name})`}`;
  const paragraphs = [...datedSentences(told), ...standSentences(told), ...cautions(told, units)];
  return [
    style.strong(title),
    facts([...dateFacts(told), seedFact(told, units), ...needFacts(told, units)], style),
    '',
    taskTable(told, units, style),
    '',
    wrap(
      `${crop.from === 'cutting' ? 'To roots' : 'To emergence'}: ${sources(plan.first)}. From there: ${sources(plan.later)}. Dates after it move with it.`,
      style.width,
    ),
    ...paragraphs.map((text) => wrap(text, style.width)),
  ].join('\n');
}

export const tellingOf = ({ crop, request, plan }: ToldPlan, units: UnitSystem): Telling => ({
  isCutting: crop.from === 'cutting',
  request,
  plan,
  units,
});

function taskTable(told: ToldPlan, units: UnitSystem, style: Style): string {
  const telling = tellingOf(told, units);
  const columns = [
    { title: 'Day' },
    { title: '±', align: 'right' as const },
    { title: 'What' },
    { title: 'Why' },
  ];
  const rows = told.plan.tasks.map((task) => {
    const { title, why } = taskWords(telling, task);
    const moves = task.giveOrTakeDays === 0 ? '' : `${task.giveOrTakeDays} d`;
    return [`${weekday(task.day)} ${shortDay(task.day)}`, moves, title, why];
  });
  return table(columns, rows, style);
}
