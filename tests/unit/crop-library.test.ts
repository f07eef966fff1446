/** The crop library: what is in it, how it is asked, and how a file gets in. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readCropFiles } from '../../cli/crop-files.mjs';
import {
  CROP_STAGES,
  type Crop,
  type Published,
  type Range,
} from '../../shared/crops/library/crop';
import { emergence, progressPerDay } from '../../shared/crops/library/emergence';
import {
  cropNamed,
  cropOrNull,
  crops,
  type Library,
  readLibrary,
  sourceNamed,
  sourcesOf,
} from '../../shared/crops/library/library';
import { judgeGerminationBand } from '../../shared/profile/host/germination-band';
import { PROFILE_LIMITS } from '../../shared/profile/limits';
import { holds } from '../properties';

function crop(name: string): Crop {
  const found = cropNamed(name);
  if (!found.ok) throw new Error(found.why);
  return found.value;
}

const each = crops().map((one): [string, Crop] => [one.name, one]);
const isRising = (numbers: readonly number[]): boolean =>
  numbers.every((number, i) => i === 0 || number > (numbers[i - 1] ?? number));
const total = (published: readonly Published[], end: 'low' | 'high'): number =>
  published.reduce((sum, [first]) => sum + (first?.[end] ?? 0), 0);

describe('the library', () => {
  it('has two dozen crops and more, of every kind, and several that are cuttings', () => {
    expect(crops().length).toBeGreaterThanOrEqual(24);
    const kinds = ['fruiting', 'leafy', 'brassica', 'root', 'herb', 'flower'];
    for (const kind of kinds) expect(crops().some((one) => one.kind === kind)).toBe(true);
    expect(crops().filter(({ from }) => from === 'cutting').length).toBeGreaterThanOrEqual(2);
    const roots = crops().filter(({ kind }) => kind === 'root');
    expect(new Set(roots.map(({ isTransplanted }) => isTransplanted)).size).toBe(2);
  });

  it('knows each source that a number cites, and cites each source it knows', () => {
    const cited = new Set(crops().flatMap(sourcesOf));
    for (const name of cited) expect(sourceNamed(name).citation.length).toBeGreaterThan(20);
    const named = Object.keys(Object(readCropFiles()['sources.yaml']));
    expect(named.filter((name) => !cited.has(name))).toEqual([]);
  });

  it('finds a crop by its name in any case, and by its other names', () => {
    expect(crop(' Tomato ').latin).toBe('Solanum lycopersicum');
    expect(crop('capsicum').name).toBe('pepper');
    expect(crop('sweet-pepper').name).toBe('pepper');
  });

  it('refuses a crop that is not there with the one that was probably meant', () => {
    const found = cropNamed('lettice');
    expect(found.ok ? '' : found.why).toContain('Did you mean "lettuce"?');
    for (const name of ['', 'constructor', '__proto__']) expect(cropOrNull(name)).toBeNull();
  });
});

describe.each(each)('%s', (_, one) => {
  it('has temperatures in order', () => {
    for (const { minC, bestLowC, bestHighC, maxC } of one.temperatures) {
      if (minC !== null) expect(minC).toBeLessThanOrEqual(bestLowC);
      expect(bestLowC).toBeLessThanOrEqual(bestHighC);
      if (maxC !== null) expect(bestHighC).toBeLessThanOrEqual(maxC);
      if (minC !== null && maxC !== null) expect(minC).toBeLessThan(maxC);
    }
  });

  it('has trials from cold to warm, with shares of the whole', () => {
    for (const { rows } of one.trials) {
      expect(isRising(rows.flatMap(({ atC: { low, high } }) => [low, high + 1e-6]))).toBe(true);
      for (const { normalShare, days } of rows) {
        expect(normalShare === null && days === null).toBe(false);
        if (normalShare !== null) expect(normalShare).toBeLessThanOrEqual(1);
        if (days === 'never' && normalShare !== null) expect(normalShare).toBeLessThan(0.05);
      }
    }
  });

  it('has stages in order, that a profile could have', () => {
    const places = one.stages.map(({ name }) => CROP_STAGES.indexOf(name));
    expect(isRising(places)).toBe(true);
    const isSeed = one.stages[0]?.name === 'germinate';
    expect(isSeed).toBe(one.from === 'seed');
    expect(one.rooting === null).toBe(isSeed);
    for (const { rootZoneC, feedEcMsCm, dliMolM2D } of one.stages) {
      for (const { low, high } of rootZoneC) {
        expect(low).toBeGreaterThanOrEqual(PROFILE_LIMITS.bandLowMinC);
        expect(high).toBeLessThanOrEqual(PROFILE_LIMITS.bandHighMaxC);
      }
      for (const { high } of feedEcMsCm) expect(high).toBeLessThanOrEqual(PROFILE_LIMITS.feedEcMax);
      // More than the sun of a clear summer day gives is a slip of the pen.
      for (const { high } of dliMolM2D) expect(high).toBeLessThan(60);
    }
  });

  it('is not brought up in a band that its own sources refuse', () => {
    for (const { low, high } of one.stages[0]?.rootZoneC ?? []) {
      expect(judgeGerminationBand(one, { lowC: low, highC: high })).toMatchObject({ ok: true });
    }
  });
});

describe.each(each.filter(([, { isTransplanted }]) => isTransplanted))('%s', (_, one) => {
  it('takes about as long as its stages together', () => {
    const [band] = one.stages[0]?.rootZoneC ?? [];
    const up = emergence(one, band === undefined ? Number.NaN : (band.low + band.high) / 2);
    const upDays = up.ok ? up.value.days : { low: 0, high: 0 };
    const days = one.stages.map((stage) => stage.days);
    const stages = {
      low: total(days, 'low') + upDays.low,
      high: total(days, 'high') + upDays.high,
    };
    const meets = ({ low, high }: Range): boolean => stages.low <= high && stages.high >= low;
    expect(one.daysToTransplant.some(meets), JSON.stringify(stages)).toBe(true);
  });
});

describe('emergence', () => {
  const forecast = (name: string, atC: number) => {
    const found = emergence(crop(name), atC);
    if (!found.ok) throw new Error(found.why);
    return found.value;
  };

  it('gives each source beside the other, and the days over all of them', () => {
    const { days, estimates } = forecast('tomato', 29.4);
    expect(estimates.map(({ source }) => source)).toEqual([
      'Harrington and Minges 1954',
      'Utah State Univ.',
    ]);
    expect(days.low).toBeCloseTo(5, 1);
    expect(days.high).toBeCloseTo(6.5, 1);
  });

  it('tells the thermal time beside the table where its line is straight', () => {
    expect(forecast('pepper', 22).estimates.map(({ by }) => by)).toEqual([
      'trials',
      'thermal-time',
    ]);
  });

  it('is refused with the source where nothing came up, and beyond', () => {
    for (const atC of [-5, 5, 40, 45]) {
      const found = emergence(crop('tomato'), atC);
      expect(found.ok ? '' : found.why).toMatch(/no tomato seed.*Harrington and Minges 1954/);
    }
  });

  it('is not made up between a temperature that brings seed up and one that does not', () => {
    const found = emergence(crop('pepper'), 12);
    expect(found.ok ? '' : found.why).toContain('not in the trials');
  });

  it('is nothing that a cutting does', () => {
    const found = emergence(crop('poinsettia'), 22);
    expect(found.ok ? '' : found.why).toContain('roots; nothing emerges');
  });

  it('is a range of days with what each says within it, at any temperature', () => {
    const any = fc.record({
      one: fc.constantFrom(...crops()),
      atC: fc.double({ min: -20, max: 60, noNaN: true }),
    });
    holds(
      fc.property(any, ({ one, atC }) => {
        const found = emergence(one, atC);
        if (!found.ok) return found.why.includes(one.name);
        const { days, estimates, normal } = found.value;
        const inside = estimates.every(({ low, high }) => days.low <= low && high <= days.high);
        const isShare = normal === null || (normal.share >= 0 && normal.share <= 1);
        return days.low > 0 && days.low <= days.high && inside && isShare;
      }),
      { numRuns: 1000 },
    );
  });

  it('is never later in warmth, up to the temperature of the quickest', () => {
    const pair = fc.record({
      one: fc.constantFrom(...crops().filter(({ trials }) => (trials[0]?.rows.length ?? 0) > 4)),
      shares: fc.tuple(
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
      ),
    });
    holds(
      fc.property(pair, ({ one, shares }) => {
        const rows = one.trials[0]?.rows ?? [];
        const timed = rows.flatMap(({ atC, days }) =>
          days === null || days === 'never' ? [] : [{ atC: atC.low, days: days.low }],
        );
        const quickest = Math.min(...timed.map(({ days }) => days));
        const from = timed[0]?.atC ?? 0;
        const to = timed.find(({ days }) => days === quickest)?.atC ?? 0;
        const [cold, warm] = [...shares].sort((a, b) => a - b).map((at) => from + at * (to - from));
        const pace = (atC = 0): number => progressPerDay(rows, atC) ?? 0;
        return pace(warm) >= pace(cold) - 1e-12;
      }),
    );
  });
});

describe('adding a crop', () => {
  const SPROUT = `
crop: moonwort
latin: Lunaria example
kind: herb
from: seed
transplanted: true
trials:
  - source: Own trial
    rows:
      - { at: 68 F, days: 5 to 7 d, normal: 80 % }
stages:
  - name: germinate
    root_zone: 68 to 72 F [Own trial]
to_transplant:
  - 4 weeks [Own trial]
  - 5 to 6 weeks [Common practice]
sources:
  Own trial: { citation: Trial of a made-up plant, standing: published }
`;

  function libraryWith(text: string, others: Readonly<Record<string, string>> = {}): Library {
    const folder = mkdtempSync(join(tmpdir(), 'trayward-crops-'));
    try {
      const sources = readFileSync('shared/crops/library/sources.yaml', 'utf8');
      const all = { 'sources.yaml': sources, 'moonwort.yaml': text, ...others };
      for (const [name, content] of Object.entries(all)) writeFileSync(join(folder, name), content);
      return readLibrary(readCropFiles(folder));
    } finally {
      rmSync(folder, { recursive: true });
    }
  }

  it('is adding its file: it is listed, with its numbers in the program’s units', () => {
    const [added] = libraryWith(SPROUT).crops;
    if (added === undefined) throw new Error('it is not there');
    expect(added.name).toBe('moonwort');
    expect(added.stages[0]?.rootZoneC).toEqual([
      { low: 20, high: expect.closeTo(22.2, 1), source: 'Own trial' },
    ]);
    expect(added.daysToTransplant.map(({ low, high }) => [low, high])).toEqual([
      [28, 28],
      [35, 42],
    ]);
    expect(added.inRowMm).toEqual([]);
    const up = emergence(added, 21);
    expect(up.ok && up.value.days).toEqual({ low: 5, high: 7 });
  });

  it.each([
    ['a number without its source', '4 weeks [Own trial]', '4 weeks', 'has no [source]'],
    ['a source that nobody names', '[Common practice]', '[Somebody]', 'cites "Somebody"'],
    ['a number without its unit', '68 to 72 F', '68 to 72', 'moonwort.yaml'],
    ['the wrong kind of unit', '5 to 7 d,', '5 to 7 F,', 'a unit of temperature'],
    ['a range upside down', '5 to 6 weeks', '6 to 5 weeks', 'goes from more to less'],
    ['a key that there is not', 'latin:', 'latinum:', 'latinum'],
    ['a kind that there is not', 'kind: herb', 'kind: tree', 'kind'],
    ['a source that is common already', 'Own trial:', 'Common practice:', 'cited twice'],
  ])('with %s is refused, and says so', (_, from, to, why) => {
    expect(SPROUT).toContain(from);
    expect(() => libraryWith(SPROUT.replace(from, to))).toThrow(why);
  });

  it('with a name that another file has is refused', () => {
    expect(() => libraryWith(SPROUT, { 'twin.yaml': SPROUT.replaceAll('Own', 'Other') })).toThrow(
      'Two crop files have the name "moonwort"',
    );
  });
});
