/** A long journal goes to the reader's pager, as with other command-line tools. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { page } from '../../cli/terminal/pager';

describe.skipIf(process.platform === 'win32')('a pager', () => {
  let folder = '';
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'trayward-pager-'));
  });
  afterAll(() => {
    rmSync(folder, { recursive: true });
  });
  const env = (PAGER: string) => ({ PATH: process.env.PATH, PAGER });

  it('is the program that PAGER names, with its options, and is given all of the text', async () => {
    const file = join(folder, 'shown');
    expect(await page('a\nb\n', env(`tee "${file}" >/dev/null`))).toBe(true);
    expect(readFileSync(file, 'utf8')).toBe('a\nb\n');
  });

  it('is told as the usual one to leave what fits on a screen', async () => {
    const file = join(folder, 'less');
    await page('', env(`printf %s "$LESS" > "${file}"`));
    expect(readFileSync(file, 'utf8')).toBe('FRX');
  });

  it('may be left before the end of a long text', async () => {
    expect(await page('line\n'.repeat(200_000), env('head -n 1 >/dev/null'))).toBe(true);
  });

  it.each(['', 'cat', 'no-such-pager-here'])(
    'that is "%s" shows nothing: the text is for us',
    async (name) => {
      expect(await page('text\n', env(name))).toBe(false);
    },
  );
});
