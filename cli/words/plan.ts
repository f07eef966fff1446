/** A plan as a page for the wall: what it comes to, then day by day. */

import type { Crop, Range } from '../../shared/crops/library/crop';
import { printedDays } from '../../shared/crops/library/emergence';
import type { PieceSize } from '../../shared/physics/soak';
import { type Day, dayText, shortDay, weekday } from '../../shared/planning/calendar-day';
import type { DayRange } from '../../shared/planning/dates';
import { PLAN_DEFAULTS } from '../../shared/planning/limits';
import type { Needs } from '../../shared/planning/needs';
import type { Pace } from '../../shared/planning/pace';
import type { BatchPlan } from '../../shared/planning/plan';
import type { Happened, PlanRequest } from '../../shared/planning/request';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { MM_PER_IN } from '../../shared/units/kinds';
import { type Fact, facts, type Style, table, wrap } from '../terminal/output';
import { aboutVolume, rough } from './about';
import { capitalised } from './capitalised';
import { type Telling, taskWords } from './plan-task';

/** A plan with what it was made from. */
export interface ToldPlan {
  readonly name: string;
  readonly crop: Crop;
  readonly request: PlanRequest;
  readonly happened: Happened;
  readonly plan: BatchPlan;
  /** Controller whose stored journal has dated it; null for none. */
  readonly datedBy: string | null;
  /** Why some of its marks were left out; null where none was. */
  readonly leftOut: string | null;
}

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

const roughVolume = (ml: number, units: UnitSystem): string => aboutVolume(ml, units, rough);

function roughRange({ low, high }: Range, units: UnitSystem): string {
  const [from, to] = [roughVolume(low, units), roughVolume(high, units)];
  return from === to ? from : `${from} to ${to}`;
}

const percent = (share: number): string => `${Number((share * 100).toFixed(1))} %`;

const counted = (count: number, what: string): string =>
  `${count} ${what}${count === 1 ? '' : 's'}`;

/** Chances near 1 are told apart by what is left. */
const nearPercent = (share: number): string => `${Number((share * 100).toFixed(3))} %`;

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

/** `36 x 36 x 40 mm`. */
function plugText({ lengthMm, widthMm, heightMm }: PieceSize, units: UnitSystem): string {
  const inches = (mm: number): string => (mm / MM_PER_IN).toFixed(1);
  const [sides, unit] =
    units === 'us'
      ? [[lengthMm, widthMm, heightMm].map(inches), 'in']
      : [[lengthMm, widthMm, heightMm].map(Math.round), 'mm'];
  return `${sides.join(' x ')} ${unit}`;
}

function seedFact({ crop, request, plan }: ToldPlan, units: UnitSystem): Fact {
  const { seeds, plants, germination, trays, inLastTray, plug } = plan.seed;
  const what = counted(seeds, crop.from === 'cutting' ? 'cutting' : 'seed');
  const cells = `${trays === 1 ? '1 tray' : `${trays} trays`} of ${request.cellsPerTray}`;
  const last = trays === 1 ? '' : `, ${inLastTray} plugs in the last`;
  return {
    label: crop.from === 'cutting' ? 'Cuttings' : 'Seed',
    value: `${what}, one a plug of ${plugText(plug, units)}: ${cells}${last}`,
    note: `${plants} ${plants === 1 ? 'stands' : 'stand'} with ${nearPercent(request.certainty)} certainty at ${Math.round(germination * 100)} %: ${request.plants} and ${percent(request.spareShare)} spare`,
  };
}

function needFacts({ request, plan }: ToldPlan, units: UnitSystem): Fact[] {
  const { needs } = plan;
  const { light, feedEc, stockEachMl } = needs;
  const stock =
    stockEachMl === null
      ? ''
      : `; ${roughRange(stockEachMl, units)} of each part of a stock that adds ${request.stock.gainMsCm} mS/cm at 1:${request.stock.ratio}`;
  return [
    matFact(request, plan, units),
    {
      label: 'Light',
      value: `${Math.round(light.hoursPerDay)} h a day, ${rough(light.hours)} h in all`,
      note: `for ${formatQuantity('light-sum', light.dliMol, units)} at ${formatQuantity('ppfd', request.ppfdUmol, units)}${laterLight(light, units)}`,
    },
    {
      label: 'Feed',
      value: `${roughVolume(needs.soakMl, units)} to soak in, ${roughRange(needs.givenMl, units)} later`,
      note:
        feedEc === null
          ? 'strength: nobody has published any'
          : `EC ${ecRange(feedEc)} mS/cm at first (${feedEc.source})${laterFeed(needs)}${stock}`,
    },
  ];
}

/** What a later stage wants more of, in words; empty where none does. */
function laterLight({ most }: Needs['light'], units: UnitSystem): string {
  if (most === null) return '';
  const wanted = formatQuantity('light-sum', most.dliMol, units);
  return `; later up to ${wanted}: ${Math.round(most.hoursPerDay)} h a day of it, or a stronger lamp`;
}

function laterFeed({ feedEc, strongestEc }: Needs): string {
  if (feedEc === null || strongestEc === null || strongestEc.high <= feedEc.high) return '';
  return `, later up to ${ecRange(strongestEc)} (${strongestEc.source}), and 1.0 at most around the transplant`;
}

function ecRange({ low, high }: Range): string {
  const [from, to] = [low.toFixed(1), high.toFixed(1)];
  return from === to ? from : `${from} to ${to}`;
}

function matFact({ mat }: PlanRequest, plan: BatchPlan, units: UnitSystem): Fact {
  const { matDays } = plan.needs;
  const room = roomNote(plan, units);
  if (mat === null) return { label: 'Mat', value: 'none', note: room };
  return {
    label: 'Mat',
    value: matDays === 0 ? 'not needed' : `${matDays} d`,
    note: `${firstWarmth(plan, units)}, ${room}`,
  };
}

function firstWarmth({ rootZone }: BatchPlan, units: UnitSystem): string {
  if (!rootZone.isWarmed) return 'warm enough at first without';
  return `at ${formatQuantity('temperature', rootZone.nightC, units)} first (${rootZone.source})`;
}

/** The room that all days are reckoned for. */
function roomNote({ room }: BatchPlan, units: UnitSystem): string {
  const [night, day] = [room.nightC, room.dayC].map((at) =>
    formatQuantity('temperature', at, units),
  );
  const air = night === day ? `${day}` : `${night} by night and ${day} by day`;
  switch (room.by) {
    case 'told':
      return `in a room of ${air}`;
    case 'tables':
      return `in a room taken as the tables’, ${air}: say --room`;
    case 'usual':
      return `in a room taken as ${air}: say --room`;
  }
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
          `${crop.from === 'cutting' ? 'Share of cuttings that root' : 'Germination'} is taken as ${percent(PLAN_DEFAULTS.germination)}: give what ${crop.from === 'cutting' ? 'yours did before' : 'the packet says'} with --germination.`,
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
