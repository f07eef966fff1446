/** Plans and the agenda: what is told to a grower, what is kept, and what is refused. */
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { convertIcsCalendar } from 'ts-ics';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { asMarked, traysOf } from '../../cli/planning/as-marked';
import { storedMarks, type TrayMarks } from '../../cli/planning/journal-marks';
import { type KeptPlan, openPlan } from '../../cli/planning/plan-file';
import { DAY_MS } from '../../shared/units/time';
import { Grower } from '../simulation/grower';
import { runIn, worldAt, worldOf } from './worlds';

const told = (text: string): string => text.replace(/\s+/g, ' ');
const noon = (year: number, month: number, date: number): number =>
  new Date(year, month - 1, date, 12).getTime();

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'trayward-plan-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

const at = (name: string): string => join(folder, name);
const world = (nowMs: number) =>
  worldOf({
    now: () => nowMs,
    env: { TRAYWARD_STORE: at('store') },
    findControllers: async () => [],
  });
/** On 1 December 2026. */
const trayward = (...words: string[]) => runIn(world(noon(2026, 12, 1)), words);
const resultOf = async (...words: string[]) => {
  const { stdout } = await trayward('--json', ...words);
  const { ok, result, error } = JSON.parse(stdout);
  if (!ok) throw new Error(error.message);
  return result;
};

const PEPPER = [
  'plan',
  'pepper',
  '--ready',
  '2027-03-20',
  '--plants',
  '60',
  '--germination',
  '85%',
];

