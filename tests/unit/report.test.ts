/** What a report says of a journal, in its first screen, its plots and its tables. */
import { describe, expect, it } from 'vitest';
import type { Report } from '../../cli/report/model';
import { reportOf, type Wanted } from '../../cli/report/of-journal';
import type { JournalEntry } from '../../shared/journal/kinds';
import { EVENING_MS, HOUR_MS, MadeJournal, PROFILE_ID, TRAY } from './made-journal';

const WANTED: Wanted = {
  boardId: 'e66100000000000b',
  sinceMs: null,
  untilMs: null,
  nowMs: EVENING_MS,
  units: 'metric',
  offsetMin: 0,
  matW: null,
  tariff: null,
};

function reported(made: MadeJournal, wanted: Partial<Wanted> = {}): Report {
  const report = reportOf(
    [{ life: 1, entries: made.entries, damaged: 0 }],
    { byId: new Map([[PROFILE_ID, made.profile]]), activeId: null },
    { ...WANTED, ...wanted },
  );
  if (report === null) throw new Error('there is no report');
  return report;
}
/** The same, looked at when the journal ends. */
const fresh = (made: MadeJournal, hours: number): Report =>
  reported(made, { nowMs: EVENING_MS + hours * HOUR_MS });

const calm = (): MadeJournal => new MadeJournal().goOn(12, { trayG: (h) => 4590 - 0.2 * h });
const cooling = (h: number): number => 16 + 11 * Math.exp(-h / 6);
const says = (lines: readonly { says: string }[]): string =>
  lines.map((line) => line.says).join(' ');
const tableOf = (report: Report, title: string) =>
  report.tables.find((table) => table.title.startsWith(title));

