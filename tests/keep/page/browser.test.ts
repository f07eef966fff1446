/** The page as it is used, in Chromium: from an alarm to mended, by touch and by keys, over bad lines and on slow phones. */
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { MINUTE_MS } from '../../../shared/units/time';
import type { Grower } from '../../simulation/grower';
import { TEST_PROFILE } from '../../simulation/grower';
import { seriousIn, startBrowser, watched } from './browser';
import { House, trayInUse } from './house';

/** Nothing of it may run, wherever it is shown. */
const HOSTILE = '<img src=x onerror=alert(1)>"\'</script><script>alert(2)</script>';
const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true } as const;

let browser: Browser;
let house: House;
let pepper: Grower;
let basil: Grower;
beforeAll(async () => {
  pepper = trayInUse(1, 26);
  basil = trayInUse(2, 26, { ...TEST_PROFILE, title: HOSTILE.slice(0, 40) });
  house = await House.open({ trays: { 'Pepper north': pepper, [`Basil ${HOSTILE}`]: basil } });
  browser = await startBrowser();
}, 120_000);
afterAll(async () => {
  await browser.close();
  house.end();
});

const opened: Page[] = [];
afterEach(async () => {
  for (const page of opened.splice(0)) await page.context().close();
});

async function pageAt(path: string, options: BrowserContextOptions = PHONE) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  opened.push(page);
  const wrong = watched(page);
  await page.goto(house.url + path);
  return { page, wrong, context };
}

const PEPPER = '/trays/Pepper%20north';

describe('a phone', () => {
  it('goes the whole way from an alarm to mended, and sees each step without loading anything again', async () => {
    const { page, wrong } = await pageAt('/');
    await page.getByText('All 2 trays are well.').waitFor();
    pepper.bench.fault('probe-open', true);
    await house.run(MINUTE_MS);
    await page.getByText('1 tray now, 1 well.').waitFor();
    await page.getByRole('link', { name: 'now Pepper north' }).click();
    await page.getByRole('heading', { name: 'Root-zone probe open', exact: true }).waitFor();
    await page.getByText('Check the plug and the cable').first().waitFor();

    await page.getByRole('button', { name: 'Seen' }).click();
    await page.getByRole('button', { name: 'Yes, seen' }).click();
    await page
      .getByText(/Root-zone probe open: seen, since/)
      .first()
      .waitFor();
    await page.getByRole('button', { name: 'Close' }).click();
    await page.getByRole('button', { name: 'Seen' }).waitFor({ state: 'detached' });

    await page.getByRole('button', { name: 'Mended' }).click();
    await page.getByRole('button', { name: 'Yes, mended' }).click();
    await page.getByText(/The cause of "Root-zone probe open" is still there/).waitFor();
    await page.getByRole('button', { name: 'No', exact: true }).click();

    pepper.bench.fault('probe-open', false);
    await house.run(5 * MINUTE_MS);
    await page.getByRole('button', { name: 'Mended' }).click();
    await page.getByRole('button', { name: 'Yes, mended' }).click();
    await page.getByText('Root-zone probe open: mended.').waitFor();
    await page.getByRole('button', { name: 'Close' }).click();
    await page.getByRole('heading', { name: 'well Pepper north' }).waitFor();
    await page.getByRole('link', { name: 'All trays of north-room' }).click();
    await page.getByText('All 2 trays are well.').waitFor();
    expect(wrong).toEqual([]);
  });

  it('tells what was done: refilled with volume and EC, a count, a note; and asks before it jumps a stage', async () => {
    const { page, wrong } = await pageAt(PEPPER);
    await page.getByRole('button', { name: 'Refilled' }).click();
    await page.getByLabel('Volume, l').fill('4,5');
    await page.getByLabel('EC, mS/cm').fill('0.9');
    await page.getByRole('button', { name: 'Yes, refilled' }).click();
    await page.getByText(/Marked refilled/).waitFor();
    await page.getByRole('button', { name: 'Close' }).click();
    await page.getByText('4.50 l of 0.90 mS/cm').first().waitFor();

    await page.getByRole('button', { name: 'Refilled' }).click();
    await page.getByLabel('Volume, l').fill('400');
    await page.getByLabel('EC, mS/cm').fill('0.9');
    await page.getByRole('button', { name: 'Yes, refilled' }).click();
    await page.getByText(/A reservoir holds .* at most/).waitFor();
    await page.keyboard.press('Escape');

    await page.getByRole('button', { name: 'Note' }).click();
    await page.getByRole('textbox', { name: 'Note' }).fill('--json <b>leaned</b>');
    await page.getByRole('button', { name: 'Keep this note' }).click();
    await page.getByText('In the journal: --json <b>leaned</b>').waitFor();
    await page.getByRole('button', { name: 'Close' }).click();

    await page.getByRole('button', { name: 'Sown' }).click();
    await page.getByRole('button', { name: 'Yes, sown' }).click();
    await page.getByText(/is running\. Start the profile from the beginning\?/).waitFor();
    await page.getByRole('button', { name: 'No', exact: true }).click();
    expect(wrong).toEqual([]);
  });

  it('fits 360 pixels, with buttons for a wet thumb', async () => {
    for (const path of ['/', PEPPER]) {
      const { page } = await pageAt(path);
      await page.locator('body.works').waitFor();
      const over = await page.evaluate('document.documentElement.scrollWidth - innerWidth');
      expect(over).toBe(0);
      for (const button of await page.locator('.buttons.acts button, article h2 a').all()) {
        const box = await button.boundingBox();
        if (box !== null) expect(box.height).toBeGreaterThanOrEqual(44);
      }
    }
  });

  it('runs nothing that stands in a name, a profile or a note', async () => {
    const { page, wrong } = await pageAt('/');
    let asked = 0;
    page.on('dialog', (dialog) => {
      asked += 1;
      void dialog.dismiss();
    });
    basil.call('note.write', { data: Buffer.from('<script>alert(3)</script>').toString('base64') });
    await house.run(6 * MINUTE_MS);
    await page.getByRole('link', { name: `well Basil ${HOSTILE}` }).click();
    await page.getByRole('heading', { name: `well Basil ${HOSTILE}` }).waitFor();
    await page.locator('#facts').getByText(HOSTILE.slice(0, 40)).waitFor();
    expect(await page.locator('img').count()).toBe(0);
    expect([asked, wrong]).toEqual([0, []]);
  });
});