describe('plan make', () => {
  it('tells dates, seeds, trays and tasks, with who says so', async () => {
    const { code, stdout } = await trayward(...PEPPER);
    expect(code).toBe(0);
    const text = told(stdout);
    expect(text).toContain('Ready Sat 2027-03-20');
    expect(text).toContain('80 seeds, one a plug of 36 x 36 x 40 mm: 1 tray of 98');
    expect(text).toContain('63 stand with 95 % certainty at 85 %: 60 and 5 % spare');
    expect(text).toMatch(
      /Soak 80 plugs .* Sow 80 seeds .* First feed .* Transplant 60 .* Water again/,
    );
    expect(text).toContain('Univ. of Delaware');
  });

  it('is the same from the other end', async () => {
    const { sow } = await resultOf(...PEPPER);
    const words = ['plan', 'make', 'pepper', '--sow', sow.planned, '--plants', '60'];
    expect((await resultOf(...words)).ready.planned).toBe('2027-03-20');
  });

  it('takes the room as one temperature, as night and day, in either unit', async () => {
    const room = async (text: string) =>
      (await resultOf(...PEPPER, '--room', text)).growthTimes.toFixed(4);
    expect(await room('16..22 C')).toBe(await room('19C'));
    expect(await room('16 to 22 C')).toBe(await room('16C..22C'));
    expect(await room('60.8..71.6 F')).toBe(await room('16..22C'));
    expect(Number(await room('17C'))).toBeGreaterThan(Number(await room('19C')));
  });

  it('says so where only the quickest sources have it ready in time', async () => {
    const { stdout } = await trayward(...PEPPER, '--ready', '2027-01-18');
    expect(told(stdout)).toContain('Sow Tue 2026-12-01');
    expect(told(stdout)).toContain('later than 2027-01-18: only the quickest sources');
    expect(told((await trayward(...PEPPER)).stdout)).not.toContain('later than');
  });

  it('has a page of 80 columns, one task a line, wherever it is written to', async () => {
    for (const crop of ['pepper', 'petunia', 'onion', 'cucumber', 'chrysanthemum']) {
      for (const units of ['metric', 'us']) {
        const words = ['--units', units, 'plan', crop, '--sow', '2027-01-10', '--plants', '200'];
        const { code, stdout } = await trayward(...words);
        expect(code, stdout).toBe(0);
        for (const line of stdout.split('\n')) expect(line.length, line).toBeLessThanOrEqual(80);
      }
    }
  });

  it('soaks the plugs that are told, as `water soak` does, and says which it takes otherwise', async () => {
    const soaked = async (...words: string[]) => (await resultOf(...PEPPER, ...words)).needs.soakMl;
    const bath = ['water', 'soak', '--pieces', '80', '--size', 'plug-25'];
    expect(await soaked('--plug', 'plug-25')).toBe((await resultOf(...bath)).mixMl);
    // Twice as many in the tray are half as large.
    expect(await soaked('--trays', '196')).toBeCloseTo((await soaked()) / 2, -2);
    expect(told((await trayward(...PEPPER, '--trays', '200')).stdout)).toContain(
      'Plugs are taken as of 25 x 25 x 40 mm, as fill a tray of 200: give yours with --plug.',
    );
    expect((await trayward(...PEPPER, '--plug', 'plug-36')).stdout).not.toContain('are taken as');
    const kept = await resultOf(...PEPPER, '--plug', '1 x 1 x 1.5 in', '--keep', 'inches');
    expect((await resultOf('plan', 'show', 'inches')).seed).toEqual(kept.seed);
  });

  it('is in US units where they are asked for', async () => {
    const { stdout } = await trayward('--units', 'us', ...PEPPER);
    expect(stdout).toContain('78.8 °F');
    expect(stdout).toContain('gal');
    expect(stdout).not.toMatch(/°C|\d ml|\d l\b/);
  });

  it.each([
    [['plan', 'lettice', '--sow', '2027-01-01', '--plants', '5'], 2, 'Did you mean "lettuce"?'],
    [['plan', 'radish', '--sow', '2027-01-01', '--plants', '5'], 1, 'sown where it stays'],
    [[...PEPPER, '--plug', 'slab-900'], 2, 'nothing is sown in one'],
    [[...PEPPER, '--plug', '100x100x65mm'], 1, 'the largest take 24. Say with --trays'],
    [[...PEPPER, '--ready', '2026-12-20'], 1, 'it had to be sown on'],
    [[...PEPPER, '--ready', '2026-11-20'], 1, 'today is 2026-12-01'],
    [[...PEPPER, '--ready', '2027-02-30'], 2, 'no day of the calendar'],
    [[...PEPPER, '--ready', '2036-02-20'], 1, 'two years ahead'],
    [[...PEPPER, '--sow', '2027-01-01'], 2, 'both given'],
    [['plan', 'pepper', '--plants', '5'], 2, '--ready or --sow is missing'],
    [[...PEPPER, '--plants', '0'], 2, 'from 1 to 50000'],
    [[...PEPPER, '--germination', '120%'], 2, '1 % to 100 %'],
    [[...PEPPER, '--certainty', '100%'], 2, 'nothing is wholly certain'],
    [[...PEPPER, '--spare', '80%'], 2, 'out of range'],
    [[...PEPPER, '--trays', '0'], 2, 'from 1 to 600'],
    [[...PEPPER, '--room', '2C'], 2, 'where people and plants are'],
    [[...PEPPER, '--room', '22..16 C'], 2, 'from warm to cold'],
    [[...PEPPER, '--room', '18'], 2, 'no unit'],
    [[...PEPPER, '--room', '11C'], 1, 'hardly grows'],
    [[...PEPPER, '--room', '14.6C', '--unheated'], 1, 'too cold for pepper seed'],
    [[...PEPPER, '--ppfd', '20umol'], 1, 'stronger lamp'],
    [[...PEPPER, '--mat', 'a', '--unheated'], 2, 'contradict'],
    [[...PEPPER, '--keep', '../x'], 2, 'no name for a plan'],
    [[...PEPPER, '--zone', 'Europe/Berlin'], 2, '--zone needs --at'],
    [[...PEPPER, '--at', '25:00'], 2, 'no time of day'],
    [[...PEPPER, '--at', '8:00', '--zone', 'Berlin'], 2, 'no time zone'],
  ])('refuses %j', async (words, exit, why) => {
    const { code, stdout, stderr } = await trayward(...words);
    expect(told(stderr)).toContain(why);
    expect(code).toBe(exit);
    expect(stdout).toBe('');
    // What to do next is said, too.
    expect(stderr.trim().split('\n').length).toBeGreaterThan(1);
  });
});

