import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareProfiles, profileRows } from '../../cli/profile/rows';
import { toImageGrid } from '../../shared/profile/image';
import type { Profile } from '../../shared/profile/profile';
import { FIXED_SEED, holds } from '../properties';
import { anyProfile } from './any-profile';

type Path = readonly (string | number)[];

/** Where every number and text of a value stands. */
function leaves(value: unknown, path: Path = []): Path[] {
  if (typeof value === 'number' || typeof value === 'string') return [path];
  if (typeof value !== 'object' || value === null) return [];
  const keys = Array.isArray(value) ? [...value.keys()] : Object.keys(value);
  return keys.flatMap((key) => leaves(Reflect.get(value, key), [...path, key]));
}

/** The profile with the value at `path` a little different: a step of the image, or a letter more. */
function changedAt(profile: Profile, path: Path): Profile {
  const changed: Profile = JSON.parse(JSON.stringify(profile));
  const key = path.at(-1) ?? '';
  const around = path
    .slice(0, -1)
    .reduce<object>((inner, step) => Reflect.get(inner, step), changed);
  const old: unknown = Reflect.get(around, key);
  const step = /C$/.test(String(key)) ? 0.01 : /hare$/.test(String(key)) ? 0.001 : 1;
  Reflect.set(around, key, typeof old === 'number' ? old + step : `${old}x`);
  return changed;
}

describe('a file compared with the board', () => {
  it('differs in nothing from itself, in either unit', () => {
    holds(
      fc.property(anyProfile, fc.constantFrom('metric', 'us'), (profile, units) => {
        expect(compareProfiles(profile, toImageGrid(profile), units)).toEqual([]);
      }),
    );
  });

  it('is never called the same when a single value of it is another', () => {
    holds(
      fc.property(anyProfile, fc.nat(), fc.constantFrom('metric', 'us'), (profile, pick, units) => {
        const all = leaves(profile);
        const changed = changedAt(profile, all[pick % all.length] ?? []);
        const differences = compareProfiles(profile, changed, units);
        expect(differences.length).toBeGreaterThan(0);
        for (const { file, board } of differences) expect(file).not.toBe(board);
      }),
      { numRuns: 300 },
    );
  });

  it('is not called the same when a medium bears the name that stands for another one', () => {
    const [profile] = fc.sample(anyProfile, { numRuns: 1, seed: FIXED_SEED });
    const [stage] = profile?.stages ?? [];
    const [medium] = profile?.media ?? [];
    if (profile === undefined || stage === undefined || medium === undefined) {
      throw new Error('no profile');
    }
    const on = (names: readonly string[], index: number): Profile => ({
      ...profile,
      media: names.map((name) => ({ ...medium, name })),
      stages: [{ ...stage, medium: index }],
    });
    const told = (names: readonly string[], one: number, other: number) =>
      compareProfiles(on(names, one), on(names, other), 'metric').map(({ what }) => what);
    expect(told(['-'], 0, 1)).toEqual(['medium']);
    expect(told(['medium 2, which is not there'], 0, 1)).toEqual(['medium']);
    expect(told(['a', 'a', 'a (medium 1)'], 0, 2)).toEqual(['medium']);
    expect(told(['a', 'a', 'b'], 0, 0)).toEqual([]);
  });

  it('tells quiet hours, wool and the order of stages apart, which growers change', () => {
    holds(
      fc.property(anyProfile, (profile) => {
        const { stages } = profile;
        fc.pre(stages.length > 1);
        const told = (other: Partial<Profile>): string[] =>
          compareProfiles(profile, { ...profile, ...other }, 'metric').map(({ what }) => what);
        expect(told({ stages: [...stages].reverse() })).toEqual(['stages']);
        const quiet = profile.quiet === null ? { startMin: 1320, endMin: 360 } : null;
        expect(told({ quiet })).toEqual(['quiet hours']);
        const [first, ...rest] = profile.media;
        if (first === undefined) return;
        const fewer = { ...first, pieces: first.pieces + 1 };
        expect(told({ media: [fewer, ...rest] })).toContain('medium 1');
      }),
    );
  });

  it('shows the clock as the grower writes it', () => {
    const [profile] = fc.sample(anyProfile, { numRuns: 1, seed: FIXED_SEED });
    if (profile === undefined) throw new Error('no profile');
    const shown = profileRows(
      { ...profile, night: { startMin: 1320, endMin: 365 }, quiet: null, utcOffsetMin: -210 },
      'metric',
    );
    const shownFor = (name: string) => shown.find(({ what }) => what === name)?.value;
    expect(shownFor('night')).toBe('22:00 to 06:05');
    expect(shownFor('quiet hours')).toBe('none');
    expect(shownFor('time zone')).toBe('UTC-03:30');
  });
});
