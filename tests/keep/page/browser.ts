/** Debian's Chromium, driven as a phone is used. */
import { existsSync } from 'node:fs';
import axe from 'axe-core';
import { type Browser, chromium, type Page } from 'playwright-core';

/** Where Debian has it; whoever has it elsewhere says so. */
const CHROMIUM = process.env.TRAYWARD_CHROMIUM ?? '/usr/bin/chromium';

/** A browser; throws where there is none, for a page that nobody has looked at is not tested. */
export function startBrowser(): Promise<Browser> {
  if (!existsSync(CHROMIUM)) {
    throw new Error(
      `The page is tested in Chromium, and there is none at ${CHROMIUM}: install Debian's \`chromium\`.`,
    );
  }
  // As root, in a container, Chromium has no sandbox of its own.
  return chromium.launch({ executablePath: CHROMIUM, args: ['--no-sandbox'] });
}

/** What went wrong in a page: errors of scripts, and what the policy has kept from running. */
export function watched(page: Page): string[] {
  const wrong: string[] = [];
  page.on('pageerror', (error) => wrong.push(error.message));
  page.on('console', (message) => {
    // That the keeper has refused something is told in the page.
    const isAnswer = /status of (409|422)/.test(message.text());
    if (message.type() === 'error' && !isAnswer) wrong.push(message.text());
  });
  return wrong;
}

/** Serious and critical violations of the accessibility rules, with the elements that break them. */
export async function seriousIn(page: Page): Promise<readonly string[]> {
  // By the driver, which no policy of the page holds back.
  await page.evaluate(axe.source);
  const { violations }: { violations: readonly Violation[] } = await page.evaluate('axe.run()');
  return violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .flatMap(({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html}`));
}

interface Violation {
  readonly id: string;
  readonly impact: string;
  readonly nodes: readonly { readonly html: string }[];
}