describe('a calendar of a plan', () => {
  const events = (file: string) =>
    (convertIcsCalendar(undefined, readFileSync(file, 'utf8')).events ?? []).map((one) => ({
      uid: one.uid,
      sequence: one.sequence ?? 0,
      day: one.start.date.toISOString().slice(0, 10),
    }));
  const uids = (file: string): string[] =>
    events(file)
      .map(({ uid }) => uid)
      .sort();

  it('is updated by a plan for another date, and doubles nothing', async () => {
    const file = at('p.ics');
    const first = await resultOf(...PEPPER, '--ics', file);
    const before = uids(file);
    expect(before).toHaveLength(first.tasks.length);
    const text = readFileSync(file, 'utf8');
    await resultOf(...PEPPER, '--ics', file);
    expect(readFileSync(file, 'utf8')).toBe(text);
    await resultOf(...PEPPER, '--ready', '2027-03-27', '--ics', file);
    expect(uids(file)).toEqual(before);
    const transplant = events(file).find(({ uid }) => uid.includes('-transplant@'));
    expect(transplant).toMatchObject({ day: '2027-03-27', sequence: 1 });
  });

  it('leaves alone what is not of this plan, unless it is told', async () => {
    for (const [name, text, why] of [
      [
        'diary.ics',
        'BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nEND:VCALENDAR\r\n',
        'no calendar of this',
      ],
      ['empty.ics', '', 'no calendar of this'],
    ] as const) {
      writeFileSync(at(name), text);
      const { code, stderr } = await trayward(...PEPPER, '--ics', at(name), '--keep', 'x');
      expect(code).toBe(1);
      expect(told(stderr)).toContain(why);
      expect(readFileSync(at(name), 'utf8')).toBe(text);
      // Nothing is half done: it is not kept either.
      expect(existsSync(at('store'))).toBe(false);
      expect((await trayward(...PEPPER, '--ics', at(name), '--force')).code).toBe(0);
    }
    const lettuce = ['plan', 'lettuce', '--ready', '2027-03-20', '--plants', '60'];
    const other = await trayward(...lettuce, '--ics', at('diary.ics'));
    expect(other.code).toBe(1);
    expect(told(other.stderr)).toContain('of a plan for pepper');
  });

  it('of one kept plan is not taken over by another, but one of none is', async () => {
    await resultOf(...PEPPER, '--ics', at('a.ics'));
    const before = uids(at('a.ics'));
    const { id } = await resultOf(...PEPPER, '--ics', at('a.ics'), '--keep', 'a');
    expect(uids(at('a.ics'))).toEqual(before);
    const other = await trayward(...PEPPER, '--ics', at('a.ics'), '--keep', 'b');
    expect(told(other.stderr)).toContain('the calendar of another plan');
    expect((await resultOf(...PEPPER, '--keep', 'b')).id).not.toBe(id);
  });

  it('of a kept plan is not moved by another plan that happens to be called so', async () => {
    await resultOf(...PEPPER, '--keep', 'pep', '--ics', at('pep.ics'));
    await runIn(world(noon(2027, 2, 1)), ['plan', 'update', 'pep', '--sown', '2027-01-30']);
    const before = readFileSync(at('pep.ics'), 'utf8');
    const { code, stderr } = await trayward(...PEPPER, '--ics', at('pep.ics'));
    expect(code).toBe(1);
    expect(told(stderr)).toContain('those of the kept plan "pep"');
    expect(readFileSync(at('pep.ics'), 'utf8')).toBe(before);
    expect((await trayward(...PEPPER, '--ics', at('other.ics'))).code).toBe(0);
  });

  it('of two plans never share a task', async () => {
    await resultOf(...PEPPER, '--ics', at('a.ics'));
    await resultOf(...PEPPER, '--ics', at('b.ics'));
    expect(uids(at('a.ics')).filter((uid) => uids(at('b.ics')).includes(uid))).toEqual([]);
  });
});

