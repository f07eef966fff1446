/** The crops that come with the program, held against published transplant tables. */
import { describe, expect, it } from 'vitest';
import { capacityWaterMl } from '../../shared/physics/dry-back';
import { firstFeedS } from '../../shared/profile/first-feed';
import { checkProfileText } from '../../shared/profile/host/check';
import { CROP_FILE_NAMES, type CropFileName, cropFileText } from '../../shared/profile/host/crops';
import { emergenceOf } from '../../shared/profile/host/emergence';
import { LID_PLACES, type Profile, type Stage } from '../../shared/profile/profile';
import { spreadNeedMl } from '../../shared/profile/spread';
import { DAY_S } from '../../shared/units/time';

function shipped(crop: CropFileName): Profile {
  const { profile } = checkProfileText(cropFileText(crop, ''), `${crop}.yaml`, 0);
  if (profile === null) throw new Error(`the profile of ${crop} is refused`);
  return profile;
}

const PROFILES = Object.fromEntries(
  CROP_FILE_NAMES.map((crop) => [crop, shipped(crop)]),
) as Readonly<Record<CropFileName, Profile>>;
const crops = CROP_FILE_NAMES.map((crop) => ({ crop, profile: PROFILES[crop] }));

function stage(crop: CropFileName, name: string): Stage {
  const found = PROFILES[crop].stages.find((one) => one.name === name);
  if (found === undefined) throw new Error(`${crop} has no stage ${name}`);
  return found;
}
const weighing = (profile: Profile, medium: number): readonly Stage[] =>
  profile.stages.filter((one) => one.kind === 'weigh' && one.medium === medium);
const transplantStage = ({ stages }: Profile): number =>
  stages.findIndex(({ end }) => end.mark === 'transplanted');

/** The stage before transplanting has no time of its own: hardening takes a week, moving on three days. */
const HARDENING_D = 7;
const MOVING_ON_D = 3;

/** Days from sowing to the transplant, and to the end of the last stage but one. */
function lengths(profile: Profile, emergenceD: number): { plugsD: number; rootedD: number } {
  const at = transplantStage(profile);
  const days = profile.stages.map(({ name, end }, i) => {
    if (i === 0) return emergenceD;
    return i === at ? (name === 'harden' ? HARDENING_D : MOVING_ON_D) : end.afterS / DAY_S;
  });
  const until = (end: number) => days.slice(0, end).reduce((sum, one) => sum + one, 0);
  return { plugsD: until(at + 1), rootedD: until(days.length - 1) };
}

describe('from sowing to transplanting takes as long as extension tables say', () => {
  it.each([
    // Univ. of Delaware (Mid-Atlantic recommendations, table A-4) 7 to 9 weeks, Iowa State 6 to 8, Purdue 5 to 7.
    ['pepper', 5, 9],
    // Univ. of Delaware 5 to 6 weeks, Iowa State and Purdue 5 to 7, Utah State 6 to 8.
    ['tomato', 5, 8],
    // Univ. of Delaware and Utah State 4 to 6 weeks, Purdue 4.
    ['lettuce', 4, 6],
  ] as const)('%s: %d to %d weeks', (crop, least, most) => {
    const { plugsD } = lengths(PROFILES[crop], emergenceOf(PROFILES[crop])?.days ?? Number.NaN);
    expect(plugsD / 7).toBeGreaterThanOrEqual(least);
    expect(plugsD / 7).toBeLessThanOrEqual(most);
  });

  it('basil, which was not tried for emergence: 5 to 6 weeks at most (Iowa State, 2017)', () => {
    // 5 to 7 d at 24 C (Maximum Yield, June 2016).
    const { plugsD } = lengths(PROFILES.basil, 7);
    expect(plugsD / 7).toBeLessThanOrEqual(6);
  });

  it('cucumber leaves its plugs within two weeks, and is rooted in its block by the fourth', () => {
    // Univ. of Delaware 2 to 4 weeks, Purdue 2 to 3, Utah State 3 to 4, H. Resh in stone wool 2 to 3.
    const { plugsD, rootedD } = lengths(
      PROFILES.cucumber,
      emergenceOf(PROFILES.cucumber)?.days ?? Number.NaN,
    );
    expect(plugsD).toBeLessThanOrEqual(14);
    expect(rootedD).toBeGreaterThanOrEqual(14);
    expect(rootedD).toBeLessThanOrEqual(28);
  });

  it('cucumber stands no closer than in the smallest cells that are advised for vine crops', () => {
    // Ontario, Growing vegetable transplants in plug trays: 72 cells, 47 plants a square foot.
    const { media, spread } = PROFILES.cucumber;
    const perM2 = (media[0]?.pieces ?? 0) / (spread?.areaM2 ?? 0);
    expect(perM2).toBeLessThanOrEqual(47 / 0.0929);
  });
});

