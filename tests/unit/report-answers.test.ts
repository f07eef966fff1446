/** What the first screen of a report answers. */
import { describe, expect, it } from 'vitest';
import { HOUR_MS } from '../../shared/units/time';
import { EVENING_MS, MadeJournal, TRAY } from './made-journal';
import { calm, cooling, fresh, reported, says, tableOf } from './reported';

describe('the first screen', () => {
  it('of a night in which all was well says so, and no more than the journal knows', () => {
    const { happened, plants, leave, leaveWhy } = fresh(calm(), 12).answers;
    expect(says(happened)).toContain('Nothing went wrong, as far as the journal tells.');
    expect(says(plants)).toContain('Nothing in the journal says that they suffered.');
    expect(says(plants)).toContain('in its band 100 % of the time');
    expect(leave).toBe('nothing-against');
    expect(says(leaveWhy)).toContain('no journal knows');
    expect(says(leaveWhy)).toContain('Nobody has told what is in the reservoir');
  });

  it('tells a cold spell with what it meant, and leads to where more is told', () => {
    const made = calm()
      .goOn(6, { rootC: (h) => 16 + 11 * Math.exp(-h / 6), duty: 1 })
      .goOn(4);
    const { happened, plants } = fresh(made, 22).answers;
    expect(happened[0]).toMatchObject({ id: 'incident-1' });
    expect(says(plants)).toMatch(/degree-hours/);
    expect(says(plants)).toMatch(/The longest time outside was [45] h/);
  });

  it('tells first of all that the wool went dry, then how cold it was', () => {
    const made = calm()
      .goOn(6, { rootC: (h) => 16 + 11 * Math.exp(-h / 6), duty: 1 })
      .goOn(3)
      .goOn(6, { trayG: (h) => 4587 - 540 * h })
      .goOn(2, { trayG: 1347 });
    const { plants, next } = fresh(made, 29).answers;
    expect(plants[0]?.says).toMatch(/^The wool lost up to 80\.\d % of its water/);
    expect(plants[1]?.says).toContain('Seed that has begun to germinate and dries out dies');
    expect(says(plants.slice(2))).toContain('degree-hours');
    expect(says(next)).toContain('Soak the tray again');
  });

  it('has the same longest time outside as the incident, though the power was out in it', () => {
    const made = calm().boot('power-on', 18).goOn(0.1, { rootC: 20, duty: 1 }).clock(6);
    made.goOn(5, { rootC: (h) => Math.min(27, 20 + 1.7 * h), duty: 1 }).goOn(2);
    const { incidents, answers } = fresh(made, 25.1);
    const cold = incidents[0]?.findings.find(({ kind }) => kind === 'cold');
    const [, told] = /longest time outside was (\d+ h( \d+ min)?)/.exec(says(answers.plants)) ?? [];
    expect(told).toBeDefined();
    expect(cold?.what.says).toContain(`for ${told},`);
  });

  it('adds up the degree-hours of all spells in one line', () => {
    const spell = { rootC: 20, duty: 1 } as const;
    const made = calm().goOn(3, spell).goOn(6).goOn(3, spell).goOn(6).goOn(3, spell).goOn(2);
    const { plants } = fresh(made, 35).answers;
    const told = plants.filter((line) => line.says.includes('degree-hours'));
    expect(told).toHaveLength(1);
    expect(told[0]?.says).toMatch(/^5\d degree-hours below the band, in 3 spells\.$/);
  });

  it('does not take what a loose probe read in the air for the root zone', () => {
    const made = calm().alarm('probe-jumped', 'raised', 5, 1);
    made.goOn(6, { rootC: 9, matC: (h) => 26 - h, duty: 0 });
    expect(says(fresh(made, 18).answers.plants)).toMatch(/Root zone 2\d\.\d °C to 27\.0 °C/);
  });

  it('counts a dose that did not come nowhere, and half a one as a half everywhere', () => {
    const made = calm().goOn(1, { stage: 1, rootC: 25 });
    made.dose(60).goOn(2, { stage: 1, rootC: 25 }).dose(30).goOn(2, { stage: 1, rootC: 25 });
    made.dose(0).goOn(2, { stage: 1, rootC: 25 });
    const report = fresh(made, 19);
    expect(says(report.answers.plants)).toContain('Fed by 2 doses: 0.9 ml for each plant');
    const stages = tableOf(report, 'Stages')?.rows.at(-1);
    expect(stages?.slice(-2)).toEqual(['2', '90.2 ml']);
  });

  it('has four of a kind at the most in each answer, and counts the others', () => {
    const made = calm().alarm('probe-open', 'raised', 4092, 4000).alarm('mat-probe-failed');
    made.alarm('scale-silent').alarm('storage-failing').alarm('restarting-often', 'raised', 3, 3);
    made
      .alarm('pump-stuck-on', 'raised', 1)
      .goOn(8, { rootC: cooling, trayG: (h) => 4587 - 540 * h });
    const { happened, plants, next, leaveWhy } = fresh(made, 20).answers;
    expect(says(happened)).toMatch(/And \d+ more, below\./);
    expect(says(next)).toMatch(/And \d+ more, below\./);
    expect(says(leaveWhy)).toMatch(/And \d+ more, below\./);
    for (const lines of [happened, plants, next, leaveWhy]) expect(lines.length).toBeLessThan(7);
  });

  it('says not yet while an alarm holds heat off, and how it is ended', () => {
    const made = calm().alarm('probe-open', 'raised', 4092, 4000).goOn(1, { duty: 0 });
    const { leave, leaveWhy, next } = fresh(made, 13).answers;
    expect(leave).toBe('not-yet');
    expect(says(leaveWhy)).toContain('heat held off');
    expect(says(next)).toContain('trayward alarm mended probe-open');
  });

  it('names what waits for hands within days, and is not green meanwhile', () => {
    // Pepper at 27 C: half of it is up in about eight days, some of it in six.
    const near = new MadeJournal().goOn(5 * 24);
    const { leave, leaveWhy } = fresh(near, 5 * 24).answers;
    expect(leave).toBe('look-first');
    expect(says(leaveWhy)).toMatch(
      /On \d+ Mar: seed may be up: lid propped, and `trayward mark emerged`/,
    );
    const fed = new MadeJournal({
      ...TRAY,
      stages: TRAY.stages.map((stage) => ({ ...stage, feedEc: 1.8 })),
    });
    fed.note({ kind: 'refill', volumeMl: 4_000, feedEc: 0.9 }).goOn(24, { stage: 1, rootC: 25 });
    const other = fresh(fed, 24).answers;
    expect(other.leave).toBe('look-first');
    expect(says(other.leaveWhy)).toContain('Due now: feed of 1.80 mS/cm is wanted.');
  });

  it('says not sown of a tray in which nothing depends on it yet', () => {
    const { leave, leaveWhy } = fresh(new MadeJournal().goOn(2, { stage: 255 }), 2).answers;
    expect(leave).toBe('not-sown');
    expect(says(leaveWhy)).toContain('not sown');
  });

  it('says look first where the journal ends long before now', () => {
    const { leave, leaveWhy } = fresh(calm(), 15).answers;
    expect(leave).toBe('look-first');
    expect(says(leaveWhy)).toContain('trayward status');
  });

  it('of a time that is over says how it stood then', () => {
    const made = calm().alarm('probe-open', 'raised', 4092, 4000).goOn(2, { duty: 0 });
    made.alarm('probe-open', 'returned').alarm('probe-open', 'cleared').goOn(6);
    const untilMs = EVENING_MS + 13 * HOUR_MS;
    const { leave, leaveWhy } = reported(made, { untilMs }).answers;
    expect(leave).toBe('not-yet');
    expect(says(leaveWhy)).toContain('how it stood then');
    expect(fresh(made, 20).answers.leave).not.toBe('not-yet');
  });

  it('reckons the reservoir by the doses since it was filled, and doubts it when one did not come', () => {
    const filled = () =>
      calm().note({ kind: 'refill', volumeMl: 1_000, feedEc: 1 }).goOn(1, { stage: 1 });
    const fed = filled().dose(59).goOn(1, { stage: 1 });
    expect(says(fresh(fed, 14).answers.leaveWhy)).toContain('940 ml are left');
    const missed = filled().dose(0).goOn(1, { stage: 1 });
    expect(says(fresh(missed, 14).answers.leaveWhy)).toContain('look whether it is so');
  });

  it('says look first where a stage waters and nobody told what is in the reservoir', () => {
    const made = calm().goOn(6, { stage: 1, rootC: 25 });
    expect(fresh(made, 18).answers.leave).toBe('look-first');
  });

  it('says look first when the reservoir does not last two days', () => {
    const made = calm().note({ kind: 'refill', volumeMl: 100, feedEc: 1 });
    made.goOn(1, { stage: 1 }).dose(59).goOn(1, { stage: 1 });
    const { leave, leaveWhy } = fresh(made, 14).answers;
    // 40 ml left, 60 ml in three days.
    expect(says(leaveWhy)).toContain('about 2 d');
    expect(leave).toBe('nothing-against');
    // What a stage opens with does not come again every three days.
    const opened = calm().note({ kind: 'refill', volumeMl: 1_000, feedEc: 1 });
    opened.goOn(1, { stage: 1 }).dose(395, 400, 'opening').dose(59).goOn(1, { stage: 1 });
    expect(says(fresh(opened, 14).answers.leaveWhy)).toContain('about 27 d');
    const onlyOpened = calm().note({ kind: 'refill', volumeMl: 1_000, feedEc: 1 });
    onlyOpened.goOn(1, { stage: 1 }).dose(395, 400, 'opening').goOn(1, { stage: 1 });
    const { leaveWhy: early } = fresh(onlyOpened, 14).answers;
    expect(says(early)).toContain('600 ml are left');
    expect(says(early)).toContain('How long it lasts does not show');
    made.dose(59).goOn(1, { stage: 1 });
    expect(fresh(made, 15).answers.leave).toBe('look-first');
  });
});
