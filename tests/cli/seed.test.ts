/** Counts of emergence: how they are kept, put right, and what is refused. */
import { appendFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { LinkError } from '../../cli/link/client';
import { DAY_MS } from '../../shared/units/time';
import { Grower } from '../simulation/grower';
import { lot, SOWN, store, told, withStore } from './lots';
import { clientOf, runIn, trayward, worldAt, worldOf } from './worlds';

withStore();

describe('seed count', () => {
  it('keeps counts of a lot with their day, and lists them', async () => {
    expect((await lot(4, 'count', '12', 'of', '50', ...SOWN)).said).toContain(
      'Kept: 12 of 50 stand on day 4.0, 24 %.',
    );
    await lot(5.5, 'count', '31/50');
    const list = await lot(6, 'count', '--json');
    expect(JSON.parse(list.stdout).result).toMatchObject({
      place: { kind: 'lot', name: 'basil' },
      of: 50,
      counts: [
        { day: 4, standing: 12 },
        { day: 5.5, standing: 31 },
      ],
    });
    expect((await lot(6, 'count')).stdout).toMatch(/ 5\.5 +31 +62 %/);
  });

  it('calls the day of sowing that', async () => {
    expect((await lot(0, 'count', '0', 'of', '9', ...SOWN)).said).toContain(
      'Kept: 0 of 9 stand on the day of sowing, 0 %.',
    );
  });

  it('speaks of one seed as of one', async () => {
    const one = await lot(4, 'count', '1', 'of', '1', ...SOWN);
    expect(one.said).toContain('1 of 1 stands on day 4.0, 100 %. It is up.');
    expect((await lot(5, 'test')).stdout).toContain('One count of 1 seed, to day 4.0');
    await lot(6, 'count', '0', 'of', '1');
    expect((await lot(7, 'test')).stdout).toContain('One that was up stands no more.');
  });

  it('tells when half are up, and asks what became of those that fell', async () => {
    await lot(4, 'count', '12', 'of', '50', ...SOWN);
    // A lot stands on no tray that waits for a mark.
    expect((await lot(5, 'count', '30', 'of', '50')).said).toMatch(/Half of them are up\. *$/);
    expect((await lot(6, 'count', '27', 'of', '50')).said).toContain('3 fewer than before');
    // A count that is told later stands among those of its day.
    const late = await lot(7, 'count', '20', 'of', '50', '--at', '2026-03-15T00:00Z');
    expect(late.said).not.toContain('fewer');
  });

  it('takes a count that is made again at once for the right one', async () => {
    await lot(4, 'count', '12', 'of', '50', ...SOWN);
    await lot(5, 'count', '19', 'of', '50');
    await lot(5.02, 'count', '31', 'of', '50');
    const { stdout } = await lot(6, 'test', '--json');
    expect(
      JSON.parse(stdout).result.counts.map(({ standing }: { standing: number }) => standing),
    ).toEqual([12, 31]);
  });

  it('takes back a slip, hours later too', async () => {
    await lot(4, 'count', '5', 'of', '98', ...SOWN);
    await lot(5, 'count', '80', 'of', '98');
    const doubted = await lot(6, 'count', '12', 'of', '98');
    expect(doubted.said).toContain('68 fewer than before');
    expect(doubted.said).toContain('--instead');
    // The newest, and the one before it: each is put right for its own time.
    await lot(6.1, 'count', '14', 'of', '98', '--instead');
    await lot(6.2, 'count', '8', 'of', '98', '--instead', '--at', '2026-03-15T10:00Z');
    const { counts } = JSON.parse((await lot(7, 'count', '--json')).stdout).result;
    expect(counts).toMatchObject([
      { day: 4, standing: 5 },
      { day: 5, standing: 8 },
      { day: 6, standing: 14 },
    ]);
  });

  it('judges by what stands in place of a slip', async () => {
    await lot(5, 'count', '80', 'of', '98', ...SOWN);
    const mended = await lot(5.5, 'count', '8', 'of', '98', '--instead');
    expect(mended.said).toContain('Kept in place of 80 of 98: 8 of 98 stood on day 5.0, 8 %.');
    expect(mended.said).not.toContain('fewer');
    const { result } = JSON.parse((await lot(6, 'test', '--json')).stdout);
    expect(result).toMatchObject({ emerged: 8, counts: [{ day: 5, standing: 8 }] });
    const many = await lot(6, 'count', '8', 'of', '89', '--instead');
    expect(many.code).toBe(0);
  });

  it('without a controller names the way for seed that is on no tray', async () => {
    const { code, stderr } = await runIn(worldOf({}), ['seed', 'count', '4', 'of', '9']);
    expect(code).not.toBe(0);
    const nobody = worldOf({ findControllers: async () => [] });
    expect((await runIn(nobody, ['seed', 'count', '4', 'of', '9'])).stderr).toContain('--lot NAME');
    expect(stderr).not.toContain('undefined');
  });

  it('keeps those of a tray beside its journal, from the sowing that the controller knows', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.run(5 * DAY_MS);
    const world = worldAt(grower, { env: { TRAYWARD_STORE: store() } });
    const first = await runIn(world, ['seed', 'count', '20', 'of', '98', '--json']);
    expect(JSON.parse(first.stdout).result.counts[0].day).toBeCloseTo(5, 1);
    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.run(DAY_MS);
    // In the second stage its run time tells nothing of sowing: the journal does.
    const second = await runIn(world, ['seed', 'count', '60', 'of', '98', '--json']);
    const { counts } = JSON.parse(second.stdout).result;
    expect(counts).toHaveLength(2);
    expect(counts[1].day).toBeCloseTo(6, 1);
    expect(JSON.parse(second.stdout).result.inJournal).toBe(true);
    const inJournal = grower.journal().filter(({ kind }) => kind === 'count');
    expect(inJournal).toMatchObject([
      { stage: 0, standing: 20, of: 98 },
      { stage: 1, standing: 60, of: 98 },
    ]);
    const { stdout } = await runIn(worldOf({ env: { TRAYWARD_STORE: store() } }), ['seed', 'test']);
    expect(stdout).toContain('2 counts of 98 seeds');
  });

  it('is held to the table of the crop on the tray, at the root zone that its journal tells', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.run(6 * DAY_MS);
    const world = worldAt(grower, { env: { TRAYWARD_STORE: store() } });
    await runIn(world, ['seed', 'count', '20', 'of', '98']);
    const before = JSON.parse((await runIn(world, ['seed', 'test', '--json'])).stdout).result;
    expect(before.table).toBe(null);
    expect((await runIn(world, ['journal', 'pull'])).code).toBe(0);
    const { table } = JSON.parse((await runIn(world, ['seed', 'test', '--json'])).stdout).result;
    expect(table).toMatchObject({ crop: 'pepper', by: 'journal' });
    expect(table.atC).toBeGreaterThan(24);
    const { stdout } = await runIn(world, ['seed', 'test']);
    expect(told(stdout)).toContain('°C, the mean of the tray’s journal');
    // What is told goes before.
    const other = await runIn(world, ['seed', 'test', '--crop', 'tomato', '--at', '20C', '--json']);
    expect(JSON.parse(other.stdout).result.table).toMatchObject({ crop: 'tomato', by: 'told' });
  });

  it('keeps what the controller will not write down, and says that it is here alone', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.run(DAY_MS);
    const old = {
      ...clientOf(grower),
      call: (method: string, ...rest: unknown[]) =>
        method === 'count.write'
          ? Promise.reject(new LinkError('refused', 'unknown-method'))
          : Reflect.apply(clientOf(grower).call, null, [method, ...rest]),
    };
    const world = worldAt(grower, { env: { TRAYWARD_STORE: store() } }, old);
    const { code, stdout } = await runIn(world, ['seed', 'count', '20', 'of', '98']);
    expect(code).toBe(0);
    expect(told(stdout)).toContain('not in the journal of the tray');
    const half = await runIn(world, ['seed', 'count', '60/98']);
    expect(told(half.stdout)).toContain('Half of them are up: `trayward mark emerged`');
    const late = worldAt(grower, { env: { TRAYWARD_STORE: store() } });
    await runIn(late, ['seed', 'count', '9', 'of', '98', '--at', '3h']);
    // What is told later would stand in the journal at the wrong time.
    expect(grower.journal().some(({ kind }) => kind === 'count')).toBe(false);
  });

  it('tells nothing of an earlier sowing', async () => {
    await lot(4, 'count', '12', 'of', '50', ...SOWN);
    const anew = await lot(40, 'count', '5', 'of', '60', '--sown', '2026-04-15T12:00Z');
    expect(anew.code).toBe(0);
    const { counts } = JSON.parse((await lot(41, 'count', '--json')).stdout).result;
    expect(counts).toEqual([expect.objectContaining({ standing: 5 })]);
  });

  it('loses no other count by a torn or spoilt line', async () => {
    await lot(4, 'count', '12', 'of', '50', ...SOWN);
    const file = join(store(), 'lots', 'basil.jsonl');
    appendFileSync(file, '{"unixMs": 17');
    await lot(5, 'count', '31', 'of', '50');
    const { counts } = JSON.parse((await lot(6, 'count', '--json')).stdout).result;
    expect(counts).toHaveLength(2);
  });

  it.each([
    [['count', '12', 'of', '50'], 'When was lot "basil" sown?', 2],
    [['count', '60', 'of', '50', ...SOWN], 'No more can stand than were sown', 2],
    [['count', '0', 'of', '0', ...SOWN], 'Seeds sown: 1 to 100000', 2],
    [['count', 'many', ...SOWN], 'is no count', 2],
    [['count', '-1', 'of', '50', ...SOWN], 'is no count', 2],
    [['count', '1', 'of', '50', '--sown', '2026-03-30'], 'before it was sown', 1],
    [['count', '1', 'of', '50', '--sown', '2020-03-30'], 'more than 730 days', 1],
    [['count', '1', 'of', '50', ...SOWN, '--at', '2026-03-20'], 'has not come yet', 1],
    [['count'], 'No counts of lot "basil" are kept', 1],
    [['count', '1', 'of', '50', ...SOWN, '--instead'], 'No count of lot "basil" is kept', 1],
    [['count', '--instead'], '--instead needs the count', 2],
  ])('refuses %j', async (words, why, code) => {
    const answer = await lot(4, ...words);
    expect(answer.said).toContain(why);
    expect(answer.code).toBe(code);
  });

  it('refuses another number of seeds than the counts before, and names that are no file', async () => {
    await lot(4, 'count', '12', 'of', '50', ...SOWN);
    expect((await lot(5, 'count', '30', 'of', '60')).said).toContain('are of 50 sown');
    const { stderr } = await trayward('seed', 'count', '--lot', '../../etc', '--store', store());
    expect(told(stderr)).toContain('no name for a lot');
  });

  it('refuses before anything is sown on the tray', async () => {
    const world = worldAt(new Grower(), { env: { TRAYWARD_STORE: store() } });
    const { code, stderr } = await runIn(world, ['seed', 'count', '1', 'of', '98']);
    expect(code).toBe(1);
    expect(told(stderr)).toContain('Nothing was sown here');
  });
});
