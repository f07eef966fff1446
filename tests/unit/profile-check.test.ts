import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { checkProfileText } from '../../shared/profile/host/check';
import { emergenceOf } from '../../shared/profile/host/emergence';
import { problemText } from '../../shared/profile/host/problem';
import { profileJsonSchema } from '../../shared/profile/host/schema';
import { decodeProfile, encodeProfile } from '../../shared/profile/image';

const crop = (name: string): string => readFileSync(`shared/crops/${name}`, 'utf8');
const PEPPER = crop('pepper.yaml');
const check = (text: string) => checkProfileText(text, 'tray.yaml', 0);

/** The pepper profile with one change, and what is said about it. */
function changed(from: string, to: string) {
  expect(PEPPER).toContain(from);
  const text = PEPPER.replace(from, to);
  const { problems, profile } = check(text);
  const line = text.split('\n').findIndex((row) => row.includes(to.split('\n')[0] ?? to)) + 1;
  return { problems, profile, line, text: problems.map(problemText).join('\n') };
}

describe('crop profiles that come with the program', () => {
  for (const name of readdirSync('shared/crops').filter((file) => file.endsWith('.yaml'))) {
    it(`${name} passes without a word, and survives the image exactly`, () => {
      const { problems, profile } = check(crop(name));
      expect(problems.map(problemText)).toEqual([]);
      if (profile === null) throw new Error('no profile');
      const decoded = decodeProfile(encodeProfile(profile));
      expect(decoded.ok && decoded.profile).toEqual(profile);
    });
  }

  it('are kept for five crops, each named as its file', () => {
    const names = readdirSync('shared/crops').flatMap((file) =>
      file.endsWith('.yaml') ? [file.replace(/\.yaml$/, '')] : [],
    );
    expect(names).toEqual(['basil', 'cucumber', 'lettuce', 'pepper', 'tomato']);
    for (const name of names) expect(check(crop(`${name}.yaml`)).profile?.crop).toBe(name);
  });

  it('keep basil warm from first to last: its leaves suffer below about 12 C (common practice)', () => {
    const { profile } = check(crop('basil.yaml'));
    for (const { name, band } of profile?.stages ?? []) {
      expect(band.lowC, name).toBeGreaterThanOrEqual(20);
    }
  });

  it('have an editor schema that is current', () => {
    const committed = JSON.parse(readFileSync('shared/profile/profile.schema.json', 'utf8'));
    expect(committed).toEqual(JSON.parse(JSON.stringify(profileJsonSchema())));
  });
});

describe('what may be expected of the seed', () => {
  const expected = (text: string) => {
    const { profile } = check(text);
    if (profile === null) throw new Error('no profile');
    return emergenceOf(profile);
  };

  it('is told for the middle of the first band (Harrington and Minges 1954)', () => {
    expect(expected(PEPPER)?.days).toBeCloseTo(8, 1);
    expect(expected(PEPPER)?.normalShare).toBeCloseTo(0.97, 2);
    const cool = PEPPER.replace('low: 26 C, high: 28 C', 'low: 19 C, high: 21 C');
    expect(expected(cool)?.days).toBeCloseTo(13, 1);
  });

  it('is later with cool nights, by their share of the day', () => {
    const nights = PEPPER.replace(
      'media:',
      'night: { from: "22:00", to: "06:00" }\nmedia:',
    ).replace(
      'band: { low: 26 C, high: 28 C }',
      'band: { low: 26 C, high: 28 C }\n    night_band: { low: 19 C, high: 21 C }',
    );
    // 16 h at 1/8 a day and 8 h at 1/13 a day.
    expect(expected(nights)?.days).toBeCloseTo(1 / ((16 / 8 + 8 / 13) / 24), 1);
    expect(expected(nights)?.normalShare).toBe(null);
  });

  it('is only delayed by nights too cold for it', () => {
    const nights = PEPPER.replace(
      'media:',
      'night: { from: "20:00", to: "08:00" }\nmedia:',
    ).replace(
      'band: { low: 26 C, high: 28 C }',
      'band: { low: 26 C, high: 28 C }\n    night_band: { low: 16 C, high: 17 C }',
    );
    const [warm, cool] = [expected(PEPPER)?.days ?? 0, expected(nights)?.days ?? 0];
    expect(cool).toBeGreaterThan(warm);
    expect(cool).toBeLessThan(2 * warm);
  });

  it('is not made up for a crop that was not tried', () => {
    expect(expected(crop('basil.yaml'))).toBe(null);
  });

  it('makes a first stage that ends on bare wool worth a warning', () => {
    const { problems, profile } = changed(
      'mark: emerged, after: 10 d',
      'mark: emerged, after: 6 d',
    );
    expect(profile).not.toBe(null);
    expect(problems.map(({ severity }) => severity)).toEqual(['warning']);
    expect(problems[0]?.why).toContain('about 8 d to come up');
  });
});