describe('by keys alone', () => {
  it('an alarm is seen, and the focus comes back to where it was', async () => {
    basil.bench.fault('probe-open', true);
    await house.run(MINUTE_MS);
    const { page } = await pageAt(`/trays/${encodeURIComponent(`Basil ${HOSTILE}`)}`, {});
    const focused = () => page.evaluate('document.activeElement?.textContent ?? ""');
    for (let i = 0; i < 20 && (await focused()) !== 'Seen'; i++) await page.keyboard.press('Tab');
    expect(await focused()).toBe('Seen');
    await page.keyboard.press('Enter');
    await page.getByRole('dialog').waitFor();
    expect(await focused()).toBe('Yes, seen');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Close' }).waitFor();
    expect(await focused()).toBe('Close');
    await page.keyboard.press('Enter');
    await page.getByRole('dialog').waitFor({ state: 'hidden' });
    basil.bench.fault('probe-open', false);
    await house.run(3 * MINUTE_MS);
    await page.locator('#mended-probe-open').focus();
    await house.run(MINUTE_MS);
    await page.waitForTimeout(2_500);
    expect(await focused()).toBe('Mended');
    basil.call('alarm.clear', { alarm: 'probe-open' });
    await house.run(MINUTE_MS);
  });
});

describe('the accessibility rules', () => {
  it.each([
    ['light', '/'],
    ['dark', '/'],
    ['light', PEPPER],
    ['dark', PEPPER],
  ] as const)('are kept in %s at %s', async (colorScheme, path) => {
    const { page } = await pageAt(path, { ...PHONE, colorScheme });
    await page.locator('body.works').waitFor();
    expect(await seriousIn(page)).toEqual([]);
    if (path !== PEPPER) return;
    await page.getByRole('button', { name: 'Refilled' }).click();
    expect(await seriousIn(page)).toEqual([]);
  });
});

describe('a line that breaks', () => {
  it('is said with the time of what is seen, and what has changed meanwhile comes by itself', async () => {
    const { page, context } = await pageAt(PEPPER);
    await page.locator('body.works').waitFor();
    await page.waitForTimeout(300);
    const at = (await page.locator('#head').textContent())?.match(/At (\d\d:\d\d)/)?.[1];
    await context.setOffline(true);
    await page.getByText(`Not connected to the keeper. What you see is of ${at}.`).waitFor();
    await page.getByRole('button', { name: 'Note' }).click();
    await page.getByRole('textbox', { name: 'Note' }).fill('said in the cellar');
    await page.getByRole('button', { name: 'Keep this note' }).click();
    await page.getByText('The keeper cannot be reached.').waitFor();
    pepper.bench.fault('probe-open', true);
    await house.run(MINUTE_MS);
    await context.setOffline(false);
    await page.getByRole('button', { name: 'Keep this note' }).click();
    await page.getByText('In the journal: said in the cellar').waitFor();
    await page.getByRole('heading', { name: 'now Pepper north' }).waitFor();
    await page.getByText('Not connected to the keeper').waitFor({ state: 'hidden' });
    pepper.bench.fault('probe-open', false);
    await house.run(2 * MINUTE_MS);
    pepper.call('alarm.accept', { alarm: 'probe-open' });
    pepper.call('alarm.clear', { alarm: 'probe-open' });
    await house.run(MINUTE_MS);
  });
});