describe('the first screen', () => {
  it('of a night in which all was well says so, and no more than the journal knows', () => {
    const { happened, plants, leave, leaveWhy } = fresh(calm(), 12).answers;
    expect(says(happened)).toContain('Nothing went wrong, as far as the journal tells.');
    expect(says(plants)).toContain('Nothing in the journal says that they suffered.');
    expect(says(plants)).toContain('in its band 100 % of the time');
    expect(leave).toBe('nothing-against');
    expect(says(leaveWhy)).toContain('no journal knows');
    expect(says(leaveWhy)).toContain('Nobody has told what is in the reservoir');
  });

  it('tells a cold spell with what it meant, and leads to where more is told', () => {
    const made = calm()
      .goOn(6, { rootC: (h) => 16 + 11 * Math.exp(-h / 6), duty: 1 })
      .goOn(4);
    const { happened, plants } = fresh(made, 22).answers;
    expect(happened[0]).toMatchObject({ id: 'incident-1' });
    expect(says(plants)).toMatch(/degree-hours/);
    expect(says(plants)).toMatch(/The longest time outside was [45] h/);
  });

  it('tells first of all that the wool went dry, then how cold it was', () => {
    const made = calm()
      .goOn(6, { rootC: (h) => 16 + 11 * Math.exp(-h / 6), duty: 1 })
      .goOn(3)
      .goOn(6, { trayG: (h) => 4587 - 540 * h })
      .goOn(2, { trayG: 1347 });
    const { plants, next } = fresh(made, 29).answers;
    expect(plants[0]?.says).toMatch(/^The wool lost up to 80\.\d % of its water/);
    expect(plants[1]?.says).toContain('Seed that has begun to germinate and dries out dies');
    expect(says(plants.slice(2))).toContain('degree-hours');
    expect(says(next)).toContain('Soak the tray again');
  });

  it('has the same longest time outside as the incident, though the power was out in it', () => {
    const made = calm().boot('power-on', 18).goOn(0.1, { rootC: 20, duty: 1 }).clock(6);
    made.goOn(5, { rootC: (h) => Math.min(27, 20 + 1.7 * h), duty: 1 }).goOn(2);
    const { incidents, answers } = fresh(made, 25.1);
    const cold = incidents[0]?.findings.find(({ kind }) => kind === 'cold');
    const [, told] = /longest time outside was (\d+ h( \d+ min)?)/.exec(says(answers.plants)) ?? [];
    expect(told).toBeDefined();
    expect(cold?.what.says).toContain(`for ${told},`);
  });

  it('adds up the degree-hours of all spells in one line', () => {
    const spell = { rootC: 20, duty: 1 } as const;
    const made = calm().goOn(3, spell).goOn(6).goOn(3, spell).goOn(6).goOn(3, spell).goOn(2);
    const { plants } = fresh(made, 35).answers;
    const told = plants.filter((line) => line.says.includes('degree-hours'));
    expect(told).toHaveLength(1);
    expect(told[0]?.says).toMatch(/^5\d degree-hours below the band, in 3 spells\.$/);
  });

  it('does not take what a loose probe read in the air for the root zone', () => {
    const made = calm().alarm('probe-jumped', 'raised', 5, 1);
    made.goOn(6, { rootC: 9, matC: (h) => 26 - h, duty: 0 });
    expect(says(fresh(made, 18).answers.plants)).toMatch(/Root zone 2\d\.\d °C to 27\.0 °C/);
  });

  it('counts a dose that did not come nowhere, and half a one as a half everywhere', () => {
    const made = calm().goOn(1, { stage: 1, rootC: 25 });
    made.dose(60).goOn(2, { stage: 1, rootC: 25 }).dose(30).goOn(2, { stage: 1, rootC: 25 });
    made.dose(0).goOn(2, { stage: 1, rootC: 25 });
    const report = fresh(made, 19);
    expect(says(report.answers.plants)).toContain('Fed by 2 doses: 0.9 ml for each plant');
    const stages = tableOf(report, 'Stages')?.rows.at(-1);
    expect(stages?.slice(-2)).toEqual(['2', '90.2 ml']);
  });

  it('has four of a kind at the most in each answer, and counts the others', () => {
    const made = calm().alarm('probe-open', 'raised', 4092, 4000).alarm('mat-probe-failed');
    made.alarm('scale-silent').alarm('storage-failing').alarm('restarting-often', 'raised', 3, 3);
    made
      .alarm('pump-stuck-on', 'raised', 1)
      .goOn(8, { rootC: cooling, trayG: (h) => 4587 - 540 * h });
    const { happened, plants, next, leaveWhy } = fresh(made, 20).answers;
    expect(says(happened)).toMatch(/And \d+ more, below\./);
    expect(says(next)).toMatch(/And \d+ more, below\./);
    expect(says(leaveWhy)).toMatch(/And \d+ more, below\./);
    for (const lines of [happened, plants, next, leaveWhy]) expect(lines.length).toBeLessThan(7);
  });

  it('says not yet while an alarm holds heat off, and how it is ended', () => {
    const made = calm().alarm('probe-open', 'raised', 4092, 4000).goOn(1, { duty: 0 });
    const { leave, leaveWhy, next } = fresh(made, 13).answers;
    expect(leave).toBe('not-yet');
    expect(says(leaveWhy)).toContain('heat held off');
    expect(says(next)).toContain('trayward alarm mended probe-open');
  });

  it('names what waits for hands within days, and is not green meanwhile', () => {
    // Pepper at 27 C: half of it is up in about eight days, some of it in six.
    const near = new MadeJournal().goOn(5 * 24);
    const { leave, leaveWhy } = fresh(near, 5 * 24).answers;
    expect(leave).toBe('look-first');
    expect(says(leaveWhy)).toMatch(
      /On \d+ Mar: seed may be up: lid propped, and `trayward mark emerged`/,
    );
    const fed = new MadeJournal({
      ...TRAY,
      stages: TRAY.stages.map((stage) => ({ ...stage, feedEc: 1.8 })),
    });
    fed.note({ kind: 'refill', volumeMl: 4_000, feedEc: 0.9 }).goOn(24, { stage: 1, rootC: 25 });
    const other = fresh(fed, 24).answers;
    expect(other.leave).toBe('look-first');
    expect(says(other.leaveWhy)).toContain('Due now: feed of 1.80 mS/cm is wanted.');
  });

  it('says not sown of a tray in which nothing depends on it yet', () => {
    const { leave, leaveWhy } = fresh(new MadeJournal().goOn(2, { stage: 255 }), 2).answers;
    expect(leave).toBe('not-sown');
    expect(says(leaveWhy)).toContain('not sown');
  });

  it('says look first where the journal ends long before now', () => {
    const { leave, leaveWhy } = fresh(calm(), 15).answers;
    expect(leave).toBe('look-first');
    expect(says(leaveWhy)).toContain('trayward status');
  });

  it('of a time that is over says how it stood then', () => {
    const made = calm().alarm('probe-open', 'raised', 4092, 4000).goOn(2, { duty: 0 });
    made.alarm('probe-open', 'returned').alarm('probe-open', 'cleared').goOn(6);
    const untilMs = EVENING_MS + 13 * HOUR_MS;
    const { leave, leaveWhy } = reported(made, { untilMs }).answers;
    expect(leave).toBe('not-yet');
    expect(says(leaveWhy)).toContain('how it stood then');
    expect(fresh(made, 20).answers.leave).not.toBe('not-yet');
  });

  it('reckons the reservoir by the doses since it was filled, and doubts it when one did not come', () => {
    const filled = () =>
      calm().note({ kind: 'refill', volumeMl: 1_000, feedEc: 1 }).goOn(1, { stage: 1 });
    const fed = filled().dose(59).goOn(1, { stage: 1 });
    expect(says(fresh(fed, 14).answers.leaveWhy)).toContain('940 ml are left');
    const missed = filled().dose(0).goOn(1, { stage: 1 });
    expect(says(fresh(missed, 14).answers.leaveWhy)).toContain('look whether it is so');
  });

  it('says look first where a stage waters and nobody told what is in the reservoir', () => {
    const made = calm().goOn(6, { stage: 1, rootC: 25 });
    expect(fresh(made, 18).answers.leave).toBe('look-first');
  });

  it('says look first when the reservoir does not last two days', () => {
    const made = calm().note({ kind: 'refill', volumeMl: 100, feedEc: 1 });
    made.goOn(1, { stage: 1 }).dose(59).goOn(1, { stage: 1 });
    const { leave, leaveWhy } = fresh(made, 14).answers;
    // 40 ml left, 60 ml in three days.
    expect(says(leaveWhy)).toContain('about 2 d');
    expect(leave).toBe('nothing-against');
    // What a stage opens with does not come again every three days.
    const opened = calm().note({ kind: 'refill', volumeMl: 1_000, feedEc: 1 });
    opened.goOn(1, { stage: 1 }).dose(395, 400, 'opening').dose(59).goOn(1, { stage: 1 });
    expect(says(fresh(opened, 14).answers.leaveWhy)).toContain('about 27 d');
    const onlyOpened = calm().note({ kind: 'refill', volumeMl: 1_000, feedEc: 1 });
    onlyOpened.goOn(1, { stage: 1 }).dose(395, 400, 'opening').goOn(1, { stage: 1 });
    const { leaveWhy: early } = fresh(onlyOpened, 14).answers;
    expect(says(early)).toContain('600 ml are left');
    expect(says(early)).toContain('How long it lasts does not show');
    made.dose(59).goOn(1, { stage: 1 });
    expect(fresh(made, 15).answers.leave).toBe('look-first');
  });
});

