/** What harmed the plants most, what does so still, and what the controller did about it. */
import { describe, expect, it } from 'vitest';
import { MAT_OPEN } from '../../shared/board/words';
import { HOUR_MS } from '../../shared/units/time';
import { EVENING_MS, MadeJournal } from './made-journal';
import { calm, cooling, findings, flatTextOf, textOf } from './made-story';

describe('wool that went dry', () => {
  /** A cloth over the rim draws the tray from wet to four fifths of its water lost. */
  const drawn = (): MadeJournal =>
    calm()
      .goOn(6, { trayG: (h) => 4587 - 540 * h })
      .alarm('weight-falling', 'raised', 90, 20)
      .goOn(5, { trayG: 1347 });

  it('under a cloth is told with how far and how long, and that germinating seed dies of it', () => {
    expect(drawn().causes).toEqual([expect.stringMatching(/^wick/)]);
    const said = flatTextOf(drawn());
    expect(said).toMatch(/The wool lost up to 80\.\d % of its water/);
    expect(said).toMatch(
      /past the \d+\.0 % that this stage bears for [789] h( \d+ min)?, and still/,
    );
    expect(said).toContain('Seed that has begun to germinate and dries out dies');
  });

  it('is soaked again when the cloth is off', () => {
    const next = flatTextOf(drawn()).split(' Now ')[1] ?? '';
    expect(next).toMatch(/^- Take off the cloth.* - Soak the tray again, let it drain/);
  });

  it('is over when it is wet again, and tells nothing to soak', () => {
    const made = drawn().alarm('weight-falling', 'cleared');
    made.note({ kind: 'mark', mark: 'soaked', stage: 0, trayG: 4590, rootZoneC: 27, pieces: 0 });
    expect(flatTextOf(made.goOn(4))).not.toContain('Soak the tray again');
  });

  it('because no dose came any more is one incident with the dose', () => {
    const made = new MadeJournal().goOn(12, { stage: 1, rootC: 25, trayG: (h) => 4500 - 30 * h });
    made.dose(-12).goOn(80, { stage: 1, rootC: 25, trayG: (h) => 4140 - 30 * h });
    const [incident] = made.story.incidents;
    expect(incident?.causes[0]?.cause).toBe('tube-off');
    expect(incident?.findings.map(({ kind }) => kind)).toContain('dry');
    expect(incident?.open).toBe(true);
  });

  it('is none while the tray is off the scale', () => {
    const made = calm().hand(false, 4588, 900);
    made.goOn(4, { trayG: 0.5, duty: 0 }).hand(true, 0.5, 4587).goOn(4);
    expect(findings(made).map(({ kind }) => kind)).not.toContain('dry');
  });
});

describe('a weld of both switches of the mat', () => {
  const warm = (h: number): number => Math.min(33, 28 + 1.2 * h);
  const welded = (): MadeJournal =>
    calm()
      .alarm('supply-wrong', 'raised', 1, 0)
      .goOn(1, { rootC: warm, matC: (h) => warm(h) + 1.8, duty: 0 })
      .alarm('mat-stuck-on', 'raised', 29, 28)
      .goOn(5, { rootC: (h) => warm(h + 1), matC: (h) => warm(h + 1) + 1.8, duty: 0 });

  it('is one incident from the moment at which the supply was live though not asked for', () => {
    const { incidents } = welded().story;
    expect(incidents.map(({ causes }) => causes[0]?.cause)).toEqual(['mat-stuck-on']);
    expect(incidents[0]?.fromMs).toBe(EVENING_MS + 12 * HOUR_MS);
    expect(textOf(welded())).not.toContain('does not say why');
  });

  it('is the second switch’s alone where mat and pump switch off as they should', () => {
    const made = calm().alarm('supply-wrong', 'raised', 1, 0).goOn(6, { duty: 0 });
    expect(made.causes).toEqual(['second-switch']);
  });

  it('comes before a probe that has been out of its plug all night, for it goes on by itself', () => {
    const made = calm().alarm('probe-jumped', 'raised', 5, 1);
    made.goOn(14, { rootC: 17, matC: cooling, duty: 0 });
    made.alarm('mat-stuck-on', 'raised', 29, 28);
    made.goOn(1, { rootC: 33, matC: 34.8, duty: 0 });
    const [first, second] = made.story.incidents;
    expect([first?.causes[0]?.cause, second?.causes[0]?.cause]).toEqual([
      'mat-stuck-on',
      'probe-out',
    ]);
    expect(second?.weight).toBeGreaterThan(first?.weight ?? Number.NaN);
    expect(textOf(made)).toMatch(/Unplug the mat now[\s\S]*Put the probe back/);
  });
});

