/** The page of a report as a browser takes it: well-formed, silent towards every network, and deaf to what is in its texts. */
import { createHash } from 'node:crypto';
import script from 'trayward:page-script';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { dataBlock, escaped, html, Markup } from '../../cli/report/html';
import { pageOf } from '../../cli/report/page/page';
import { STYLE } from '../../cli/report/page/style';
import { drawPlot } from '../../cli/report/plot/draw';
import { holds } from '../properties';
import { MadeJournal, TRAY } from './made-journal';
import { badNight, HOSTILE, reportFor, unbalanced } from './made-report';
import { expectPlacesOnce, expectSoundAnywhere } from './page-checks';

describe('markup', () => {
  it('lets no text of somebody else’s become markup', () => {
    holds(
      fc.property(fc.string(), (text) => {
        const { text: made } = html`<p title="${text}">${[text, text]}</p>`;
        expect(made.match(/[<>]/g)).toHaveLength(4);
        expect(made.match(/"/g)).toHaveLength(2);
      }),
    );
    expect(html`<p>${new Markup('<b>bold</b>')}${null}${Number.NaN}</p>`.text).toBe(
      '<p><b>bold</b></p>',
    );
    expect(escaped('a\u0000b\u001b[31m')).toBe('ab[31m');
  });

  it('ends no block of data early', () => {
    const { text } = dataBlock({ title: HOSTILE });
    expect(text).not.toContain('<');
    expect(JSON.parse(text)).toEqual({ title: HOSTILE });
  });
});

describe('the page', () => {
  const profile = {
    ...TRAY,
    title: HOSTILE,
    stages: TRAY.stages.map((stage) => ({ ...stage, name: HOSTILE })),
  };
  let page = '';
  beforeAll(() => {
    page = pageOf(reportFor(badNight(profile)), script);
  });

  it('is well-formed, and links to places that it has, each once', () => {
    expect(unbalanced(page)).toEqual([]);
    expectPlacesOnce(page);
    expect(page).toContain('href="#alarm-probe-open"');
    expect(page).toContain('href="#incident-1"');
  });

  it('draws what came up over the days since sowing, and nothing where nothing was counted', () => {
    expect(page).not.toContain('by days since sowing');
    const made = badNight(TRAY);
    for (const standing of [12, 49, 90]) {
      made.note({ kind: 'count', stage: 0, standing, of: 98 });
      made.goOn(24);
    }
    const counted = pageOf(reportFor(made), script);
    expect(unbalanced(counted)).toEqual([]);
    const [drawing = ''] = /<svg[^>]*aria-label="What came up[\s\S]*?<\/svg>/.exec(counted) ?? [];
    expect(drawing).toContain(': 49 of 98</title>');
    const heights = [...drawing.matchAll(/cy="([\d.]+)"/g)].map(([, y]) => Number(y));
    expect(heights).toHaveLength(3);
    // More of the seed stands higher.
    expect(heights).toEqual([...heights].sort((a, b) => b - a));
    // From nothing at sowing up to the last count; of one count alone nobody knows the way.
    expect(drawing).toContain('class="line weight"');
    const once = badNight(TRAY).note({ kind: 'count', stage: 0, standing: 12, of: 98 }).goOn(1);
    const [dot = ''] =
      /<svg[^>]*aria-label="What came up[\s\S]*?<\/svg>/.exec(pageOf(reportFor(once), script)) ??
      [];
    expect(dot).toContain('<circle');
    expect(dot).not.toContain('class="line weight"');
    // Commands are set as such, under tables too.
    expect(counted).toContain('<code>trayward seed test</code>');
    const read = counted.replace(/<script[\s\S]*?<\/script>/g, '').replace(/<[^>]*>/g, '');
    expect(read).not.toMatch(/`trayward/);
  });

  it('asks nothing of any network', () => {
    const addresses = [...page.matchAll(/(?:https?:)?\/\/[\w.-]+\.[a-z]{2,}[^"'\s`]*/g)].map(
      ([address]) => address,
    );
    // The name of a language, which nothing fetches.
    for (const address of addresses) expect(address).toBe('http://www.w3.org/2000/svg');
    expect(page).not.toMatch(/<(link|img|iframe|object|embed|base|form)\b/);
    expect(page).not.toMatch(/@import|url\((?!#)/);
    expect(page).not.toMatch(/\b(fetch|XMLHttpRequest|WebSocket|sendBeacon|EventSource|eval)\b/);
  });

  it('lets a browser run its own script and style, and nothing else', () => {
    const [, policy = ''] = /Content-Security-Policy" content="([^"]+)"/.exec(page) ?? [];
    expect(policy).toContain('default-src &#39;none&#39;');
    expect(policy).not.toContain('unsafe');
    const blocks = [...page.matchAll(/<(?:script|style)>([\s\S]*?)<\/(?:script|style)>/g)];
    expect(blocks).toHaveLength(2);
    for (const [, text = ''] of blocks) {
      const hash = createHash('sha256').update(text).digest('base64');
      expect(policy).toContain(hash);
    }
    // Both would be refused by that policy.
    expect(page.replace(/<script>[\s\S]*?<\/script>/, '')).not.toMatch(/ style=| on[a-z]+="/);
  });

  it('shows a hostile title as its letters', () => {
    expect(page).not.toContain('<img');
    expect(page).toContain('&lt;img src=x onerror=alert(1)&gt; &amp; &quot;quoted&quot;');
    expect(page.match(/<script/g)).toHaveLength(2);
  });

  it('of a month is below 700 KB', () => {
    const month = new MadeJournal().goOn(24 * 31, {
      rootC: (h) => 27 + Math.sin(h * 5),
      trayG: (h) => 4590 - 30 * (h % 24) + Math.sin(h * 97),
    });
    for (let i = 0; i < 60; i++) month.alarm('too-cold').alarm('too-cold', 'returned').dose(59);
    const made = pageOf(reportFor(month), script);
    expect(Buffer.byteLength(made)).toBeLessThan(700_000);
  });
});

describe('the drawing', () => {
  const { plot } = reportFor(badNight());
  const view = (from: number, to: number, widthPx = 900) => ({ from, to, widthPx });

  it('has no place that is no number, whatever stretch of it is shown', () => {
    const whole = { from: 0, to: plot.lengthMin };
    expectSoundAnywhere(whole, (...asked) => drawPlot(plot, view(...asked)).text);
  });

  it('keeps its height while its reader zooms', () => {
    const heightOf = (text: string) => /viewBox="0 0 \d+ ([\d.]+)"/.exec(text)?.[1];
    const whole = heightOf(drawPlot(plot, view(0, plot.lengthMin)).text);
    expect(whole).toBeDefined();
    expect(heightOf(drawPlot(plot, view(300, 420)).text)).toBe(whole);
  });

  it('has round times below, in the tray’s own zone', () => {
    // From 19:00 of the zone on, an hour later than the clock of UTC.
    const { text } = drawPlot(plot, view(0, 360));
    expect(text).toContain('>20:00<');
    expect(text).toContain('>2 Mar<');
  });

  it('of nothing but a start is drawn as well', () => {
    const empty = reportFor(new MadeJournal().goOn(0.2, { rootC: Number.NaN, trayG: Number.NaN }));
    expect(unbalanced(pageOf(empty, script))).toEqual([]);
    expect(drawPlot(empty.plot, view(0, empty.plot.lengthMin)).text).not.toContain('NaN');
  });
});

describe('the looks of the page', () => {
  /** Colours of a theme by name: the first block is light, the second dark, the third paper. */
  const themes = [...STYLE.matchAll(/:root \{([^}]*)\}/g)].map(
    ([, block = '']) =>
      new Map([...block.matchAll(/--([\w-]+): #(\w+);/g)].map(([, name, hex]) => [name, hex])),
  );

  /** Relative luminance of a colour (WCAG 2.2). */
  function luminance(hex = ''): number {
    const six = hex.length === 3 ? [...hex].map((digit) => digit + digit).join('') : hex;
    const [r = 0, g = 0, b = 0] = [0, 2, 4]
      .map((at) => Number.parseInt(six.slice(at, at + 2), 16) / 255)
      .map((one) => (one <= 0.04045 ? one / 12.92 : ((one + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  }
  function contrast(one?: string, other?: string): number {
    const [dark = 0, light = 0] = [luminance(one), luminance(other)].sort((a, b) => a - b);
    return (light + 0.05) / (dark + 0.05);
  }

  it('has contrast enough for text and for lines, light, dark and on paper', () => {
    expect(themes).toHaveLength(3);
    for (const theme of themes) {
      for (const ground of ['ground', 'card']) {
        for (const text of ['text', 'quiet', 'link', 'bad', 'warn', 'good'])
          expect(contrast(theme.get(text), theme.get(ground))).toBeGreaterThanOrEqual(4.5);
      }
      for (const line of ['root', 'duty', 'weight', 'true', 'raw', 'bad', 'warn', 'quiet'])
        expect(contrast(theme.get(line), theme.get('ground'))).toBeGreaterThanOrEqual(3);
      // The root zone runs over its bands, names stand on the ribbons.
      for (const band of ['band', 'night'])
        expect(contrast(theme.get('root'), theme.get(band))).toBeGreaterThanOrEqual(3);
      for (const ribbon of ['stage', 'odd', 'lid', 'lid-odd'])
        expect(contrast(theme.get('text'), theme.get(ribbon))).toBeGreaterThanOrEqual(4.5);
    }
  });

  it('gives colours to nothing but names, so that every theme has them all', () => {
    const [light, ...others] = themes.map((theme) => [...theme.keys()].sort());
    for (const other of others) expect(other).toEqual(light);
    const rules = STYLE.replace(/:root \{[^}]*\}/g, '');
    expect(rules).not.toMatch(/#[0-9a-f]{3,6}\b/i);
  });
});
