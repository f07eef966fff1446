/** The page of a rehearsal as a browser takes it, and whether it says all that the screen says. */
import { createHash } from 'node:crypto';
import script from 'trayward:page-script';
import { beforeAll, describe, expect, it } from 'vitest';
import { rehearsalPageOf } from '../../cli/rehearse/page';
import { summaryOf } from '../../cli/rehearse/summary';
import { doseTable, feedTable, stageTable } from '../../cli/rehearse/tables';
import type { Rehearsed } from '../../cli/rehearse/tasks';
import {
  bandSentences,
  plantFacts,
  stageRows,
  takesFacts,
  whenFacts,
} from '../../cli/rehearse/words';
import { escaped } from '../../cli/report/html';
import { sceneOf } from '../../cli/report/zoom/scene-of';
import { planFor } from '../../firmware/bench/season/matrix';
import { madeSeasons } from './made-rehearsal';
import { HOSTILE, unbalanced } from './made-report';
import { expectPlacesOnce } from './page-checks';

const { profile } = planFor('lettuce', 16, 1, 'daily');
const rehearsed = (title = profile.title): Rehearsed => {
  const all = madeSeasons();
  return { all, summary: summaryOf(all), profile: { ...profile, title }, units: 'metric' };
};
const ASKED = { asked: 'A cold shed, with a grower.', pricePerKwh: 0.5, crop: 'lettuce' };

describe('the page of a rehearsal', () => {
  let page = '';
  let bare = '';
  beforeAll(() => {
    page = rehearsalPageOf(rehearsed(HOSTILE), ASKED, script);
    bare = page.replace(/<script>[\s\S]*?<\/script>/, '');
  });

  it('is well-formed, shows a hostile title as its letters, and runs nothing but its own script', () => {
    expect(unbalanced(page)).toEqual([]);
    expect(page).not.toMatch(/<(img|link|iframe)\b/);
    expect(page.match(/<script/g)).toHaveLength(2);
    const hash = createHash('sha256').update(script).digest('base64');
    expect(page).toContain(`script-src &#39;sha256-${hash}&#39;`);
    expect(bare).not.toMatch(/NaN|Infinity|undefined/);
  });

  it('has each place once, and leads to none that is not there', () => {
    expectPlacesOnce(page);
    expect(page).toContain('href="#alarm-too-warm"');
  });

  it('carries what its script draws', () => {
    const [, data = ''] = /id="plot-data">([\s\S]*?)<\/script>/.exec(page) ?? [];
    const scene = sceneOf(JSON.parse(data));
    expect(page).toContain(scene.draw({ ...scene.whole, widthPx: 920 }).text);
  });

  it('says all that the screen says', () => {
    const { summary } = rehearsed();
    const facts = [
      ...whenFacts(summary),
      ...takesFacts(summary, 'metric', ASKED.pricePerKwh),
      ...plantFacts(summary),
    ];
    const says = [
      ASKED.asked,
      ...facts.flatMap(({ label, value, note = '' }) => [label, value, note]),
      ...stageRows(summary, profile, 'metric').flat(),
      ...bandSentences(summary, profile, 'metric'),
    ];
    expect(says.length).toBeGreaterThan(40);
    for (const text of says) expect(bare).toContain(escaped(text));
    expect(bare).toContain('in 2 of 3; first on day 3 (3 to 4)');
    expect(bare).toContain('at 0.5 a kWh 0.50');
  });

  it('tells what to do, in the days in which it may come', () => {
    expect(bare).toContain('<dt>day 4 (3 to 5)</dt><dd><strong>Half is up: mark it</strong>: look');
    expect(bare).toContain('<dt>day 9</dt><dd><strong>Refill 2</strong> (in 1 of 3): ');
    expect(bare).toContain('<dt>not within 10 days</dt><dd><strong>Transplant</strong>: ');
    expect(bare).toContain('Shade the tray; raise the lamp.');
  });

  it('has nothing to copy that names the feed of another stage', () => {
    const pageAt = (...days: readonly number[]): string => {
      const all = rehearsed().all.map((one) => ({
        ...one,
        alarms: days.map((day) => ({ alarm: 'feed-unlike', day }) as const),
      }));
      return rehearsalPageOf({ ...rehearsed(), all, summary: summaryOf(all) }, ASKED, script);
    };
    const { reservoirMl, stages } = profile;
    const told = `mark refilled --volume ${reservoirMl / 1000}l --ec ${stages[2]?.feedEc}mS/cm`;
    expect(pageAt(8)).toContain(told);
    const mixed = stages.map((one, i) => ({ ...one, feedEc: 1 + i }));
    const all = rehearsed().all.map((one) => ({
      ...one,
      alarms: [1, 9].map((day) => ({ alarm: 'feed-unlike', day }) as const),
    }));
    const page = rehearsalPageOf(
      { ...rehearsed(), all, summary: summaryOf(all), profile: { ...profile, stages: mixed } },
      ASKED,
      script,
    );
    expect(page).toContain('mark refilled --volume VOLUME --ec EC');
    expect(page).not.toMatch(/--ec [\d.]+mS/);
  });
});

describe('the tables of a rehearsal', () => {
  const { rows: days } = feedTable(rehearsed());
  const { rows: doses } = doseTable(rehearsed());

  it('have a row for each day on which any rehearsal is fed', () => {
    expect(days).toEqual([
      ['6', '1 of 3', '0 (0 to 1)', '0.0 ml (0.0 ml to 60.0 ml)'],
      ['7', '2 of 3', '1 (0 to 2)', '60.0 ml (0.0 ml to 120 ml)'],
      ['8', '1 of 3', '0 (0 to 1)', '0.0 ml (0.0 ml to 60.0 ml)'],
    ]);
  });

  it('count a day over the rehearsals that go on so long', () => {
    const { all, ...others } = rehearsed();
    const [first, ...rest] = all;
    const short = rest.map((one) => ({ ...one, days: 5, doses: [] }));
    const { rows } = feedTable({
      ...others,
      all: [...(first === undefined ? [] : [first]), ...short],
    });
    expect(rows.map(([day, fed]) => [day, fed])).toEqual([
      ['6', '1 of 1'],
      ['7', '1 of 1'],
    ]);
  });

  it('have every dose, the first of each rehearsal first', () => {
    expect(doses).toEqual([
      ['1', '7.0 (6.0 to 8.0)', 'first-feed', '60.0 ml', '3 of 3'],
      ['2', '7.5', 'first-feed', '60.0 ml', '2 of 3'],
    ]);
  });

  it('have each stage as the screen has it', () => {
    const { columns, rows } = stageTable(rehearsed());
    expect(rows).toEqual(stageRows(rehearsed().summary, profile, 'metric'));
    expect(columns.map(({ isNumber }) => isNumber)).toEqual([
      false,
      false,
      false,
      true,
      false,
      true,
    ]);
  });
});
