/** Counts of emergence judged: series, replicates and trials; what is told, and what is refused. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { lot, SOWN, store, told, withStore } from './lots';
import { trayward } from './worlds';

withStore();

/** The first data set of the reference, as stand counts. */
const DAYS = ['5=4', '6=21', '7=31', '8=38', '9=39', '11=40'];
const test = (...words: string[]) => trayward('seed', 'test', ...words);
const typed = ['--of', '50', '--day', '4=0', ...DAYS.flatMap((day) => ['--day', day])];

describe('seed test', () => {
  it('tells how many, how fast and how evenly, with the curve', async () => {
    const { stdout } = await test(...typed);
    expect(stdout).toContain('40, 80 %  67 to 89 % of such seed');
    expect(stdout).toContain('day 5.9');
    expect(stdout).toContain('6.7 d, give or take 0.2');
    expect(stdout).toMatch(/^100 % \|/m);
    expect(stdout).toMatch(/o\.+o/);
    for (const line of stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    const { result } = JSON.parse((await test(...typed, '--json')).stdout);
    expect(result.pace).toMatchObject({ t50FarooqDay: 5.9, meanDays: 6.7, seDays: 0.2 });
    expect(result.lowShare).toBe(0.67);
  });

  it('tells days as closely as the counts do', async () => {
    // All came up between two counts: the mean is one of those days, or between.
    const daily = (await test('--of', '50', '--day', '4=10', '--day', '5=40')).stdout;
    expect(daily).toContain('4.8 d, give or take 0.1');
    const rare = ['--of', '50', '--day', '5=10', '--day', '15=40'];
    const { stdout } = await test(...rare);
    expect(stdout).toContain('day 8 ');
    expect(stdout).toContain('13 d, give or take 1');
    expect(told(stdout)).toContain('Counts lie some 10 days apart');
    const { pace } = JSON.parse((await test(...rare, '--json')).stdout).result;
    expect(pace).toMatchObject({ t50FarooqDay: 8, meanDays: 13, seDays: 1 });
  });

  it('reads a table with or without a title, and takes counts in any order', async () => {
    const file = join(store(), 'counts.csv');
    writeFileSync(file, `day;standing\n${[...DAYS, '4=0'].join('\n').replaceAll('=', ';')}\n`);
    const table = JSON.parse((await test('--csv', file, '--of', '50', '--json')).stdout).result;
    expect(table).toEqual(JSON.parse((await test(...typed, '--json')).stdout).result);
  });

  it('says how far chance alone sets two lots apart, and what tests tolerate', async () => {
    const { stdout } = await test('--of', '100', '--day', '9=90', '--against', '80 of 100');
    expect(told(stdout)).toContain('7.3 % of cases');
    expect(told(stdout)).toContain('proves no difference');
    // The tolerances are for tests of 400 seeds.
    expect(stdout).not.toContain('AOSA');
    const uneven = await test('--of', '100', '--day', '9=90', '--against', '340 of 400');
    expect(uneven.stdout).not.toContain('AOSA');
    const full = ['--of', '400', '--day', '9=380', '--against', '340 of 400'];
    expect(told((await test(...full)).stdout)).toContain(
      'differ by 6 points (AOSA); these do by 10.0',
    );
  });

  it('compares with a lot that was counted', async () => {
    await lot(9, 'count', '25', 'of', '50', ...SOWN);
    const { stdout } = await test(...typed, '--against', 'basil', '--store', store());
    expect(told(stdout)).toContain('Against 25 of 50, 50 %');
    expect(told(stdout)).toContain('the lots differ');
  });

  it.each([
    // Tomato at 25 C: 6 days by the trials, 5.5 to 6.5 as they are printed.
    [['6=40'], 'It came up in time'],
    [['4=40'], 'It came up sooner'],
    [['9=0', '12=40'], 'It is late'],
    [['5=10'], 'may still come in time'],
    [['9=10'], 'It is late'],
  ])('holds %j against the crop’s table: %s', async (pairs, words) => {
    const counts = pairs.flatMap((day) => ['--day', day]);
    const { stdout } = await test('--of', '50', ...counts, '--crop', 'tomato', '--at', '25C');
    expect(told(stdout)).toContain(words);
    expect(told(stdout)).toContain('Harrington and Minges 1954');
  });

  it.each([
    // Harrington and Minges 1954 print one whole number for each.
    ['tomato', '20C', '8 d at 20'],
    ['pepper', '25C', '8 d at 25'],
    ['onion', '15C', '7 d at 15'],
    ['tomato', '22C', '7 to 8 d at 22'],
  ])('tells the days of %s at %s as the table prints them', async (crop, at, days) => {
    const { stdout } = await test('--of', '50', '--day', '7=3', '--crop', crop, '--at', at);
    expect(told(stdout)).toContain(`half of ${crop} seed is up after ${days}.0 °C`);
  });

  it.each([
    // Half stood somewhere between the counts of days 7 and 9, and 8 is in time.
    [['7=3', '9=30'], 'unsure', 'after the count of day 7.0. That may have been in time, or late'],
    [['12=30'], 'unsure', 'Half of it stood at the first count already'],
    [['8=3', '8.4=30'], 'in-time', 'It came up in time'],
    // Not even half on the day after the table's last.
    [['8.6=24', '9=30'], 'late', 'It is late'],
  ])('says late of %j only where the counts show it: %s', async (pairs, pacing, words) => {
    const counts = pairs.flatMap((day) => ['--day', day]);
    const line = ['--of', '50', ...counts, '--crop', 'tomato', '--at', '20C'];
    expect(JSON.parse((await test(...line, '--json')).stdout).result.table.pacing).toBe(pacing);
    expect(told((await test(...line)).stdout)).toContain(words);
  });

  it('says nothing of a pace where all came up at one count', async () => {
    const { stdout } = await test('--of', '50', '--day', '9=40');
    expect(stdout).not.toContain('mean time');
    expect(told(stdout)).toContain('at one count');
    const none = await test('--of', '50', '--day', '9=0');
    expect(none.stdout).toContain('0, 0 %  0 to 7 %');
  });

  it.each([
    [['--of', '50'], '--of goes with'],
    [['--day', '4=12'], '--of is missing'],
    [['--of', '50', '--day', '4'], 'is no count'],
    [['--of', '50', '--day', '0=12'], 'above 0 and 730'],
    [['--of', '50', '--day', '4=60'], 'no more can stand than were sown'],
    [['--of', '50', '--day', '4=1', '--day', '4=2'], 'given twice'],
    [['--of', '50', '--day', '4=1', '--csv', 'x.csv'], 'not both'],
    [['--of', '50', '--csv', '/nowhere.csv'], 'No such file'],
    [[...typed, '--crop', 'tomato'], 'go together'],
    [[...typed, '--crop', 'tomato', '--at', '95C'], '0 °C to 50 °C'],
    [[...typed, '--against', '50 of 40'], 'No more can stand'],
  ])('refuses %j as wrong usage', async (words, why) => {
    const { code, stderr, stdout } = await test(...words);
    expect(code).toBe(2);
    expect(told(stderr)).toContain(why);
    expect(stdout).toBe('');
  });

  it('refuses what the table does not know, with its reason', async () => {
    const hot = await test(...typed, '--crop', 'lettuce', '--at', '40C');
    expect(hot.code).toBe(1);
    expect(told(hot.stderr)).toContain('no lettuce seed comes up');
    expect((await test(...typed, '--against', 'nobody', '--store', store())).code).toBe(1);
  });
});

describe('seed replicates', () => {
  it.each([
    [['91', '88', '94', '90'], '11 are tolerated (7 CFR 201.55): they agree'],
    [['91', '70', '94', '90'], 'they do not agree; repeat the test'],
    [['90', '99'], '7 are tolerated (7 CFR 201.55): they do not agree'],
    [['60', '55', '70', '61'], 'known here stop at a mean of 71 %: its printed table goes on'],
    [['30', '30', '31', '32'], 'known here stop at a mean of 71 %'],
    [['70', '71', '70', '72'], '18 are tolerated (7 CFR 201.55): they agree'],
    [['100', '100', '99', '100'], 'So near to all or none the table (7 CFR 201.55) has no figure'],
    [['99', '98'], 'So near to all or none'],
  ])('%j: %s', async (counts, words) => {
    expect(told((await trayward('seed', 'replicates', ...counts)).stdout)).toContain(words);
  });

  it.each([
    [['91', '88', '94'], 'two or four replicates'],
    [['91', '188'], 'no count of a hundred'],
  ])('refuses %j', async (counts, why) => {
    const { code, stderr } = await trayward('seed', 'replicates', ...counts);
    expect(code).toBe(2);
    expect(told(stderr)).toContain(why);
  });
});

describe('seed thermal', () => {
  it('says which trials it leaves out: those past the quickest', async () => {
    const words = ['15C=25d', '20C=13d', '25C=9d', '30C=9d', '35C=12d'];
    const { stdout } = await trayward('seed', 'thermal', ...words);
    expect(told(stdout)).toContain('Left out: 30.0 °C, 35.0 °C, where it came up no sooner than');
    const { result } = JSON.parse((await trayward('seed', 'thermal', ...words, '--json')).stdout);
    expect(result.leftOutC).toEqual([30, 35]);
    const all = await trayward('seed', 'thermal', ...words.slice(0, 3));
    expect(all.stdout).not.toContain('Left out');
  });

  it('fits base and sum, and tells the days at another temperature', async () => {
    const words = ['seed', 'thermal', '5C=57d', '10C=27d', '15C=19d', '20C=14d', '--to', '54.5F'];
    const { result } = JSON.parse((await trayward(...words, '--json')).stdout);
    // -0.1, but other trials would move it by 1 to 3 K.
    expect(result.baseC).toBe(0);
    expect(result.to.days).toBeCloseTo(282 / 12.6, 0);
    expect((await trayward(...words)).stdout).toContain('282 °C days');
    expect((await trayward(...words, '--units', 'us')).stdout).toContain('508 °F days');
    expect(told((await trayward(...words, '--units', 'us')).stdout)).toContain('by 2 to 5 °F');
  });

  it.each([
    [['15C=14d', '20C=8d'], 'three temperatures', 1],
    [['15C=8d', '20C=14d', '25C=20d'], 'warmer is faster', 1],
    [['15C=14d', '20C=8d', '25C=6d', '--to', '30C'], '--to is out of range: 15 °C to 25 °C', 1],
    [['15C=14d', '20C=8d', '25C=6d', '--to', '30C', '--units', 'us'], '59 °F to 77 °F', 1],
    [['-1C=40d', '20C=8d'], 'three temperatures', 1],
    [['15C', '20C=8d'], 'In "15C" the time: The duration is missing.', 2],
    [['15=14d', '20C=8d'], 'no unit', 2],
    [['15C=0d', '20C=8d'], '1 h to 730 d', 2],
  ])('refuses %j', async (trials, why, code) => {
    const answer = await trayward('seed', 'thermal', ...trials);
    expect(answer.code).toBe(code);
    expect(told(answer.stderr)).toContain(why);
  });
});
