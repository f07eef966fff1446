/** The tables of a report: stages, days, calibrations, what the grower told. Pure. */
import type { JournalEntry, JournalKind } from '../../shared/journal/kinds';
import { formatQuantity, NO_VALUE, type UnitSystem } from '../../shared/units';
import { DAY_MS, HOUR_MS } from '../../shared/units/time';
import { arrivedOf, type Given } from '../explain/given';
import { between, notesOf, type Record } from '../explain/record';
import type { Stand } from '../explain/stand';
import type { DatedEntry } from '../journal/dating';
import { describeEntry } from '../journal/describe';
import { wholeNotes } from '../journal/notes';
import { lidText } from '../words/lid';
import { percent } from '../words/percent';
import { type Held, heldOf, IN_BAND_K } from './heat';
import type { Table } from './model';

export interface Frame {
  readonly fromMs: number;
  readonly toMs: number;
  readonly units: UnitSystem;
  /** Time of day of a place on the line, as the whole page has it. */
  readonly time: (atMs: number) => string;
  /** Beginnings of the days between, on the line of time. */
  readonly days: readonly {
    readonly fromMs: number;
    readonly toMs: number;
    readonly name: string;
  }[];
  /** Power of the mat, W, and the price of a kWh; null: not told. */
  readonly matW: number | null;
  readonly tariff: number | null;
}

type Columns = Table['columns'];
const words = (...titles: readonly string[]): Columns =>
  titles.map((title) => ({ title, isNumber: false }));
const numbers = (...titles: readonly string[]): Columns =>
  titles.map((title) => ({ title, isNumber: true }));

export function tablesOf(stand: Stand, frame: Frame): readonly Table[] {
  const { record } = stand;
  const all = [
    stagesTable(stand, frame),
    daysTable(stand, frame),
    energyTable(stand, frame),
    entriesTable(record, frame, 'What the grower told the controller', [
      'mark',
      'refill',
      'profile',
      'note',
      'count',
    ]),
    emergenceTable(record, frame),
    entriesTable(record, frame, 'Calibrations', ['calibration']),
  ];
  return all.filter(({ rows }) => rows.length > 0);
}

function rootText({ coldestC, warmestC }: Held, units: UnitSystem): string {
  if (!(coldestC <= warmestC)) return NO_VALUE;
  const temperature = (c: number): string => formatQuantity('temperature', c, units);
  return `${temperature(coldestC).replace(/ .*/, '')} to ${temperature(warmestC)}`;
}

interface Run {
  readonly index: number;
  readonly fromMs: number;
  readonly toMs: number;
}

/** Stages as they ran, by the readings: a change is told once, a reading every few minutes. */
function runsOf(record: Record, { fromMs, toMs }: Frame): readonly Run[] {
  const runs: { index: number; fromMs: number; toMs: number }[] = [];
  const STAGES_BELOW = 255;
  for (const { atMs, stageIndex } of between(record.readings, fromMs, toMs)) {
    const last = runs.at(-1);
    if (last !== undefined && last.index === stageIndex) last.toMs = atMs;
    else {
      if (last !== undefined) last.toMs = atMs;
      runs.push({ index: stageIndex, fromMs: atMs, toMs: atMs });
    }
  }
  return runs.filter(({ index }) => index < STAGES_BELOW);
}

function stagesTable(stand: Stand, frame: Frame): Table {
  const { record } = stand;
  const given = arrivedOf(record);
  const { units } = frame;
  const rows = runsOf(record, frame).map(({ index, fromMs, toMs }) => {
    const stage = record.profileAt(fromMs)?.stages[index] ?? null;
    const held = heldOf(stand, fromMs, toMs);
    const water = between(given, fromMs, toMs);
    return [
      stage === null ? `${index + 1}` : `${index + 1} ${stage.name}`,
      frame.time(fromMs),
      formatQuantity('duration', (toMs - fromMs) / 1000, units),
      stage === null ? NO_VALUE : lidText(stage.lid),
      rootText(held, units),
      percent(held.inBandShare),
      String(water.length),
      volumeText(
        sumOf(water, ({ ml }) => ml),
        units,
      ),
    ];
  });
  return {
    title: 'Stages',
    note: `The lid is as the stage wants it: nobody measures how it was, and where you marked it the plot shows that. In band: readings inside it or within ${formatQuantity('temperature-difference', IN_BAND_K, units)}.`,
    columns: [
      ...words('Stage', 'Began', 'For', 'Lid', 'Root zone'),
      ...numbers('In band', 'Doses', 'Water'),
    ],
    rows,
  };
}

const sumOf = (list: readonly Given[], of: (one: Given) => number): number =>
  list.reduce((sum, one) => sum + of(one), 0);

const volumeText = (ml: number, units: UnitSystem): string =>
  ml === 0 ? '0' : formatQuantity('volume', ml, units);