describe('a clock that is set', () => {
  it('by the hour makes no tray silent and no line broken, on the keeper’s computer or the phone', async () => {
    const { page } = await pageAt(PEPPER);
    await page.getByRole('heading', { name: 'well Pepper north' }).waitFor();
    house.room.clockOffMs += 60 * MINUTE_MS;
    await page.waitForTimeout(1_500);
    expect(await page.getByRole('heading', { name: 'well Pepper north' }).count()).toBe(1);
    await house.run(MINUTE_MS);
    house.room.clockOffMs -= 60 * MINUTE_MS;
    await house.run(MINUTE_MS);
    // A phone whose clock is years off: the page goes by its own.
    await page.evaluate('Date.now = () => 0');
    await page.waitForTimeout(1_500);
    expect(await page.getByRole('heading', { name: 'well Pepper north' }).count()).toBe(1);
    expect(await page.getByText('Not connected').isVisible()).toBe(false);
  });
});

describe('a browser that lacks what the page wants', () => {
  it('shows how the trays stand all the same, and says in plain words what is wrong', async () => {
    const { page } = await pageAt('/', { ...PHONE, javaScriptEnabled: false });
    await page.locator('noscript p').waitFor();
    expect(await page.locator('noscript').textContent()).toContain('Scripts are off');
    await page.getByText('All 2 trays are well.').waitFor();
    expect(await page.locator('svg.day').count()).toBe(2);
    await page.goto(house.url + PEPPER);
    expect(await page.getByRole('button', { name: 'Sown' }).isVisible()).toBe(false);
  });

  it('of ten years ago runs the one script that it knows, which says so', async () => {
    const { page, context } = await pageAt('/');
    // As such a browser reads it: it knows no modules, and does not heed `nomodule`.
    await context.route(/\/$/, async (route) => {
      const response = await route.fetch();
      const body = (await response.text())
        .replace('type="module"', 'type="module-of-the-future"')
        .replace('<script nomodule ', '<script ');
      await route.fulfill({ response, body });
    });
    await page.reload();
    await page.getByText('This browser is too old for this page').waitFor();
    await page.getByText('All 2 trays are well.').waitFor();
  });
});

describe('fifty trays', () => {
  let many: House;
  beforeAll(async () => {
    many = await House.open({ trays: { Pepper: pepper, Basil: basil }, shown: 50 });
  });
  afterAll(() => many.end());

  it('are a first view of less than 150 KB as it goes over the line, gzip', async () => {
    const { page, bytes } = await seenSlowly(`${many.url}/`);
    expect(await page.locator('svg.day').count()).toBe(50);
    console.log(`The first view of 50 trays: ${(bytes() / 1024).toFixed(0)} KB with gzip.`);
    expect(bytes()).toBeGreaterThan(20 * 1024);
    expect(bytes()).toBeLessThan(150 * 1024);
  });

  it('are to be read, and their links to be followed, within a second on a slow phone', async () => {
    const [emptyMs, usableMs] = [await soonest(`${many.url}/none`), await soonest(`${many.url}/`)];
    console.log(
      `50 trays are usable after ${usableMs.toFixed(0)} ms, an empty page after ${emptyMs.toFixed(0)}.`,
    );
    // A computer that does other things meanwhile is slower by as much as an empty page shows.
    expect(usableMs).toBeLessThan(1_000 * Math.max(1, emptyMs / EMPTY_PAGE_MS));
  });
});

/** An empty page with its style sheet on a slow phone, where nothing else is done: two ways there and back, and to draw it. */
const EMPTY_PAGE_MS = 450;

/** A page on a slow phone, and what went over the line for it. */
async function seenSlowly(url: string) {
  const context = await browser.newContext(PHONE);
  const page = await context.newPage();
  opened.push(page);
  const session = await context.newCDPSession(page);
  await session.send('Network.enable');
  let sum = 0;
  session.on('Network.loadingFinished', ({ encodedDataLength }) => {
    sum += encodedDataLength;
  });
  await session.send('Emulation.setCPUThrottlingRate', { rate: 4 });
  await session.send('Network.emulateNetworkConditions', SLOW_PHONE);
  await page.goto(url, { waitUntil: 'load' });
  return { page, bytes: () => sum };
}

/** When something can be read: links lead on from then, whatever scripts do. The better of two. */
async function soonest(url: string): Promise<number> {
  const times: number[] = [];
  for (let i = 0; i < 2; i++) {
    const { page } = await seenSlowly(url);
    await page.locator('h1').waitFor();
    const paint = await page.evaluate<number>(
      'new Promise((done) => new PerformanceObserver((list) => done(list.getEntriesByName("first-contentful-paint")[0].startTime)).observe({ type: "paint", buffered: true }))',
    );
    times.push(paint);
    await page.context().close();
  }
  return Math.min(...times);
}

/** A phone at the end of the house's wireless network: 1.6 Mbit/s, 150 ms there and back. */
const SLOW_PHONE = {
  ...{ offline: false, latency: 150 },
  ...{ downloadThroughput: 200_000, uploadThroughput: 94_000 },
};
