/** What a journal is said to mean, in the trade's words. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { visibleWidth } from '../../cli/terminal/output';
import { HOUR_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { anyBody, anyHead } from './any-entry';
import { EVENING_MS, MadeJournal, type Stretch } from './made-journal';
import { calm, cold, cooling, dead, flatTextOf, textOf } from './made-story';

describe('a night in which all was well', () => {
  it('has no incident', () => {
    expect(calm().goOn(12).causes).toEqual([]);
  });

  it('has none because a soaked, cold tray is on its way to its band', () => {
    const made = new MadeJournal().goOn(4, { rootC: (h) => 20 + 1.7 * h, duty: 1 }).goOn(8);
    expect(made.causes).toEqual([]);
  });

  it('has none because somebody aired it, or lifted it for a minute', () => {
    const made = calm();
    made.hand(false, 4588, 3000).goOn(0.1).hand(true, 4588, 4587.8).goOn(6);
    expect(made.causes).toEqual([]);
  });
});

describe('a power cut', () => {
  const cut = (): MadeJournal =>
    calm()
      .boot('power-on', 18)
      .goOn(0.1, { rootC: cooling(6), duty: 1 })
      .clock(6)
      .goOn(5, { rootC: (h) => Math.min(27, cooling(6) + 1.7 * h), duty: 1 })
      .goOn(4);

  it('is told with how long it was, how cold it got, and that nothing else was wrong', () => {
    expect(cut().causes).toEqual(['power-out']);
    const [incident] = cut().story.incidents;
    expect(incident?.findings.map(({ kind }) => kind)).toEqual(['outage', 'cold']);
    expect(incident?.findings[0]).toMatchObject({ fromMs: EVENING_MS + 12 * HOUR_MS });
    expect(cold(cut())?.measures.worstC).toBeCloseTo(cooling(6), 1);
    // From 26 C downward, by a straight line over the cut, until it is back there.
    const forH = ((cold(cut())?.toMs ?? 0) - (cold(cut())?.fromMs ?? 0)) / HOUR_MS;
    expect(forH).toBeGreaterThan(8);
    expect(forH).toBeLessThan(10.5);
  });

  it('of unknown length is told as such, where nobody set the clock since', () => {
    const made = calm().boot('power-on', 18).goOn(4, { rootC: 20, duty: 1 });
    expect(made.causes[0]).toBe('power-out');
    const said = textOf(made).replace(/\s+/g, ' ');
    expect(said).toContain('for how long nobody knows');
    expect(said).toContain('The clock was not set');
  });
});

describe('a board that waited for its image', () => {
  it('is no power cut, whichever way it came back', () => {
    for (const cause of ['request', 'power-on'] as const) {
      const made = calm().note({ kind: 'boot-drive' }).boot(cause, 18).goOn(0.1).clock(6).goOn(4);
      expect(made.causes[0]).toBe('image-awaited');
      expect(textOf(made)).toContain('The board waited for an image for');
    }
  });
});

describe('a tray that dries too fast', () => {
  it('by as much as a tray without a lid is the lid’s; a broken one fits less well', () => {
    const made = calm()
      .goOn(8, { trayG: (h) => 4587 - 15 * h })
      .goOn(3, { trayG: 4467 });
    expect(made.causes[0]).toMatch(/^lid-open .*\(lid-broken\)/);
    const [incident] = made.story.incidents;
    expect(incident?.findings[0]?.measures.lostG).toBeCloseTo(120, -1);
  });

  it('is none with the lid off, where somebody marked it so', () => {
    const made = calm();
    made.note({ kind: 'note', more: 0, text: 'lid off' });
    made.goOn(8, { trayG: (h) => 4587 - 15 * h }).goOn(3, { trayG: 4467 });
    expect(made.causes).toEqual([]);
  });

  it('faster than air can is water that runs out, and goes on until the wool is dry: a wick', () => {
    const made = calm()
      .goOn(2, { trayG: (h) => 4587 - 540 * h })
      .goOn(3, { trayG: 3507 });
    expect(made.causes[0]).toMatch(/^wick/);
    expect(made.causes[0]).not.toContain('lid-open');
  });

  it('is not one that drains after a soak, nor one that dries a little more by day', () => {
    const soaked = calm();
    soaked.note({ kind: 'mark', mark: 'soaked', stage: 0, trayG: 4640, rootZoneC: 20, pieces: 0 });
    soaked.goOn(1, { trayG: (h) => 4640 - 40 * h }).goOn(6, { trayG: 4600 });
    expect(soaked.causes).toEqual([]);
    expect(calm().goOn(6, { trayG: (h) => 4587 - 0.6 * h }).causes).toEqual([]);
  });
});

describe('a dose', () => {
  const fed = (): MadeJournal =>
    new MadeJournal().goOn(12, { stage: 1, rootC: 25, trayG: (h) => 4500 - 4 * h });
  const wait: Stretch = { stage: 1, rootC: 25, trayG: 4450 };

  it('of which nothing came says that the tube is off; a tube’s fill, that the reservoir is empty', () => {
    expect(fed().dose(-0.8).goOn(3, wait).causes).toEqual(['tube-off reservoir-empty (pump-dead)']);
    expect(fed().dose(5).goOn(3, wait).causes[0]).toMatch(/^reservoir-empty/);
  });

  it('of which nothing came from a reservoir that was down to its last by the account, too', () => {
    const made = new MadeJournal().note({ kind: 'refill', volumeMl: 200, feedEc: 0.9 });
    made.goOn(6, { ...wait, trayG: (h) => 4500 - 4 * h });
    for (let i = 0; i < 3; i++) made.dose(60).goOn(2, wait);
    expect(made.dose(-0.5).goOn(2, wait).causes[0]).toMatch(/^reservoir-empty/);
  });

  it('that hands kept from being weighed is said to be theirs, where it stopped the water', () => {
    const made = fed();
    const body = {
      reason: 'dry-back',
      stage: 1,
      plannedMl: 60,
      ranMs: 60_000,
      beforeG: 4400,
    } as const;
    made.note({ kind: 'dose', verdict: 'handled', gainedG: Number.NaN, ...body });
    expect(made.causes).toEqual([]);
    expect(made.alarm('dose-not-seen').goOn(3, wait).causes[0]).toMatch(/^hands-at-dose/);
    expect(textOf(made)).toContain('could not be weighed');
  });

  it('that gave half says that the tube is worn', () => {
    // Whole ones before it: it may as well have run dry in the middle, whatever the account says.
    expect(fed().dose(60).goOn(2, wait).dose(29).goOn(3, wait).causes[0]).toMatch(
      /^tube-worn reservoir-empty/,
    );
    expect(fed().dose(29).goOn(3, wait).causes[0]).toMatch(/^tube-worn/);
    expect(fed().dose(29).goOn(3, wait).causes[0]).not.toContain('tube-off');
  });
});

describe('the rest of a night', () => {
  it('has the tray away, and why it is cold', () => {
    const made = calm().hand(false, 4588, 900);
    made.goOn(4, { rootC: cooling, matC: 16, trayG: 0.5, duty: 0 }).hand(true, 0.5, 4587);
    made.goOn(4, { rootC: (h) => Math.min(27, cooling(4) + 2 * h), duty: 1 });
    expect(made.causes).toEqual(['tray-lifted']);
  });

  it('has no word of a tray that was soaked in a tub', () => {
    const made = calm().hand(false, 4588, 900);
    made.goOn(0.5, { rootC: 24, matC: 22, trayG: 0.5, duty: 0 }).hand(true, 0.5, 4620);
    made.note({ kind: 'mark', mark: 'soaked', stage: 0, trayG: 4600, rootZoneC: 22, pieces: 0 });
    made.goOn(4, { rootC: (h) => Math.min(27, 22 + 1.7 * h), duty: 1 });
    expect(made.causes).toEqual([]);
  });

  it('has restarts by a fault as one incident, with the heat that was held off after them', () => {
    const made = calm();
    for (let i = 0; i < 6; i++) made.boot('watchdog', 12.1 + i * 0.003);
    made.alarm('restarting-often', 'raised', 3, 3).goOn(5, { rootC: cooling, duty: 0 });
    expect(made.causes).toEqual(['controller-hung']);
    expect(textOf(made).replace(/\s+/g, ' ')).toContain('restarted 6 times by a fault');
  });

  it('has an alarm that nothing explains in its own words', () => {
    const made = calm().alarm('storage-failing').goOn(2);
    expect(made.causes).toEqual(['not-told']);
    expect(textOf(made)).toContain('Storage failing');
  });
});

describe('the text of a story', () => {
  it('has what is not over since its beginning, and no end', () => {
    const made = calm()
      .alarm('probe-open', 'raised', 4092, 4000)
      .goOn(6, { rootC: cooling, duty: 0 });
    expect(flatTextOf(made)).toMatch(/1\. A wire of .* is out, since yesterday 06:00, still/);
    expect(flatTextOf(made)).not.toMatch(/ to [^.]*, and still/);
  });

  it('says once when it was, where nothing explains it', () => {
    const made = calm().goOn(1, { trayG: 2500 }).goOn(3, { trayG: 2500 });
    const [head = ''] = /1\. .*?What/.exec(flatTextOf(made)) ?? [];
    expect(made.causes).toEqual(['not-told']);
    expect(head.match(/\d\d:\d\d/g)).toHaveLength(1);
  });

  it('names what is to be looked for when the power, or the heat of the mat, came back', () => {
    const cut = calm()
      .boot('power-on', 18)
      .goOn(0.1, { rootC: cooling(6) })
      .clock(6)
      .goOn(3);
    expect(flatTextOf(cut)).toContain('Find what cut the power');
    const back = calm().goOn(8, dead).goOn(4);
    expect(back.causes).toEqual(['mat-dead']);
    expect(flatTextOf(back)).toMatch(/check its plug and connector .* it will do so again/);
  });

  it('says how to see in full what it has room for in a line only', () => {
    const made = calm();
    for (let i = 0; i < 7; i++)
      made
        .alarm('storage-failing')
        .goOn(1)
        .alarm('storage-failing', 'returned')
        .alarm('storage-failing', 'cleared')
        .goOn(4);
    expect(made.causes.length).toBeGreaterThan(5);
    expect(flatTextOf(made)).toContain('`trayward report` tells each of these in full.');
    expect(flatTextOf(calm().alarm('storage-failing').goOn(1))).not.toContain('in full');
  });
  it('says in one breath what the tray did when nothing happened', () => {
    const said = textOf(calm().goOn(12)).replace(/\s+/g, ' ');
    expect(said).toMatch(
      /^Nothing went wrong from .*: root zone 27\.0 °C to 27\.0 °C, in its band 100 % of the time; no doses; dry-back/,
    );
  });

  it('says of a tray that warms up after sowing that it is on its way to its band', () => {
    const warming = new MadeJournal().goOn(3, { rootC: (h) => 18 + h, duty: 1 });
    expect(textOf(warming).replace(/\s+/g, ' ')).toContain(
      'in its band 0 % of the time and on its way there now; no doses',
    );
  });

  it('does not take a lost stretch of journal for a quiet one', () => {
    const made = calm().goOn(3).goOn(6);
    const entries = made.entries.filter((_, i) => i < 160 || i > 200);
    expect(textOf({ entries }).replace(/\s+/g, ' ')).toMatch(
      /Nothing is known from .* its entries are lost/,
    );
  });

  it('names the entries that each incident rests on', () => {
    const made = calm()
      .alarm('probe-open', 'raised', 4092, 4000)
      .goOn(2, { rootC: Number.NaN, duty: 0 });
    expect(textOf(made)).not.toContain('Entries of the journal');
    expect(textOf(made, true)).toMatch(
      /Entries of the journal:\n\s+\d+ .*Alarm raised: Root-zone probe open/,
    );
  });

  it('never fails, fits 80 columns and two hundred lines, whatever is in the journal', () => {
    const anyEntry = fc.tuple(anyHead, anyBody).map(([head, body]) => ({ ...head, ...body }));
    holds(
      fc.property(fc.array(anyEntry, { maxLength: 60 }), fc.boolean(), (some, ordered) => {
        const entries = ordered
          ? [...some]
              .sort((a, b) => a.sequence - b.sequence)
              .map((one, i) => ({ ...one, boot: 1 + (i >> 4) }))
          : some;
        const lines = textOf({ entries: [...calm().entries, ...entries] }).split('\n');
        expect(lines.length).toBeLessThan(200);
        for (const line of lines) {
          expect(visibleWidth(line)).toBeLessThanOrEqual(80);
          expect(line).not.toMatch(/undefined|NaN|\[object/);
        }
      }),
      { numRuns: 100 },
    );
  });
});
