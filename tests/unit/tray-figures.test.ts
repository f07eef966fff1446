/** What a journal tells of loss, drying, pump and scale, and what it does not carry. */
import { describe, expect, it } from 'vitest';
import { recordOf } from '../../cli/explain/record';
import { dateEntries } from '../../cli/journal/dating';
import type { Figure } from '../../cli/model/figure';
import { growthOf } from '../../cli/model/growth';
import { modelFacts, notTold } from '../../cli/model/text';
import { trayModelOf } from '../../cli/model/tray';
import type { JournalBody } from '../../shared/journal/kinds';
import type { LidPlace } from '../../shared/profile/profile';
import { MadeJournal, PROFILE_ID, TRAY } from './made-journal';

const recordIn = (made: MadeJournal) =>
  recordOf(dateEntries(made.entries), {
    byId: new Map([[PROFILE_ID, made.profile]]),
    activeId: null,
  });
const told = (made: MadeJournal) => trayModelOf(recordIn(made));
const holds = ({ low, high }: Figure, truth: number): boolean => truth >= low && truth <= high;

/** Under its closed lid; steady, so that no mat is told. */
const closed = (hours: number, gPerH: number): MadeJournal =>
  new MadeJournal().goOn(hours, { duty: 1, trayG: (h) => 4590 - gPerH * h });

describe('drying', () => {
  it('is told of whole days, by the lid', () => {
    const { drying } = told(closed(52, 0.2));
    if (!drying.ok) throw new Error(drying.why);
    expect(drying.value).toMatchObject([{ lid: 'closed', days: expect.closeTo(2, 1) }]);
    expect(drying.value.every(({ gPerH }) => holds(gPerH, 0.2))).toBe(true);
    expect(told(closed(20, 0.2)).drying).toMatchObject({
      ok: false,
      why: expect.stringContaining('whole day'),
    });
  });

  it('counts what doses brought, and what hands changed', () => {
    const made = new MadeJournal().goOn(30, { stage: 1, trayG: (h) => 4500 - 4 * h });
    made.dose(60).goOn(12, { stage: 1, trayG: (h) => 4440 - 4 * h });
    made.hand(true, 4392, 4382).goOn(12, { stage: 1, trayG: (h) => 4382 - 4 * h });
    const { drying } = told(made);
    if (!drying.ok) throw new Error(drying.why);
    expect(drying.value[0]?.gPerH.value).toBeCloseTo(4, 1);
  });

  it('is less sure where doses soaked in while the lid came and went', () => {
    const under = (lid: LidPlace) => {
      const stages = TRAY.stages.map((stage) => ({ ...stage, lid }));
      const made = new MadeJournal({ ...TRAY, stages });
      for (let dose = 0; dose < 5; dose++)
        made.goOn(10, { stage: 1, trayG: (h) => 4500 - 20 * h }).dose(60);
      const { drying } = told(made.goOn(3, { stage: 1, trayG: (h) => 4500 - 20 * h }));
      if (!drying.ok) throw new Error(drying.why);
      const { low, high } = drying.value[0]?.gPerH ?? { low: Number.NaN, high: Number.NaN };
      return high - low;
    };
    expect(under('off-by-day')).toBeGreaterThan(1.5 * under('off'));
  });

  it('is another one wherever the lid was marked elsewhere', () => {
    const made = closed(30, 0.2).note({ kind: 'note', text: 'lid propped', more: 0 });
    made.goOn(30, { duty: 1, trayG: (h) => 4584 - 5 * h });
    const { drying } = told(made);
    expect(drying.ok && drying.value.map(({ lid }) => lid)).toEqual(['closed', 'propped']);
  });
});

