/** Debian's Chromium, driven as a phone is used. */
import { existsSync } from 'node:fs';
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
    if (message.type() === 'error') wrong.push(message.text());
  });
  return wrong;
}