describe('the time that is told', () => {
  it('begins with the crop, and is cut to what was asked', () => {
    const all = reported(calm());
    expect(all.plot).toMatchObject({ fromUnixMs: EVENING_MS, lengthMin: 720 });
    const part = reported(calm(), {
      sinceMs: EVENING_MS + HOUR_MS,
      untilMs: EVENING_MS + 3 * HOUR_MS,
    });
    expect(part.plot).toMatchObject({ fromUnixMs: EVENING_MS + HOUR_MS, lengthMin: 120 });
    expect(part.period).toBe('1 Mar 19:00 to 1 Mar 21:00 (2026), 2 h');
  });

  it('is that of the tray’s own zone', () => {
    expect(reported(calm(), { offsetMin: 330 }).period).toMatch(/^1 Mar 23:30 to 2 Mar 11:30/);
    expect(reported(calm(), { offsetMin: 330 }).made).toContain('UTC+5:30');
  });

  it('counts days where no clock was ever set', () => {
    const made = calm();
    const undated: JournalEntry[] = made.entries.filter(({ kind }) => kind !== 'clock');
    made.entries.splice(0, made.entries.length, ...undated);
    const { plot, period } = reported(made);
    expect(plot.fromUnixMs).toBeNull();
    expect(period).toMatch(/^day 1 00:00 to day 1 12:00, 12 h$/);
  });

  it('has no report where it holds no entry', () => {
    const lives = [{ life: 1, entries: calm().entries, damaged: 0 }];
    const profiles = { byId: new Map(), activeId: null };
    const later = { ...WANTED, sinceMs: EVENING_MS + 100 * HOUR_MS };
    expect(reportOf(lives, profiles, later)).toBeNull();
    expect(reportOf([], profiles, WANTED)).toBeNull();
  });
});