describe('a kept plan', () => {
  it('is one at a time, and the command that takes no more is named whole', async () => {
    const { code, stderr } = await trayward('plan', 'show', 'north', 'south');
    expect(code).toBe(2);
    expect(told(stderr)).toContain('There are more words than plan show takes.');
  });

  it('is told again, and moves with what happened', async () => {
    const made = await resultOf(...PEPPER, '--keep', 'pepper-a', '--ics', at('a.ics'));
    expect(await resultOf('plan', 'show', 'pepper-a')).toMatchObject({
      id: made.id,
      sow: made.sow,
    });
    const later = world(noon(2027, 2, 20));
    const run = (...words: string[]) => runIn(later, ['plan', 'update', 'pepper-a', ...words]);
    expect((await run('--sown', '2027-01-28')).code).toBe(0);
    const moved = await run('--emerged', '2027-02-09', '--ics', at('a.ics'), '--json');
    const { result } = JSON.parse(moved.stdout);
    expect(result).toMatchObject({
      revision: 2,
      happened: { sown: '2027-01-28', emerged: '2027-02-09' },
    });
    expect(result.ready.planned).toBe('2027-03-24');
    const counted = await run('--counted', '41');
    expect(told(counted.stdout)).toMatch(/41 stand of 80, 22 fewer than 63\. Sow \d+ more at once/);
    expect(told(counted.stdout)).toContain('hardly chance');
    expect((await run('--counted', '81')).code).toBe(1);
    expect(told((await run('--emerged', '2027-01-20')).stderr)).toContain('before it was sown');
    expect(told((await run('--emerged', '2027-06-20')).stderr)).toContain('still to come');
  });

  it('that is under way is not planned anew by mistake, nor for another crop', async () => {
    const keep = ['--keep', 'batch'];
    await resultOf(...PEPPER, ...keep);
    const lettuce = ['plan', 'lettuce', '--ready', '2027-03-20', '--plants', '60', ...keep];
    expect(told((await trayward(...lettuce)).stderr)).toContain('a plan for pepper');
    await resultOf('plan', 'update', 'batch', '--sown', '2026-11-30');
    expect(told((await trayward(...PEPPER, ...keep)).stderr)).toContain('was sown on 2026-11-30');
    expect((await trayward(...lettuce, '--force')).code).toBe(0);
  });

  it('may be a file of one’s own; what is no plan is refused, and not written over', async () => {
    await resultOf(...PEPPER, '--out', at('mine.yaml'));
    expect((await resultOf('plan', 'show', at('mine.yaml'))).name).toBe('mine');
    for (const text of ['', '{', 'trayward-plan: 2', 'a: &x 1\nb: *x', '\u0000']) {
      writeFileSync(at('other.yaml'), text);
      for (const words of [
        ['plan', 'show', at('other.yaml')],
        [...PEPPER, '--out', at('other.yaml')],
      ]) {
        const { code, stderr } = await trayward(...words);
        expect([1, 2]).toContain(code);
        expect(told(stderr)).toContain('no plan of this program');
      }
      expect(readFileSync(at('other.yaml'), 'utf8')).toBe(text);
    }
    const text = readFileSync(at('mine.yaml'), 'utf8');
    writeFileSync(at('mine.yaml'), text.replace('2027-03-20', '2027-02-30'));
    expect(told((await trayward('plan', 'show', at('mine.yaml'))).stderr)).toContain('at aim.day');
  });
});

