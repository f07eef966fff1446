/** Builds of the flash image wait for each other, and for nobody who is gone. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { exclusively } from '../../firmware/image/lock';

describe('the lock of the image build', () => {
  let folder: string;
  let lock: string;

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'trayward-lock-'));
    lock = join(folder, 'building');
  });
  afterEach(() => rmSync(folder, { recursive: true }));

  it('lets one build work at a time, and opens when a build fails', async () => {
    const under: number[] = [];
    let working = 0;
    const build = (fails: boolean) =>
      exclusively(folder, async () => {
        under.push(++working);
        await Promise.resolve();
        working--;
        if (fails) throw new Error('no compiler');
      });
    const [first, second, third] = await Promise.allSettled([
      build(true),
      build(false),
      build(false),
    ]);
    expect([first?.status, second?.status, third?.status]).toEqual([
      'rejected',
      'fulfilled',
      'fulfilled',
    ]);
    expect(under).toEqual([1, 1, 1]);
    expect(existsSync(lock)).toBe(false);
  });

  it('is void when the build that made it was killed', async () => {
    const { pid } = spawnSync(process.execPath, ['--version']);
    writeFileSync(lock, String(pid));
    expect(await exclusively(folder, async () => readFileSync(lock, 'utf8'))).toBe(
      `${process.pid}\n`,
    );
  });

  it('is void when it was left without an owner', async () => {
    writeFileSync(lock, '');
    utimesSync(lock, 0, 0);
    expect(await exclusively(folder, async () => 'built')).toBe('built');
  });
});
