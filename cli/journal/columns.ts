/** The journal as a table: a column for every field that a kind of entry has, named with its unit. Pure. */
import { RESET_CAUSES } from '../../shared/board/words';
import { type JournalKind, NO_STAGE } from '../../shared/journal/kinds';
import { CALIBRATED, type EntryField, LAYOUT } from '../../shared/journal/layout';
import { profileIdText } from '../../shared/profile/image';
import { localIso } from '../terminal/local-time';
import { outputsText } from '../words/board';
import type { DatedEntry } from './dating';

export type Cell = string | number | boolean | null;

/** What all cells of a column are, but for those that are null. */
export type Holds = 'text' | 'number' | 'flag' | 'time';

export interface Column {
  /** `root_zone_c`, as spreadsheets name columns. */
  readonly title: string;
  readonly holds: Holds;
  /** Of its numbers; null where they have none, or not always the same. */
  readonly unit: string | null;
  readonly cellOf: (dated: DatedEntry) => Cell;
}

/** A time as programs write it; null for one that no calendar has, as a board may have been told. */
const isoText = (unixMs: number | null): string | null =>
  unixMs === null || Number.isNaN(new Date(unixMs).getTime())
    ? null
    : new Date(unixMs).toISOString();

/** Counted from 1, as every screen does. */
const stage = (index: number): Cell => (index === NO_STAGE ? null : index + 1);

const version = (number: number): string =>
  [Math.floor(number / 10_000), Math.floor(number / 100) % 100, number % 100].join('.');

interface Said {
  readonly holds: Holds;
  readonly of: (value: number) => Cell;
}
const numbered = (of: Said['of']): Said => ({ holds: 'number', of });
const worded = (of: Said['of']): Said => ({ holds: 'text', of });

/** Fields whose number stands for something that a person calls otherwise. */
const SAID: Readonly<Record<string, Said>> = {
  stage: numbered(stage),
  from: numbered(stage),
  to: numbered(stage),
  stageBefore: numbered(stage),
  stageAfter: numbered(stage),
  slot: numbered((index) => index + 1),
  outputs: worded(outputsText),
  cause: worded((index) => RESET_CAUSES[index] ?? String(index)),
  firmware: worded(version),
  profileId: worded((id) => (id === 0 ? null : profileIdText(id))),
  unixMs: { holds: 'time', of: isoText },
};

function cellFor(name: string, value: unknown): Cell {
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) return null;
    const said = SAID[name];
    return said === undefined ? value : said.of(value);
  }
  return typeof value === 'boolean' || typeof value === 'string' ? value : null;
}

/** A field's name as spreadsheets name columns. */
export const titleOf = (name: string): string =>
  name.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);

/** Units by the end of a name. */
const UNITS: Readonly<Record<string, string>> = {
  c: '°C',
  k: 'K',
  g: 'g',
  ml: 'ml',
  ms: 'ms',
  s: 's',
  share: '1',
  percent: '%',
  ec: 'mS/cm',
  ohm: 'Ω',
};

function unitOf(title: string): string | null {
  const [, counted, by] = /([a-z]+)_per_([a-z]+)$/.exec(title) ?? [];
  if (counted !== undefined && by !== undefined) return `${counted}/${by}`;
  return UNITS[title.split('_').at(-1) ?? ''] ?? null;
}

function holdsOf(name: string, field: EntryField): Holds {
  if (field.words !== undefined || field.bytes !== undefined) return 'text';
  if (field.type === undefined) return 'flag';
  return SAID[name]?.holds ?? 'number';
}

function fieldColumn(name: string, field: EntryField): Column {
  const title = titleOf(name);
  const holds = holdsOf(name, field);
  return {
    title,
    holds,
    unit: holds === 'number' ? unitOf(title) : null,
    cellOf: ({ entry }) => {
      const values: Readonly<Record<string, unknown>> = { ...entry };
      return cellFor(name, values[name]);
    },
  };
}

const head = (title: string, holds: Holds, cellOf: Column['cellOf']): Column => ({
  title,
  holds,
  unit: holds === 'number' ? unitOf(title) : null,
  cellOf,
});

const HEAD: readonly Column[] = [
  head('time', 'time', ({ unixMs }) => isoText(unixMs)),
  head('local_time', 'text', ({ unixMs }) =>
    unixMs === null || isoText(unixMs) === null ? null : localIso(unixMs),
  ),
  head('life', 'number', ({ life }) => life),
  head('boot', 'number', ({ entry }) => entry.boot),
  head('sequence', 'number', ({ entry }) => entry.sequence),
  head('uptime_ms', 'number', ({ entry }) => entry.uptimeMs),
  head('kind', 'text', ({ entry }) => entry.kind),
];

/** Columns of a kind; of every kind, each field once, a reading's first: most rows are readings. */
export function columnsOf(kind: JournalKind | null): readonly Column[] {
  const layouts: readonly Readonly<Record<string, EntryField>>[] =
    kind === null ? [LAYOUT.reading, ...Object.values(LAYOUT)] : [LAYOUT[kind]];
  const further = kind === null || kind === 'calibration' ? Object.values(CALIBRATED) : [];
  const fields = new Map<string, EntryField>();
  for (const layout of [...layouts, ...further])
    for (const [name, field] of Object.entries(layout))
      if (!fields.has(name)) fields.set(name, field);
  return [...HEAD, ...[...fields].map(([name, field]) => fieldColumn(name, field))];
}