describe('plan check', () => {
  it('tells what is double-booked, and what to do about it', async () => {
    await resultOf(...PEPPER, '--keep', 'one');
    await resultOf(...PEPPER, '--ready', '2027-03-30', '--keep', 'two');
    const { code, stdout } = await trayward('plan', 'check');
    expect(code).toBe(0);
    expect(told(stdout)).toContain('2 trays on "the mat", which takes 1: one, two.');
    expect(told(stdout)).toContain('2 trays under "the light"');
    const roomy = await resultOf(
      'plan',
      'check',
      'one',
      'two',
      '--mat-holds',
      '2',
      '--light-holds',
      '2',
    );
    expect(roomy.clashes.map(({ kind }: { kind: string }) => kind)).not.toContain('mat');
    const alone = await trayward('plan', 'check', 'one');
    expect(alone.code).toBe(2);
    expect(told(alone.stderr)).toContain('there is one plan alone');
    const strange = await trayward('plan', 'check', 'one', 'nope');
    expect(told(strange.stderr)).toContain('No plan is kept as "nope"');
    expect(told(stdout)).not.toContain('Plans without --mat');
    await resultOf(...PEPPER, '--mat', 'A', '--keep', 'three');
    expect(told((await trayward('plan', 'check')).stdout)).toContain(
      'Plans without --mat are taken to be on another one than "A"',
    );
  });
});

