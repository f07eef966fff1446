/** Plans: what is told to a grower, what is kept, and what is refused. */
import { readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { at, eachInItsPlace, noon, PEPPER, resultOf, told, trayward, world } from './plan-place';
import { runIn } from './worlds';

eachInItsPlace();

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