describe('a profile file with a mistake', () => {
  it('a band upside down is refused at its line', () => {
    const { problems, profile, line } = changed('low: 26 C, high: 28 C', 'low: 28 C, high: 26 C');
    expect(profile).toBe(null);
    expect(problems[0]?.line).toBe(line);
    expect(problems[0]?.why).toContain('upside down');
  });

  it('a band above 35 C is refused with the range and the published reason', () => {
    const { text, profile } = changed('low: 26 C, high: 28 C', 'low: 34 C, high: 36 C');
    expect(profile).toBe(null);
    expect(text).toContain('5 to 35 °C');
    expect(text).toContain('Harrington');
  });

  it('a band in which a published trial brought nothing up is refused with that trial', () => {
    const { text, profile } = changed('low: 26 C, high: 28 C', 'low: 9 C, high: 10 C');
    expect(profile).toBe(null);
    expect(text).toContain(
      'At 10 °C (50 °F) no pepper seed comes up (Harrington and Minges 1954).',
    );
  });

  it('a number without a unit is refused, and the right form is shown', () => {
    const { text, line, problems } = changed('reservoir: 4 l', 'reservoir: 4');
    expect(text).toContain('needs its unit');
    expect(problems[0]?.line).toBe(line);
  });

  it('the wrong kind of unit, text in numbers and a bare ppm are refused', () => {
    expect(changed('reservoir: 4 l', 'reservoir: 4 C').profile).toBe(null);
    expect(changed('reservoir: 4 l', 'reservoir: four l').profile).toBe(null);
    const bare = changed('feed: 0.9 mS/cm', 'feed: 400 ppm');
    expect(bare.profile).toBe(null);
    expect(bare.text).toMatch(/500|700/);
  });

  it('a feed in uS/cm that was meant in mS/cm is refused: it would be kept as plain water', () => {
    const slip = changed('feed: 0.9 mS/cm', 'feed: 0.9 uS/cm');
    expect(slip.text).toContain('purer than any water');
    expect(slip.problems[0]?.line).toBe(slip.line);
    expect(changed('feed: 0.9 mS/cm', 'feed: 900 uS/cm').profile).not.toBe(null);
    expect(changed('feed: 0.9 mS/cm', 'feed: 0 mS/cm').profile).not.toBe(null);
  });

  it('an unknown key gets the nearest right one suggested, at its own line', () => {
    const { problems, line } = changed('reservoir: 4 l', 'reservior: 4 l');
    const unknown = problems.find(({ why }) => why.includes('There is no key'));
    expect(unknown?.why).toContain('Did you mean "reservoir"?');
    expect(unknown?.line).toBe(line);
  });

  it('a key in the wrong place is told where it belongs', () => {
    const { problems } = changed(
      'reservoir: 4 l',
      'reservoir: 4 l\nband: { low: 24 C, high: 26 C }',
    );
    const why = problems.map((problem) => problem.why).join('\n');
    expect(why).toContain('There is no key "band" here. It belongs in an item of "stages".');
  });

  it('every mistake is told, in the order of the lines, and each value once', () => {
    const text = PEPPER.replace('reservoir: 4 l', 'reservior: 4 l')
      .replace('kind: weigh', 'kind: weight')
      .replace('capacity: 80 %', 'capacity: 80');
    const lines = check(text).problems.map(({ line }) => line);
    expect(new Set(lines).size).toBeGreaterThanOrEqual(3);
    expect(lines).toEqual([...lines].sort((a, b) => a - b));
    const { problems } = changed('low: 26 C, high: 28 C', 'low: 38 C, high: 41 C');
    const paths = problems.map(({ path }) => path);
    expect(paths).toEqual([...new Set(paths)]);
    expect(paths).toContain('stages[0].band.high');
  });

  it('a first feed that waits for dry-back is refused, and the way out is shown', () => {
    const without = changed('    open: { by: 2 d, stop: 1 % }\n', '');
    expect(without.profile).toBe(null);
    expect(without.problems[0]?.path).toBe('stages[2].open');
    expect(without.problems[0]?.why).toContain('open: { by: 2 d, stop: 1 % }');
    const { text, profile, line, problems } = changed('open: { by: 2 d,', 'open: { by: 6 d,');
    expect(profile).toBe(null);
    expect(problems[0]?.line).toBe(line);
    expect(text).toContain('within seven days of emergence');
    expect(text).toContain('Allowed: 0 to 120 h.');
  });

  it('blocks that wait for dry-back after the transplant are refused', () => {
    expect(changed('    open: { by: 0 h, stop: 5 % }\n', '').problems[0]?.path).toBe(
      'stages[6].open',
    );
  });

  it('a dose that does not wet the matting through is refused, with the least that does', () => {
    const { problems, text } = changed('dose: 120 ml\n      soak_in', 'dose: 60 ml\n      soak_in');
    expect(problems[0]?.path).toBe('stages[2].water.dose');
    expect(text).toContain('does not reach every piece');
    expect(text).toContain('Allowed: 120 to 700 ml.');
  });

  it('a dose from one tube into 98 plugs is warned of: most of it stays where the tube ends', () => {
    const [line = ''] = /^spread:.*$/m.exec(PEPPER) ?? [];
    const { problems, profile } = changed(line, '');
    expect(profile?.spread).toBe(null);
    expect(problems.map(({ severity }) => severity)).toEqual(['warning']);
    expect(problems[0]?.why).toContain('120 ml into 98 pieces is 1.2 ml each');
  });

  it('matting too large for a few plugs is refused: its least dose would come too late for them', () => {
    const few = changed('pieces: 98', 'pieces: 20');
    expect(few.profile).toBe(null);
    expect(few.problems[0]?.path).toMatch(/^stages\[\d\]\.rescue\.at$/);
    expect(few.text).toContain('20 pieces lack');
    expect(few.text).toContain('only from 120 ml on');
    const cut = check(
      PEPPER.replace('pieces: 98', 'pieces: 20').replace('holds: 240 ml', 'holds: 50 ml'),
    );
    expect(cut.problems.filter(({ severity }) => severity !== 'warning')).toEqual([]);
  });

  it('warns of more plugs than stand on their matting', () => {
    const many = changed('pieces: 98', 'pieces: 400');
    expect(many.profile).not.toBe(null);
    expect(many.problems).toMatchObject([{ severity: 'warning', path: 'media[0].pieces' }]);
    expect(many.text).toContain('400 pieces of 36 by 36 mm cover 0.52 m²');
    expect(changed('pieces: 98', 'pieces: 100').problems).toEqual([]);
  });

  it('a manifold needs its outlets told, and one for each plug', () => {
    const manifold = 'by: drilled-manifold';
    const none = changed('by: capillary-matting', manifold);
    expect(none.text).toContain('needs "outlets"');
    const few = check(
      PEPPER.replace('by: capillary-matting', manifold).replace(
        'holds: 240 ml',
        'holds: 20 ml, outlets: 14',
      ),
    );
    expect(few.profile?.spread?.outlets).toBe(14);
    expect(few.problems.map(({ why }) => why).join()).toContain('14 outlets for 98 pieces');
  });

  it('an empty list of stages is refused', () => {
    const text = `${PEPPER.slice(0, PEPPER.indexOf('stages:'))}stages: []\n`;
    expect(check(text).problems[0]?.why).toContain('at least one');
  });

  it('a newer version is refused before anything else', () => {
    expect(changed('trayward: 1', 'trayward: 2').text).toContain('newer version');
  });

  it('malformed YAML is refused with its line', () => {
    const { profile, problems } = check('trayward: 1\ncrop: [pepper\n');
    expect(profile).toBe(null);
    expect(problems[0]?.line).toBeGreaterThan(1);
  });

  it('feed above EC 1.0 before a transplant, and a transplant without a hold, are refused', () => {
    const strong = changed(
      'until: { mark: transplanted }\n    lid: off-by-day\n    medium: plugs\n    feed: 0.9',
      'until: { mark: transplanted }\n    lid: off-by-day\n    medium: plugs\n    feed: 1.4',
    );
    expect(strong.text).toContain('EC 1.0');
    expect(strong.profile).toBe(null);
  });

  it('warm lettuce is refused: above 29 C its seed goes dormant', () => {
    const warm = PEPPER.replace('low: 26 C, high: 28 C', 'low: 28 C, high: 30 C');
    expect(check(warm).profile).not.toBe(null);
    const { problems, profile } = check(warm.replace('crop: pepper', 'crop: lettuce'));
    expect(profile).toBe(null);
    expect(problems[0]?.why).toContain('too warm for lettuce');
  });
});