describe('where a crop has its figures from', () => {
  it.each(crops)(
    '$crop says in its own file: its weeks, and the strength of its feed',
    ({ crop }) => {
      const text = cropFileText(crop, '');
      expect(text).toMatch(/# Weeks from sowing.*(Delaware|Iowa State)/);
      expect(text).toMatch(/EC 0\.5 to 0\.7 \(HortScience 40\(3\):607\)/);
    },
  );
});

describe('a mark that is forgotten', () => {
  it.each(crops)(
    'of $crop ends germination by itself two to four days after half the seed is up',
    ({ crop, profile }) => {
      // Basil was not tried: 5 to 7 d at 24 C (Maximum Yield, June 2016).
      const upDays = emergenceOf(profile)?.days ?? (crop === 'basil' ? 6 : Number.NaN);
      const endDays = (profile.stages[0]?.end.afterS ?? 0) / DAY_S;
      expect(endDays - upDays).toBeGreaterThanOrEqual(2);
      expect(endDays - upDays).toBeLessThanOrEqual(4);
      expect(endDays + (firstFeedS(profile.stages) ?? 0) / DAY_S - upDays).toBeLessThan(7.6);
    },
  );
});

describe('the first feed', () => {
  it.each(crops)(
    'of $crop comes three to five days after emergence (common practice)',
    ({ profile }) => {
      const days = (firstFeedS(profile.stages) ?? Number.NaN) / DAY_S;
      expect(days).toBeGreaterThanOrEqual(3);
      expect(days).toBeLessThanOrEqual(5);
    },
  );

  it('is dilute: 0.5 for lettuce and basil, below 1.0 for all (common practice)', () => {
    expect(stage('lettuce', 'first-feed').feedEc).toBe(0.5);
    expect(stage('basil', 'first-feed').feedEc).toBe(0.5);
    for (const crop of CROP_FILE_NAMES) {
      expect(stage(crop, 'first-feed').feedEc, crop).toBeLessThan(1);
      expect(stage(crop, 'first-feed').feedEc, crop).toBeGreaterThanOrEqual(0.5);
    }
  });
});

describe('the lid', () => {
  it.each(crops)(
    'of $crop opens in steps, and is off by day before the plants are moved (common practice)',
    ({ profile }) => {
      const plugs = profile.stages.slice(0, transplantStage(profile) + 1);
      const places = plugs.map(({ lid }) => LID_PLACES.indexOf(lid));
      expect(places).toEqual([...places].sort((a, b) => a - b));
      // Under a lid that is more than ajar plants drink next to nothing, and are fed as little.
      for (const { kind, lid } of plugs) if (kind === 'weigh') expect(lid).not.toBe('loose');
      expect(plugs.at(-1)?.lid).toBe('off-by-day');
    },
  );
});

describe('feed strength', () => {
  it.each(crops)(
    'of $crop stays at 1.0 or below from hardening until the block is rooted',
    ({ profile }) => {
      const at = transplantStage(profile);
      for (const { name, feedEc } of profile.stages.slice(at, -1)) {
        expect(feedEc, name).toBeLessThanOrEqual(1);
      }
    },
  );

  it('of pepper in plugs stays below 1.0 (common practice)', () => {
    for (const { feedEc, medium } of PROFILES.pepper.stages) {
      if (medium === 0) expect(feedEc).toBeLessThan(1);
    }
  });

  it('of fruiting crops in rooted blocks is 1.5 to 2.5', () => {
    // Tomato watered from below yields most at 2.0 (Horticulturae 2023, 9(7), 826); pepper plugs are
    // wetted up at 2.0 (Cultilene); cucumber substrate 1.2 to 1.8 (Durpeta). The range: common practice.
    for (const crop of ['pepper', 'tomato', 'cucumber'] as const) {
      expect(stage(crop, 'blocks').feedEc, crop).toBeGreaterThanOrEqual(1.5);
      expect(stage(crop, 'blocks').feedEc, crop).toBeLessThanOrEqual(2.5);
    }
    expect(stage('cucumber', 'blocks').feedEc).toBeLessThanOrEqual(1.8);
  });

  it('of lettuce in blocks is what the Cornell handbook gives, second hand: 1.2', () => {
    expect(stage('lettuce', 'blocks').feedEc).toBe(1.2);
  });
});

describe('root-zone bands', () => {
  const bandC = (crop: CropFileName, name: string) => stage(crop, name).band;

  it('germinate fruiting crops at 24 to 28 C and lettuce at 15.5 to 18.5 C (common practice)', () => {
    for (const crop of ['pepper', 'tomato', 'cucumber'] as const) {
      expect(bandC(crop, 'germinate').lowC, crop).toBeGreaterThanOrEqual(24);
      expect(bandC(crop, 'germinate').highC, crop).toBeLessThanOrEqual(28);
    }
    for (const { name, band } of PROFILES.lettuce.stages) {
      expect(band.lowC, name).toBeGreaterThanOrEqual(15.5);
      expect(band.highC, name).toBeLessThanOrEqual(18.5);
    }
  });

  it('raise the alarm for lettuce before its most heat-shy cultivar fails: 25.7 C (Gray 1975)', () => {
    expect(PROFILES.lettuce.rootZoneMaxC).toBeLessThan(25.7);
  });

  it('never let basil or cucumber in plugs be cold: 20 C; 18 C by night (Delaware, min night 65 F)', () => {
    for (const { name, band } of PROFILES.basil.stages) {
      expect(band.lowC, name).toBeGreaterThanOrEqual(20);
    }
    for (const { name, band } of PROFILES.cucumber.stages) {
      expect(band.lowC, name).toBeGreaterThanOrEqual(18.3);
    }
  });
});

describe('watering', () => {
  it.each(crops)('of $crop lets plugs dry further as they grow', ({ profile }) => {
    const starts = weighing(profile, 0).map(({ watering }) => watering?.startShare ?? Number.NaN);
    // First 5 to 10 %, then 10 to 20 %, then 20 to 35 % (common practice).
    const bounds = [
      [0.05, 0.1],
      [0.1, 0.2],
      [0.2, 0.35],
    ] as const;
    starts.forEach((start, i) => {
      expect(start).toBeGreaterThanOrEqual(bounds[i]?.[0] ?? Number.NaN);
      expect(start).toBeLessThanOrEqual(bounds[i]?.[1] ?? Number.NaN);
    });
  });

  it.each(crops)('of $crop wets its matting with each dose, and drowns no piece', ({ profile }) => {
    const { spread, media, stages } = profile;
    if (spread === null) throw new Error('no spread');
    for (const { name, watering, medium } of stages) {
      const wool = media[medium];
      if (watering === null || wool === undefined) continue;
      expect(watering.doseMl, name).toBeGreaterThanOrEqual(spreadNeedMl(spread));
      // A cycle is whole doses: from start to stop there is room for each of them.
      const roomMl = (watering.startShare - watering.stopShare) * capacityWaterMl(wool);
      const doses = roomMl / watering.doseMl;
      expect(Math.abs(doses - Math.round(doses)), name).toBeLessThan(0.15);
      expect(doses, name).toBeGreaterThan(0.95);
    }
  });

  it.each(crops)('of $crop calls for help where a tray really gets', ({ profile }) => {
    // Loss by lid place, share of a full tray a day, measured on the bench: closed, vents, loose, propped, off.
    const perDay = { closed: 0.001, 'vents-open': 0.005, loose: 0.01, propped: 0.025, off: 0.09 };
    for (const { name, kind, rescue, end, lid, watering } of profile.stages) {
      const openDay = perDay[lid === 'off-by-day' ? 'off' : lid];
      const from = watering?.startShare ?? 0;
      if (kind === 'hold' && end.mark === 'emerged') {
        // Seed dies of a dry surface: told within two days of a lid left off.
        expect(rescue.share, name).toBeLessThanOrEqual(2 * 0.04);
      } else if (kind === 'hold' && lid !== 'off') {
        expect(rescue.share, name).toBeLessThanOrEqual(0.1);
      }
      if (kind === 'weigh') {
        // A pump that gives nothing is told of within a week of the first dose that was due.
        expect((rescue.share - from) / openDay, name).toBeLessThanOrEqual(7);
      }
    }
  });

  it.each(crops)(
    'of $crop has a second stage in blocks that opens at once after the hold',
    ({ profile }) => {
      const settle = transplantStage(profile) + 1;
      expect(profile.stages[settle]?.end.afterS).toBeGreaterThanOrEqual(3 * DAY_S);
      expect(profile.stages[settle + 1]?.opening?.byS).toBe(0);
      // Open blocks lose up to 7.5 % a day on the bench: the hold that is meant to be calls nobody.
      const heldDays = (profile.stages[settle]?.end.afterS ?? Number.NaN) / DAY_S;
      expect(profile.stages[settle]?.rescue.share).toBeGreaterThan(0.075 * heldDays);
      // What a block loses in the hold is no emergency in the stage after it.
      expect(profile.stages[settle + 1]?.rescue.share).toBeGreaterThanOrEqual(
        profile.stages[settle]?.rescue.share ?? Number.NaN,
      );
    },
  );
});