describe('the agenda', () => {
  const agenda = async (nowMs: number, ...words: string[]) =>
    told((await runIn(world(nowMs), ['agenda', '--offline', ...words])).stdout);

  it('has what is due in the next days, and what is overdue', async () => {
    const words = ['plan', 'pepper', '--sow', '2027-01-28', '--plants', '60', '--keep', 'p'];
    await resultOf(...words);
    expect(await agenda(noon(2027, 1, 1))).toContain(
      'p: nothing in these days; next on Tue 2027-01-26: Clean reservoir, tray.',
    );
    const eve = await agenda(noon(2027, 1, 27));
    expect(eve).toMatch(/today p Soak 80 plugs .* Thu 28 Jan p Sow 80 seeds/);
    const late = await agenda(noon(2027, 1, 30));
    expect(late).toContain('Thu 28 Jan overdue p Sow 80 seeds');
    expect(late).not.toContain('Air daily');
    await runIn(world(noon(2027, 1, 30)), ['plan', 'update', 'p', '--sown', '2027-01-30']);
    expect(await agenda(noon(2027, 1, 31))).toMatch(/today p Air daily/);
    const happened = ['--emerged', '2027-02-07', '--transplanted', '2027-03-22'];
    await runIn(world(noon(2027, 3, 22)), ['plan', 'update', 'p', ...happened]);
    expect(await agenda(noon(2027, 3, 22))).toContain('Thu 25 Mar p Water again');
    expect(await agenda(noon(2027, 3, 26))).toContain('p: all of it is done.');
  });

  it('says so where there is nothing to tell', async () => {
    const { code, stderr } = await trayward('agenda');
    expect(code).toBe(3);
    expect(told(stderr)).toMatch(/No controller was found.*No plan is kept: `trayward plan pepper/);
    expect(await agenda(noon(2027, 1, 1))).toContain('No plan is kept');
  });

  it('goes by the marks in the journal of the controller, and tells what the tray waits for', async () => {
    const grower = new Grower();
    grower.commission();
    const env = { TRAYWARD_STORE: at('store') };
    const run = (...words: string[]) => runIn(worldAt(grower, { env }), words);
    const sow = new Date(grower.bench.unixMs).toISOString().slice(0, 10);
    const later = new Date(grower.bench.unixMs + 3 * DAY_MS).toISOString().slice(0, 10);
    await run('plan', 'pepper', '--sow', sow, '--plants', '20', '--keep', 'c');
    // One tray is one plan's, and of its crop: the nearer has it, and lettuce is not what was sown.
    await run('plan', 'pepper', '--sow', later, '--plants', '20', '--keep', 'c-later');
    await run('plan', 'lettuce', '--sow', sow, '--plants', '20', '--keep', 'salad');
    grower.bench.run(6 * DAY_MS);
    await run('mark', 'emerged');
    const { result } = JSON.parse((await run('--json', 'agenda', 'c', '--days', '30')).stdout);
    expect(result.plans).toMatchObject([
      { name: 'c', datedBy: expect.stringMatching(/^[0-9a-f]{16}$/) },
    ]);
    const all = JSON.parse((await run('--json', 'agenda')).stdout).result.plans;
    const owners = all.filter(({ datedBy }: { datedBy: string | null }) => datedBy !== null);
    expect(owners).toMatchObject([{ name: 'c' }]);
    const kinds = result.tasks.map(({ kind }: { kind: string }) => kind);
    expect(kinds).toContain('first-feed');
    expect(kinds).not.toContain('look');
    const feed = result.tasks.find(({ kind }: { kind: string }) => kind === 'first-feed');
    const emerged = new Date(grower.bench.unixMs + 3 * DAY_MS).toISOString().slice(0, 10);
    expect(feed.day).toBe(emerged);
    expect(result.tray.tasks.map(({ kind }: { kind: string }) => kind)).toContain('stage');
    const text = told((await run('agenda')).stdout);
    expect(text).toContain('c goes by the marks of controller');
    expect(text).toContain('lid ');
    // The wall and the calendar go by the same days.
    const shown = JSON.parse(
      (await run('--json', 'plan', 'show', 'c', '--ics', at('c.ics'))).stdout,
    ).result;
    expect(shown).toMatchObject({ datedBy: result.plans[0].datedBy });
    const dayOf = (kind: string) =>
      shown.tasks.find((task: { kind: string }) => task.kind === kind)?.day;
    expect(dayOf('first-feed')).toBe(emerged);
    const stamp = emerged.replaceAll('-', '');
    expect(readFileSync(at('c.ics'), 'utf8')).toMatch(
      new RegExp(`DTSTART;VALUE=DATE:${stamp}\\r\\n(.*\\r\\n)*?SUMMARY:c: First feed`),
    );
    expect(told((await run('plan', 'show', 'c')).stdout)).toContain('by the marks of controller');
    // What is counted is in the plan at once, whichever command asks for it.
    grower.bench.run(4 * DAY_MS);
    await run('seed', 'count', '9', 'of', '30');
    expect(told((await run('plan', 'show', 'c')).stdout)).toMatch(
      /9 stand of 30, 12 fewer than 21/,
    );
    expect((await run('plan', 'show', 'c', '--offline')).code).toBe(0);
  });

  it('keeps a count that is newer, and takes none that tells nothing yet', async () => {
    await resultOf('plan', 'pepper', '--sow', '2026-12-02', '--plants', '60', '--keep', 'p');
    const update = (...words: string[]) =>
      runIn(world(noon(2026, 12, 20)), ['plan', 'update', 'p', ...words]);
    await update('--sown', '2026-12-02', '--emerged', '2026-12-10');
    const early = await update('--counted', '20', '--on', '2026-12-11');
    expect(early.code).toBe(1);
    expect(told(early.stderr)).toContain('Count again from 2026-12-13 on');
    expect((await update('--counted', '50', '--on', '2026-12-16')).code).toBe(0);
    const older = await update('--counted', '30', '--on', '2026-12-14');
    expect(older.code).toBe(1);
    expect(told(older.stderr)).toContain('A later count is kept: 50 on 2026-12-16');
    expect(await agenda(noon(2026, 12, 17))).toContain('Sow 18 more');
  });

  it('leaves out marks that contradict what the grower has told: they are of another batch', async () => {
    const words = ['--sow', '2026-12-02', '--plants', '60', '--keep', 'p', '--controller'];
    await resultOf('plan', 'pepper', ...words, '0123456789abcdef');
    const update = ['plan', 'update', 'p', '--sown', '2026-12-02', '--emerged', '2026-12-11'];
    await runIn(world(noon(2026, 12, 11)), update);
    const { kept } = openPlan(at('store'), 'p');
    const [sown, emerged] = [kept.happened.sown ?? 0, kept.happened.emerged ?? 0];
    const marks = {
      ...{ boardId: '0123456789abcdef', crop: null, sown, emerged: sown + 5, counted: null },
      transplanted: sown + 30,
    };
    const asTold = (of: KeptPlan, tray: TrayMarks, today: number) =>
      asMarked(of, traysOf([of], [tray]).get(of.id) ?? null, today);
    const moved = asTold(kept, marks, sown + 31);
    expect(moved).toMatchObject({ datedBy: marks.boardId, happened: { emerged } });
    expect(moved.happened.transplanted).toBe(sown + 30);
    const early = asTold(kept, { ...marks, transplanted: emerged - 1 }, sown + 31);
    expect(early).toMatchObject({ datedBy: marks.boardId, happened: { transplanted: null } });
    expect(early.leftOut).toContain('It cannot be transplanted');
    // Sown late by weeks, but on the controller that was named for it; not what was sown before it was planned.
    const fresh = { ...kept, happened: { ...kept.happened, sown: null, emerged: null } };
    const late = { ...marks, sown: sown + 14, emerged: null, transplanted: null };
    expect(asTold(fresh, late, sown + 15).happened.sown).toBe(sown + 14);
    expect(asTold({ ...fresh, controller: null }, late, sown + 15).datedBy).toBeNull();
    const last = { ...late, sown: sown - 20 };
    expect(asTold(fresh, last, sown + 15).datedBy).toBeNull();
  });

  it('has what is missing sown again, in the days in which that is worth it', async () => {
    await resultOf('plan', 'pepper', '--sow', '2026-12-02', '--plants', '60', '--keep', 'p');
    const update = (day: number, ...words: string[]) =>
      runIn(world(noon(2026, 12, day)), ['plan', 'update', 'p', ...words]);
    await update(12, '--sown', '2026-12-02', '--emerged', '2026-12-10');
    expect(await agenda(noon(2026, 12, 13))).toContain('Count what is up');
    await update(14, '--counted', '41');
    const text = await agenda(noon(2026, 12, 14), '--days', '60');
    expect(text).toMatch(/today p Sow 30 more 22 missing; at once, by 17 Dec/);
    expect(text).not.toContain('Count what is up');
    expect(text).toContain('Count again');
    expect(text).toContain('Transplant 41 of 60');
    expect(await agenda(noon(2026, 12, 16))).toContain('today p Sow 30 more');
    expect(await agenda(noon(2026, 12, 18))).not.toContain('Sow 30 more');
    await update(17, '--counted', '63');
    const enough = await agenda(noon(2026, 12, 17), '--days', '60');
    expect(enough).not.toMatch(/more|Count again/);
    expect(enough).toContain('Transplant 60');
  });

  it('goes by what was counted where nobody marked: half is up, and later how many there are', async () => {
    const grower = new Grower();
    grower.commission();
    const store = at('counts');
    const run = (...words: string[]) =>
      runIn(worldAt(grower, { env: { TRAYWARD_STORE: store } }), words);
    const count = async (standing: string) => {
      expect((await run('seed', 'count', standing, 'of', '20')).code).toBe(0);
      await run('journal', 'pull');
      return storedMarks(store)[0];
    };
    grower.bench.run(5 * DAY_MS);
    expect(await count('4')).toMatchObject({ emerged: null, counted: null });
    grower.bench.run(DAY_MS);
    const sown = storedMarks(store)[0]?.sown ?? Number.NaN;
    expect(await count('11')).toMatchObject({ emerged: sown + 6, counted: null });
    grower.bench.run(3 * DAY_MS);
    expect(await count('17')).toMatchObject({
      emerged: sown + 6,
      counted: { day: sown + 9, plants: 17, of: 20 },
    });
  });
});