/** Water and salts day by day, with how far they have come. */
function daysTable(stand: Stand, frame: Frame): Table {
  const given = arrivedOf(stand.record);
  const { units } = frame;
  let allMl = 0;
  let allMg = 0;
  const rows = frame.days.map(({ fromMs, toMs, name }) => {
    const day = between(given, fromMs, toMs - 1);
    const eachMl = sumOf(day, (one) => one.eachMl);
    const eachMg = sumOf(day, (one) => one.eachSaltsMg);
    allMl += eachMl;
    allMg += eachMg;
    const held = heldOf(stand, fromMs, toMs);
    return [
      name,
      rootText(held, units),
      percent(held.inBandShare),
      String(day.length),
      volumeText(
        sumOf(day, ({ ml }) => ml),
        units,
      ),
      volumeText(eachMl, units),
      saltsText(eachMg),
      volumeText(allMl, units),
      saltsText(allMg),
    ];
  });
  const unweighed = between(given, frame.fromMs, frame.toMs).filter((one) => one.unweighed).length;
  const counted =
    unweighed === 0
      ? 'Water is what the scale saw of each dose.'
      : `Water is what the scale saw of each dose; ${unweighed} could not be weighed and ${unweighed === 1 ? 'counts' : 'count'} as planned.`;
  return {
    title: 'Water and salts, day by day',
    note: `${counted} Salts follow from the EC that was marked. What the plugs were soaked in is not counted.`,
    columns: [
      ...words('Day', 'Root zone'),
      ...numbers(
        'In band',
        'Doses',
        'Water',
        'Each plant',
        'Salts each',
        'Since the start',
        'Salts',
      ),
    ],
    rows,
  };
}

const saltsText = (mg: number): string =>
  Number.isFinite(mg) ? (mg === 0 ? '0' : `${mg.toFixed(1)} mg`) : NO_VALUE;

const WH_PER_KWH = 1000;

function energyTable(stand: Stand, frame: Frame): Table {
  const { record } = stand;
  const { fromMs, toMs, units, matW, tariff } = frame;
  const parts = [
    ...runsOf(record, frame).map((run) => ({
      ...run,
      name: record.profileAt(run.fromMs)?.stages[run.index]?.name ?? `stage ${run.index + 1}`,
    })),
    { fromMs, toMs, name: 'All of this time' },
  ];
  const rows = parts.map((part) => {
    const { matH } = heldOf(stand, part.fromMs, part.toMs);
    const kWh = ((matW ?? Number.NaN) * matH) / WH_PER_KWH;
    const share = matH / ((part.toMs - part.fromMs) / HOUR_MS);
    return [
      part.name,
      formatQuantity('duration', matH * 3600, units),
      percent(share),
      ...(matW === null ? [] : [`${kWh.toFixed(2)} kWh`]),
      ...(matW === null || tariff === null ? [] : [(kWh * tariff).toFixed(2)]),
    ];
  });
  return {
    title: 'Energy',
    note:
      matW === null
        ? 'The time that the mat was on. With the power on its label, --mat 40, this becomes kWh.'
        : `The mat alone, at ${matW} W.`,
    columns: [
      ...words('Time'),
      ...numbers(
        'Mat on',
        'Share',
        ...(matW === null ? [] : ['Energy']),
        ...(matW === null || tariff === null ? [] : ['Cost']),
      ),
    ],
    rows,
  };
}

function entriesTable(
  record: Record,
  frame: Frame,
  title: string,
  kinds: readonly JournalKind[],
): Table {
  const rows = toldOf(record)
    .filter(({ atMs, entry }) => kinds.includes(entry.kind) && isWithin(frame, atMs))
    .map(({ atMs, entry }) => [frame.time(atMs), describeEntry(entry, frame.units)]);
  return { title, note: '', columns: words('When', 'What'), rows };
}

const isWithin = ({ fromMs, toMs }: Frame, atMs: number): boolean => atMs >= fromMs && atMs <= toMs;

interface Told {
  readonly atMs: number;
  readonly entry: JournalEntry;
}

/** All entries in order, what was noted in several pieces as one, where its first piece stands. */
function toldOf({ notes }: Record): readonly Told[] {
  const key = ({ life, entry }: DatedEntry): string => `${life} ${entry.sequence}`;
  const times = new Map(notes.map(({ dated, atMs }) => [key(dated), atMs]));
  return wholeNotes(notes.map(({ dated }) => dated))
    .map((dated) => ({ atMs: times.get(key(dated)) ?? Number.NaN, entry: dated.entry }))
    .sort((a, b) => a.atMs - b.atMs);
}

/** What was counted since the crop was sown, with its curve; of the last sowing, where there are several. */
function emergenceTable(record: Record, frame: Frame): Table {
  const sown = notesOf(record, 'mark').filter(({ entry }) => entry.mark === 'sown');
  const counts = notesOf(record, 'count')
    .filter(({ atMs }) => isWithin(frame, atMs))
    .map(({ atMs, entry: { standing, of } }) => {
      const sownMs = sown.filter((mark) => mark.atMs <= atMs).at(-1)?.atMs ?? Number.NaN;
      return { atMs, sownMs, day: (atMs - sownMs) / DAY_MS, standing, of };
    });
  const rows = counts.map(({ atMs, day, standing, of }) => [
    frame.time(atMs),
    Number.isNaN(day) ? NO_VALUE : day.toFixed(1),
    `${standing} of ${of}`,
    percent(of > 0 ? standing / of : Number.NaN),
  ]);
  const curve = counts
    .filter(({ sownMs, of }) => sownMs === counts.at(-1)?.sownMs && of > 0)
    .map(({ day, standing, of }) => ({
      day,
      share: standing / of,
      label: `Day ${day.toFixed(1)}: ${standing} of ${of}`,
    }));
  return {
    title: 'What came up',
    note: 'As it was counted: `trayward seed test` judges it.',
    columns: [...words('When'), ...numbers('Day', 'Standing', 'Share')],
    rows,
    curve,
  };
}
