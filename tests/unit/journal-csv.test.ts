/** The journal as a table: what a grower who opens it in a spreadsheet finds in it. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { columnsOf } from '../../cli/journal/columns';
import { asCsv, isReading, type Sheet, sheetColumns } from '../../cli/journal/csv';
import { type DatedEntry, dateEntries } from '../../cli/journal/dating';
import { HEADINGS } from '../../cli/journal/headings';
import { OUTPUT, RESET_CAUSES } from '../../shared/board/words';
import { JOURNAL_KINDS } from '../../shared/journal/codec';
import { type JournalBody, NO_STAGE } from '../../shared/journal/kinds';
import { MadeJournal } from './made-journal';

const usualZone = process.env.TZ;
beforeAll(() => {
  process.env.TZ = 'Europe/Berlin';
});
afterAll(() => {
  if (usualZone === undefined) delete process.env.TZ;
  else process.env.TZ = usualZone;
});

const NIGHT = Date.UTC(2026, 6, 1, 22, 30);

const entryOf = (body: JournalBody, unixMs: number | null = NIGHT): DatedEntry => ({
  entry: { sequence: 7, boot: 2, uptimeMs: 300_000, ...body },
  ...{ life: 1, unixMs, afterMs: null, beforeMs: null },
});

/** The cells of one entry by the heading of their column, in the sheet that its kind stands in. */
function cells(
  body: JournalBody,
  sheet: Sheet = isReading(body.kind) ? 'readings' : 'events',
  unixMs: number | null = NIGHT,
): Record<string, string> {
  const [headings = [], row = []] = tableOf(asCsv([entryOf(body, unixMs)], sheet));
  return Object.fromEntries(headings.map((heading, i) => [heading, row[i] ?? 'missing']));
}

/** A table as a spreadsheet takes it apart. */
const tableOf = (csv: string): readonly (readonly string[])[] =>
  csv
    .split('\r\n')
    .slice(0, -1)
    .map((line) =>
      [...line.matchAll(/(?:^|,)(?:"((?:[^"]|"")*)"|([^",]*))/g)].map(([, quoted, plain]) =>
        (quoted ?? plain ?? '').replaceAll('""', '"'),
      ),
    );

const READING = {
  kind: 'reading',
  stage: 0,
  rootZoneC: 22.5,
  matC: 31.25,
  trayG: 4588.1,
  dryBackShare: Number.NaN,
  matDutyShare: 0.4,
  spreadG: 0.32,
  outputs: OUTPUT.matOn,
} as const;

describe('the journal as a table', () => {
  it('has one quantity a column, with its unit in the heading, and the outputs in words', () => {
    expect(cells(READING)).toMatchObject({
      'root zone (°C)': '22.5',
      'mat (°C)': '31.25',
      'tray (g)': '4588.1',
      'dry-back (%)': '',
      'mat on (% of the time)': '40',
      'switched on': 'mat on',
    });
    expect(cells({ ...READING, dryBackShare: 0.1407 })['dry-back (%)']).toBe('14.07');
  });

  it('tells one time, that of this place with its offset', () => {
    const summer = cells(READING);
    expect(summer.time).toBe('2026-07-02T00:30:00+02:00');
    expect(Object.keys(summer)[0]).toBe('time');
    expect(Object.values(summer).filter((cell) => /^\d{4}-\d\d/.test(cell))).toHaveLength(1);
    expect(cells(READING, 'readings', Date.UTC(2026, 0, 1)).time).toBe('2026-01-01T01:00:00+01:00');
    expect(cells(READING, 'readings', null).time).toBe('');
    const clock = { kind: 'clock', unixMs: NIGHT, outageS: 0 } as const;
    expect(cells(clock)['clock set to']).toBe('2026-07-02T00:30:00+02:00');
  });

  it('counts stages from 1, as screens do, and leaves none empty', () => {
    expect(cells(READING).stage).toBe('1');
    expect(cells({ ...READING, stage: NO_STAGE }).stage).toBe('');
    const change = { kind: 'stage', reason: 'mark', ranS: 60, waterMl: 59.099998474 } as const;
    expect(cells({ ...change, from: 0, to: 1 })).toMatchObject({
      'stage that ended': '1',
      'stage that began': '2',
      'water in the stage (ml)': '59.1',
    });
  });

  it('says what a start was by its cause, and which firmware by its version', () => {
    const start = { kind: 'boot', detail: 0, profileId: 0, faultRestarts: 0 } as const;
    const cause = RESET_CAUSES.indexOf('watchdog');
    const row = cells({ ...start, cause, firmware: 10_203 }, 'boot');
    expect(row).toMatchObject({ 'cause of the start': 'watchdog', firmware: '1.2.3', profile: '' });
  });

  it('has readings in one sheet and all else in the other, each entry once', () => {
    const made = new MadeJournal().goOn(0.25).alarm('too-cold', 'raised', 21.5, 24).dose(58.4);
    const dated = dateEntries(made.entries);
    const [, ...readings] = tableOf(asCsv(dated, 'readings'));
    const [headings = [], ...events] = tableOf(asCsv(dated, 'events'));
    expect(readings).toHaveLength(3);
    expect(readings.length + events.length).toBe(made.entries.length);
    const said = events.map((row) => row[headings.indexOf('what happened')]);
    expect(said).toContain('Dose of 60.0 ml (dry-back): seen, tray gained 58.4 g.');
    // Nothing happened to a probe here: no column of its offset stands empty.
    expect(headings).toContain('tray gained (g)');
    expect(headings.join()).not.toContain('offset');
  });

  it('has what an alarm was raised by under its own quantity and unit', () => {
    const raised = { kind: 'alarm', change: 'raised', stage: 0, forS: 0 } as const;
    expect(cells({ ...raised, alarm: 'too-cold', value: 21.5, limit: 24 })).toMatchObject({
      'alarm at (°C)': '21.5',
      'limit of the alarm (°C)': '24',
    });
    const missed = cells({ ...raised, alarm: 'dose-not-seen', value: 2, limit: 60 });
    expect(missed).toMatchObject({ 'alarm at (g)': '2', 'limit of the alarm (g)': '60' });
    expect(missed).not.toHaveProperty('alarm at (°C)');
  });

  it('names every field that an entry can have in words, with the unit of its number', () => {
    for (const { title, unit } of columnsOf(null)) {
      const heading = HEADINGS[title];
      if (title === 'value' || title === 'limit') continue;
      expect(heading, title).toBeDefined();
      if (unit !== null) expect(heading?.unit, title).toBeDefined();
    }
    for (const sheet of ['readings', 'events', ...JOURNAL_KINDS] as const) {
      const headings = sheetColumns(sheet).map(({ heading }) => heading);
      expect(new Set(headings).size).toBe(headings.length);
      expect(headings.join()).not.toContain('_');
    }
  });

  it('leaves out what the one kind that is asked for never has', () => {
    const headings = Object.keys(cells(READING, 'reading'));
    expect(headings).toContain('root zone (°C)');
    expect(headings).not.toContain('dose (ml)');
    const dose = sheetColumns('dose').map(({ heading }) => heading);
    expect(dose).toContain('dose (ml)');
    expect(dose).not.toContain('root zone (°C)');
  });

  it('takes no note for a formula', () => {
    expect(cells({ kind: 'note', more: 0, text: '=1+1' }).note).toBe("'=1+1");
    expect(cells({ kind: 'note', more: 0, text: 'leaned = stretched' }).note).toContain('leaned =');
  });

  it('ends every row as RFC 4180 has it', () => {
    expect(asCsv([], 'readings')).toMatch(/^time,.*\r\n$/);
  });
});
