/** The agenda: what is due, by the plan, the marks in the journal and what was counted. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { asMarked, traysOf } from '../../cli/planning/as-marked';
import { storedMarks, type TrayMarks } from '../../cli/planning/journal-marks';
import { type KeptPlan, openPlan } from '../../cli/planning/plan-file';
import { DAY_MS } from '../../shared/units/time';
import { Grower } from '../simulation/grower';
import { at, eachInItsPlace, noon, resultOf, told, trayward, world } from './plan-place';
import { runIn, worldAt } from './worlds';

eachInItsPlace();

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