describe('the plot', () => {
  it('has the lid where the grower marked it, until a stage wants it elsewhere', () => {
    const made = calm();
    made.note({ kind: 'note', more: 0, text: 'lid vents open' });
    made.goOn(6);
    // No mark of the lid, but the end of a longer note.
    made.note({ kind: 'note', more: 1, text: 'moved it, the old' });
    made.note({ kind: 'note', more: 0, text: 'lid off' });
    const { lids } = reported(made.goOn(6).goOn(6, { stage: 1, rootC: 25 })).plot;
    expect(lids.map(({ label, from }) => [label, Math.round(from / 60)])).toEqual([
      ['closed', 0],
      ['vents open, marked', 12],
      ['propped', 24],
    ]);
  });

  it('has the band and the lid of each stage, for as long as it ran', () => {
    const { bands, stages, lids } = reported(calm().goOn(6, { stage: 1, rootC: 25 })).plot;
    expect(bands).toMatchObject([
      { from: 5, to: 725, low: 26, high: 28, night: false },
      { from: 725, to: 1080, low: 24, high: 26 },
    ]);
    expect(stages.map(({ label }) => label)).toEqual(['1 germinate', '2 first feed']);
    expect(lids.map(({ label }) => label)).toEqual(['closed', 'propped']);
  });

  it('breaks its lines where the power was out, and says so', () => {
    const made = calm().boot('power-on', 18).clock(6).goOn(2);
    const { rows, blanks } = reported(made).plot;
    expect(blanks).toMatchObject([{ label: 'Power off', from: 720, to: 1080 }]);
    const gap = rows.minutes.filter((minute, i) => minute < 1080 && rows.weight[i] === null);
    expect(gap).toHaveLength(1);
  });

  it('tells dry-back as the scale alone reads it beside that of the controller', () => {
    const { rows } = reported(calm()).plot;
    // (4594 - 4587.6) g of 4057 g.
    expect(rows.rawDryBack.at(-1)).toBeCloseTo(0.16, 2);
    expect(rows.dryBack.at(-1)).toBeCloseTo(0.16, 2);
  });

  it('leads from its marks to what explains them', () => {
    const made = calm().alarm('probe-open', 'raised', 4092, 4000).goOn(1, { duty: 0 });
    const report = reported(made);
    expect(report.plot.alarms).toMatchObject([{ id: 'alarm-probe-open', grave: true, from: 720 }]);
    expect(report.plot.incidents[0]).toMatchObject({ id: 'incident-1', number: 1 });
    expect(report.alarms).toMatchObject([{ alarm: 'probe-open', standing: true }]);
  });

  it('is in the reader’s units', () => {
    const { rows, temperatureUnit, massUnit } = reported(calm(), { units: 'us' }).plot;
    expect(rows.rootZone.at(-1)).toBeCloseTo(80.6, 5);
    expect(rows.weight[0]).toBeCloseTo(10.119, 3);
    expect([temperatureUnit, massUnit]).toEqual(['°F', 'lb']);
  });
});

