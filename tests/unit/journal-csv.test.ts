/** The journal as a table: what a grower who opens it in a spreadsheet finds in it. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { asCsv } from '../../cli/journal/csv';
import { OUTPUT, RESET_CAUSES } from '../../shared/board/words';
import { type JournalBody, type JournalKind, NO_STAGE } from '../../shared/journal/kinds';
import { LAYOUT } from '../../shared/journal/layout';

const usualZone = process.env.TZ;
beforeAll(() => {
  process.env.TZ = 'Europe/Berlin';
});
afterAll(() => {
  if (usualZone === undefined) delete process.env.TZ;
  else process.env.TZ = usualZone;
});

const NIGHT = Date.UTC(2026, 6, 1, 22, 30);

/** The cells of one entry by the title of their column. None of these has a comma in it. */
function cells(
  body: JournalBody,
  unixMs: number | null = NIGHT,
  kind: JournalKind | null = null,
): Record<string, string> {
  const entry = { sequence: 7, boot: 2, uptimeMs: 300_000, ...body };
  const dated = { entry, life: 1, unixMs, afterMs: null, beforeMs: null };
  const [titles = '', row = ''] = asCsv([dated], kind).split('\r\n');
  const values = row.split(',');
  return Object.fromEntries(titles.split(',').map((title, i) => [title, values[i] ?? 'missing']));
}

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
  it('has temperature and weight in columns of their own, and the outputs in words', () => {
    expect(cells(READING)).toMatchObject({
      root_zone_c: '22.5',
      mat_c: '31.25',
      tray_g: '4588.1',
      dry_back_share: '',
      outputs: 'mat on',
    });
  });

  it('tells the time of this place with its offset, beside that of everywhere', () => {
    expect(cells(READING)).toMatchObject({
      time: '2026-07-01T22:30:00.000Z',
      local_time: '2026-07-02T00:30:00+02:00',
    });
    expect(cells(READING, null)).toMatchObject({ time: '', local_time: '' });
  });

  it('counts stages from 1, as screens do, and leaves none empty', () => {
    expect(cells(READING).stage).toBe('1');
    expect(cells({ ...READING, stage: NO_STAGE }).stage).toBe('');
    const change = { kind: 'stage', reason: 'mark', ranS: 60, waterMl: 0 } as const;
    expect(cells({ ...change, from: 0, to: 1 })).toMatchObject({ from: '1', to: '2' });
  });

  it('says what a start was by its cause, and which firmware by its version', () => {
    const start = { kind: 'boot', detail: 0, profileId: 0, faultRestarts: 0 } as const;
    const cause = RESET_CAUSES.indexOf('watchdog');
    const row = cells({ ...start, cause, firmware: 10_203 });
    expect(row).toMatchObject({ cause: 'watchdog', firmware: '1.2.3', profile_id: '' });
  });

  it('has a column for every field that any entry can have', () => {
    const titles = Object.keys(cells(READING));
    const plain = (name: string): string => name.replaceAll('_', '').toLowerCase();
    const columns = titles.map(plain);
    for (const fields of Object.values(LAYOUT)) {
      for (const name of Object.keys(fields)) expect(columns).toContain(plain(name));
    }
    expect(new Set(titles).size).toBe(titles.length);
  });

  it('leaves out what the one kind that is asked for never has', () => {
    const titles = Object.keys(cells(READING, NIGHT, 'reading'));
    expect(titles).toContain('root_zone_c');
    expect(titles).not.toContain('planned_ml');
  });

  it('takes no note for a formula', () => {
    expect(cells({ kind: 'note', more: 0, text: '=1+1' }).text).toBe("'=1+1");
    expect(cells({ kind: 'note', more: 0, text: 'leaned = stretched' }).text).toContain('leaned =');
  });

  it('ends every row as RFC 4180 has it', () => {
    expect(asCsv([], null)).toMatch(/^time,.*\r\n$/);
  });
});