describe('growth', () => {
  /** Soaked full again at `capacityG` so many days later, after `between`. */
  const soakedAgain = (
    made: MadeJournal,
    days: number,
    capacityG: number,
    between?: JournalBody,
  ) => {
    made.goOn(1);
    if (between !== undefined) made.note(between);
    made.goOn(24 * days, { stage: 1, trayG: (h) => 4500 - h });
    return made.note({ kind: 'capacity', capacityG, dryG: 537, dryWeighed: true });
  };
  const growth = (made: MadeJournal) => growthOf(recordIn(made));
  const moved: JournalBody = {
    ...{ kind: 'mark', mark: 'moved', stage: 1 },
    ...{ trayG: 2400, rootZoneC: 24, pieces: 49 },
  };
  const calibrated: JournalBody = {
    ...{ kind: 'calibration', target: 'scale', restored: false },
    ...{ zeroCode: 0, countsPerG: 200, uncertaintyG: 0.2 },
  };

  it('is what the same pieces weigh more, full of water, than the last time', () => {
    const found = growth(soakedAgain(soakedAgain(new MadeJournal(), 7, 4620), 7, 4690));
    if (!found.ok) throw new Error(found.why);
    expect(found.value).toMatchObject({ gainedG: 70, gPerDay: { value: expect.closeTo(10, 0) } });
    // Drops: of 4 l of water some 30 g more or less hang in it the next time.
    expect(found.value.gPerDay.low).toBeGreaterThan(4);
    expect(found.value.gPerDay.low).toBeLessThan(7);
    const long = growth(soakedAgain(new MadeJournal(), 14, 4734));
    expect(long.ok && long.value.gPerDay.low).toBeGreaterThan(7);
  });

  it.each([
    ['after one soak', new MadeJournal(), 'only once'],
    ['within three days', soakedAgain(new MadeJournal(), 2, 4610), 'within 3 days'],
    ['of other pieces', soakedAgain(new MadeJournal(), 7, 4664, moved), 'other pieces'],
    [
      'by another scale',
      soakedAgain(new MadeJournal(), 7, 4664, calibrated),
      'scale was calibrated',
    ],
    ['of a tray that was not full', soakedAgain(new MadeJournal(), 7, 4400), '194 g less'],
    ['of more than plants can gain', soakedAgain(new MadeJournal(), 7, 6000), '1406 g more'],
  ])('is not told %s', (_, made, why) => {
    expect(growth(made)).toMatchObject({ ok: false, why: expect.stringContaining(why) });
  });

  it('is told a day where it is more than drops, and else what it is at the most', () => {
    const said = (made: MadeJournal): string => {
      const facts = modelFacts(told(made), 'metric', () => 'then');
      return facts.find(({ label }) => label === 'Growth')?.value ?? '';
    };
    expect(said(soakedAgain(new MadeJournal(), 7, 4664))).toMatch(/^9\.9 g a day \(\d\.\d g to/);
    expect(said(soakedAgain(new MadeJournal(), 7, 4604))).toMatch(/^no more than 6\.\d g a day/);
    expect(said(soakedAgain(new MadeJournal(), 7, 4560))).toBe('less than the drops that hang');
  });

  it('goes on from the first of two soaks that are close to each other', () => {
    const found = growth(soakedAgain(soakedAgain(new MadeJournal(), 7, 4660), 0.1, 4664));
    expect(found.ok && found.value.gainedG).toBe(70);
  });
});

describe('the zero of the scale', () => {
  it('creeps where a tray under a closed lid gains, or loses more than air takes', () => {
    const gaining = told(closed(60, -0.3)).scaleZero;
    expect(gaining.ok && gaining.value.gPerDay.low).toBeGreaterThan(5);
    // A root zone of 27 C is 2.7 kPa above the room.
    const sound = told(closed(60, 0.147)).scaleZero;
    expect(sound.ok && holds(sound.value.gPerDay, 0)).toBe(true);
    // At 21 C little more than half of that goes out: such a scale creeps.
    const cool = new MadeJournal().goOn(60, { rootC: 21, duty: 1, trayG: (h) => 4590 - 0.147 * h });
    const { scaleZero } = told(cool);
    expect(scaleZero.ok && scaleZero.value.gPerDay.high).toBeLessThan(-1);
  });

  it('is not told under another lid', () => {
    const propped = new MadeJournal().goOn(60, { stage: 1, trayG: (h) => 4500 - 4 * h });
    expect(told(propped).scaleZero).toMatchObject({ ok: false });
  });
});

describe('the flow of the pump', () => {
  /** Each dose of a minute; the tray dries by 4 g in the hour before and after. */
  const dosed = (gains: readonly number[]): MadeJournal => {
    const made = new MadeJournal().note({
      ...{ kind: 'calibration', target: 'pump', restored: false },
      ...{ mlPerS: 1, cvPercent: 1, previousMlPerS: Number.NaN },
    });
    for (const gain of gains) made.goOn(4, { stage: 1, trayG: (h) => 4500 - 4 * h }).dose(gain);
    return made;
  };

  it('is that of the last doses, and less than calibrated where a tube wears', () => {
    const worn = told(dosed([60, 58, 56, 55, 53, 52, 50, 49, 47, 46])).pump;
    if (!worn.ok) throw new Error(worn.why);
    expect(worn.value.mlPerS.value).toBeGreaterThan(0.75);
    expect(worn.value.mlPerS.value).toBeLessThan(0.83);
    expect(worn.value.change?.high).toBeLessThan(-0.1);
    const sound = told(dosed([59, 58, 60, 59, 58, 59])).pump;
    expect(sound.ok && Math.abs(sound.value.change?.share ?? 1)).toBeLessThan(0.05);
  });

  it('counts what dried meanwhile, and what ran past the wool', () => {
    // 59.1 g were weighed of 60 ml; 0.4 g dried, and the rest stands in the drip tray.
    const { pump } = told(dosed(new Array<number>(8).fill(59.1)));
    expect(pump.ok && Math.abs(pump.value.mlPerS.value - 1)).toBeLessThan(0.003);
  });

  it('wants five doses since the calibration', () => {
    expect(told(dosed([59, 58, 60])).pump).toMatchObject({
      ok: false,
      why: expect.stringContaining('Only 3 of the doses'),
    });
  });
});

describe('what is not told', () => {
  it('is said with the reason, each once, and the room always', () => {
    const all = notTold(told(closed(10, 0.2)));
    expect(all.map(({ what }) => what)).toEqual(
      expect.arrayContaining(['mat', 'drying', 'growth', 'pump', 'scaleZero', 'room']),
    );
    expect(new Set(all.map(({ why }) => why)).size).toBe(all.length);
  });
});
