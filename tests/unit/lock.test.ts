/** A lock file between programs: one has it, the other is told who. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { tryLock } from '../../shared/host/lock';

describe('a lock', () => {
  let folder = '';
  let path = '';
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'trayward-lock-'));
    path = join(folder, 'lock');
  });
  afterEach(() => rmSync(folder, { recursive: true }));

  it('is one program’s until it gives it back, and the other is told whose', () => {
    const first = tryLock(path);
    expect(tryLock(path)).toEqual({ taken: false, holder: process.pid });
    if (!first.taken) throw new Error('nobody held it');
    first.release();
    expect(existsSync(path)).toBe(false);
    expect(tryLock(path).taken).toBe(true);
  });

  it('is taken over from a program that died, or that wrote nonsense, or nothing for long', () => {
    const { pid } = spawnSync(process.execPath, ['--version']);
    for (const left of [`${pid}\n`, 'nonsense', '']) {
      writeFileSync(path, left);
      utimesSync(path, 0, 0);
      expect(tryLock(path).taken).toBe(true);
      expect(readFileSync(path, 'utf8')).toBe(`${process.pid}\n`);
      rmSync(path);
    }
  });

  it('is left to a program that is just writing it', () => {
    writeFileSync(path, '');
    expect(tryLock(path)).toEqual({ taken: false, holder: null });
    expect(readFileSync(path, 'utf8')).toBe('');
  });

  it('that cannot be made at all is told as what the system says', () => {
    expect(() => tryLock(join(folder, 'nowhere', 'lock'))).toThrow(/ENOENT/);
  });
});