describe('a mat whose line was looked at', () => {
  it.each([
    [MAT_OPEN.fuse, 'mat-fuse', /fit one of the same rating/],
    [MAT_OPEN.lead, 'mat-lead', /plug of the mat is in/],
    [MAT_OPEN.cutOut, 'mat-cut-out', /why the mat got so hot/],
    [MAT_OPEN.switch, 'mat-switch-open', /wire from the controller to Q1/],
  ])('cut off (%d) is one incident with the cold that comes of it: %s', (value, cause, next) => {
    const made = calm().alarm('mat-open', 'raised', value, 0);
    made.goOn(6, { rootC: cooling, matC: cooling, duty: 1 }).alarm('too-cold', 'raised', 23, 26);
    made.goOn(1, { rootC: 20, matC: 20, duty: 1 });
    expect(made.causes).toEqual([cause]);
    expect(flatTextOf(made)).toMatch(next);
  });

  it('welded is its own switch’s alone where the second one opened, and both ones’ where it did not', () => {
    const alone = calm().alarm('mat-stuck-on', 'raised', Number.NaN, Number.NaN);
    expect(alone.goOn(3, { rootC: 27, matC: 27, duty: 0 }).causes).toEqual(['mat-switch']);
    const both = calm().alarm('mat-stuck-on', 'raised', Number.NaN, Number.NaN);
    both.alarm('supply-wrong', 'raised', 1, 0).goOn(3, { rootC: 30, matC: 33, duty: 0 });
    expect(both.story.incidents.map(({ causes }) => causes[0]?.cause)).toEqual(['mat-stuck-on']);
  });
});

describe('what the controller did', () => {
  it('is no heating while a lock-out held the mat off all the time', () => {
    const made = calm().alarm('probe-open', 'raised', 4092, 4000);
    made.goOn(4, { rootC: Number.NaN, matC: cooling, duty: 0 });
    made.goOn(4, { rootC: Number.NaN, matC: 27, duty: 0 });
    expect(flatTextOf(made)).not.toContain('It heated');
    expect(flatTextOf(made)).toContain('It holds the mat off until somebody has looked');
  });

  it('is heating from the time on at which it had power again', () => {
    const made = calm()
      .boot('power-on', 18)
      .goOn(0.1, { rootC: cooling(6), duty: 1 })
      .clock(6);
    made.goOn(5, { rootC: (h) => Math.min(27, cooling(6) + 1.7 * h), duty: 1 }).goOn(2);
    expect(flatTextOf(made)).toMatch(/It heated from (yesterday )?12:\d\d on/);
  });

  it('is a rescue dose, as the scale saw it, and not what its alarm means', () => {
    const made = calm().goOn(21, { trayG: (h) => 4587 - 80 * h });
    made.alarm('too-dry', 'raised', 0.41, 0.4).dose(24, 25, 'rescue').goOn(1, { trayG: 2900 });
    expect(flatTextOf(made)).toContain('It gave a rescue dose of 25.0 ml');
    expect(flatTextOf(made)).toContain('the scale saw 24.0 g come');
    expect(flatTextOf(made)).not.toContain('The dry-back is past the rescue share');
  });

  it('is nothing at an alarm that held nothing off', () => {
    expect(flatTextOf(calm().alarm('drying-stopped').goOn(2))).not.toContain('Controller');
  });
});