describe('the tables', () => {
  it('count what each plant got by what the scale saw, and its salts by the marked feed', () => {
    const made = calm().note({ kind: 'refill', volumeMl: 4_000, feedEc: 1 });
    made.goOn(1, { stage: 1 }).dose(59).goOn(1, { stage: 1 });
    const [day] = tableOf(reported(made), 'Water')?.rows.slice(-1) ?? [];
    // 59 g are 59.1 ml, for 98 plugs; 640 mg/l of salts for each mS/cm.
    expect(day?.slice(3, 7)).toEqual(['1', '59.1 ml', '0.6 ml', '0.4 mg']);
  });

  it('tell the energy only where the power of the mat was told', () => {
    const plain = tableOf(reported(calm()), 'Energy');
    expect(plain?.columns.map(({ title }) => title)).toEqual(['Time', 'Mat on', 'Share']);
    const told = tableOf(reported(calm(), { matW: 50, tariff: 0.3 }), 'Energy');
    // 12 h at 40 %, 50 W; the first reading tells of no time before it.
    expect(told?.rows.at(-1)).toEqual([
      'All of this time',
      '4 h 46 min',
      '40 %',
      '0.24 kWh',
      '0.07',
    ]);
  });

  it('count no energy for a time in which nobody knows what the mat did', () => {
    const made = new MadeJournal().goOn(2, { duty: 1 }).boot('power-on', 8).clock(6);
    const [, matOn] = tableOf(reported(made.goOn(2, { duty: 1 })), 'Energy')?.rows.at(-1) ?? [];
    // Two times two hours, each without the five minutes before its first reading.
    expect(matOn).toBe('3 h 50 min');
  });

  it('name the stages with their lids, and what the grower told', () => {
    const report = reported(calm());
    expect(tableOf(report, 'Stages')?.rows[0]?.slice(0, 4)).toEqual([
      ...['1 germinate', '1 Mar 18:05', '11 h 55 min', 'closed'],
    ]);
    expect(tableOf(report, 'What the grower told')?.rows).toEqual([
      ['1 Mar 18:00', 'Marked sown at 4590 g.'],
    ]);
  });

  it('have what was counted, with its curve, and what was noted, in one piece', () => {
    const made = calm().goOn(48);
    made.note({ kind: 'count', stage: 0, standing: 49, of: 98 });
    made.note({ kind: 'note', more: 1, text: 'leaned, lamp low' });
    made.note({ kind: 'note', more: 0, text: 'ered' });
    const report = reported(made.goOn(1));
    expect(tableOf(report, 'What came up')?.rows).toEqual([
      ['4 Mar 06:00', '2.5', '49 of 98', '50 %'],
    ]);
    expect(tableOf(report, 'What came up')?.curve).toEqual([
      { day: 2.5, share: 0.5, label: 'Day 2.5: 49 of 98' },
    ]);
    expect(tableOf(report, 'Stages')?.curve).toBe(undefined);
    const told = tableOf(report, 'What the grower told')?.rows.map(([, what]) => what);
    expect(told?.slice(1)).toEqual(['Counted: 49 of 98 stand.', 'Note: "leaned, lamp lowered".']);
  });

  it('tell a share of the seed as `seed count` does: 41 of 98 are 42 %', () => {
    const made = calm();
    made.note({ kind: 'count', stage: 0, standing: 41, of: 98 });
    expect(tableOf(reported(made.goOn(1)), 'What came up')?.rows[0]?.[3]).toBe('42 %');
  });

  it('leave out what is not known: without its profile a stage has a number alone', () => {
    const made = calm();
    const report = reportOf(
      [{ life: 1, entries: made.entries, damaged: 0 }],
      { byId: new Map(), activeId: null },
      WANTED,
    );
    expect(report?.plot.bands).toEqual([]);
    expect(report?.title).toBe('Tray of controller e66100000000000b');
    expect(says((report?.unknown ?? []).map((one) => ({ says: one })))).toContain('not kept here');
    expect(report?.tables[0]?.rows[0]?.[0]).toBe('1');
  });
});
