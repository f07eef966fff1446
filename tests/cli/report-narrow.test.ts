/** The pages of a report on a phone, in Chromium: what is wider than the screen fits it, or can be scrolled to. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { comparisonOf } from '../../cli/report/compare/of-seasons';
import { comparePageOf } from '../../cli/report/compare/page';
import { seasonsOf } from '../../cli/report/compare/seasons';
import { startBrowser } from '../keep/page/browser';
import { EVENING_MS, MadeJournal, PROFILE_ID } from '../unit/made-journal';

const PHONE_PX = 360;

let browser: Browser;
let folder = '';
beforeAll(async () => {
  browser = await startBrowser();
  folder = mkdtempSync(join(tmpdir(), 'trayward-narrow-'));
});
afterAll(async () => {
  await browser.close();
  rmSync(folder, { recursive: true });
});

/** A crop that was fed so often. */
function season(doses: number, boardId: string) {
  const made = new MadeJournal().goOn(36);
  for (let i = 0; i < doses; i++) made.dose(59).goOn(6, { stage: 1, rootC: 25 });
  const profiles = { byId: new Map([[PROFILE_ID, made.profile]]), activeId: null };
  const [span] = seasonsOf(boardId, [{ life: 1, entries: made.entries, damaged: 0 }], profiles);
  if (span === undefined) throw new Error('nothing was sown');
  return span;
}

describe('two seasons on a phone', () => {
  it('stand beside each other: both columns and what differs fit the screen', async () => {
    const spans = [season(3, 'e66100000000000a'), season(9, 'e66100000000000b')] as const;
    const wanted = { units: 'metric', offsetMin: 0, nowMs: EVENING_MS } as const;
    const made = comparisonOf(spans, ['one', 'other'], wanted);
    if (made === null) throw new Error('there is no comparison');
    const file = join(folder, 'compare.html');
    writeFileSync(file, comparePageOf(made, ''));
    const page = await browser.newPage({ viewport: { width: PHONE_PX, height: 800 } });
    await page.goto(`file://${file}`);
    const cells = await page.locator('table tr').last().locator('th, td').all();
    const ends = await Promise.all(
      cells.map(async (cell) => {
        const box = await cell.boundingBox();
        return (box?.x ?? 0) + (box?.width ?? 0);
      }),
    );
    expect(ends).toHaveLength(4);
    expect(Math.max(...ends)).toBeLessThanOrEqual(PHONE_PX);
    await page.close();
  });
});
