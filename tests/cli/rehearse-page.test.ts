/** The page of a rehearsal in Chromium: on a phone and on a desk, in light and dark, by keys alone. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import script from 'trayward:page-script';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { rehearsalPageOf } from '../../cli/rehearse/page';
import { summaryOf } from '../../cli/rehearse/summary';
import { planFor } from '../../firmware/bench/season/matrix';
import { seriousIn, startBrowser, watched } from '../keep/page/browser';
import { madeSeasons } from '../unit/made-rehearsal';

let browser: Browser;
let folder = '';
let url = '';
beforeAll(async () => {
  browser = await startBrowser();
  folder = mkdtempSync(join(tmpdir(), 'trayward-rehearsal-page-'));
  const file = join(folder, 'rehearsal.html');
  const all = madeSeasons();
  const { profile } = planFor('lettuce', 16, 1, 'daily');
  const asked = { asked: 'A cold shed.', pricePerKwh: 0.3, crop: 'lettuce' };
  const rehearsed = { all, profile, summary: summaryOf(all), units: 'metric' } as const;
  writeFileSync(file, rehearsalPageOf(rehearsed, asked, script));
  url = `file://${file}`;
});
afterAll(async () => {
  await browser.close();
  rmSync(folder, { recursive: true });
});

async function opened(width: number, colorScheme: 'light' | 'dark'): Promise<[Page, string[]]> {
  const page = await browser.newPage({ viewport: { width, height: 800 }, colorScheme });
  const wrong = watched(page);
  await page.goto(url);
  await page.locator('#readout').waitFor();
  return [page, wrong];
}

/** For a machine that does other things as well. */
const SOON = { timeout: 15_000 };

describe('the page of a rehearsal in a browser', () => {
  it.each([
    [360, 'light'],
    [768, 'dark'],
    [1440, 'light'],
    [1440, 'dark'],
  ] as const)(
    'fits %d pixels in %s, runs without an error, and keeps the accessibility rules',
    async (width, scheme) => {
      const [page, wrong] = await opened(width, scheme);
      expect(await page.evaluate('document.documentElement.scrollWidth - innerWidth')).toBe(0);
      expect(await seriousIn(page)).toEqual([]);
      const box = await page.locator('svg.plot').boundingBox();
      expect(box?.width).toBeLessThanOrEqual(width);
      expect(wrong).toEqual([]);
      await page.close();
    },
  );

  it('is zoomed and read by keys alone, and leads from an alarm to what it means', async () => {
    const [page, wrong] = await opened(1440, 'light');
    const readout = page.locator('#readout');
    const drawing = page.locator('#drawing');
    expect(await readout.textContent()).toBe('Shown: day 0.00 to day 10.00 from sowing');
    await drawing.focus();
    await page.keyboard.press('+');
    const shown = (): Promise<string | null> => readout.textContent();
    await expect.poll(shown, SOON).toBe('Shown: day 2.50 to day 7.50 from sowing');
    await page.keyboard.press('0');
    await expect.poll(shown, SOON).toBe('Shown: day 0.00 to day 10.00 from sowing');
    await page.mouse.move(0, 0);
    const line = await drawing.boundingBox();
    await page.mouse.move((line?.x ?? 0) + 500, (line?.y ?? 0) + 200);
    expect(await readout.textContent()).toMatch(
      /^day \d\.\d\d from sowing, root zone [\d.]+ °C \([\d.]+ to [\d.]+\), band 23\.0 to 25\.0 °C, dry-back/,
    );
    await page.locator('a.span-mark').focus();
    await page.keyboard.press('Enter');
    expect(page.url()).toContain('#alarm-too-warm');
    expect(wrong).toEqual([]);
    await page.close();
  });
});
