/** What a build keeps for the next one, since it takes seconds to make. */
import { randomBytes } from 'node:crypto';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { keptUnder } from '../../firmware/image/kept-realm';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'trayward-kept-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('what a build keeps', () => {
  const [one, other] = [randomBytes(32), randomBytes(32)];
  const bytes = (value: number) => new Uint8Array(1000).fill(value);
  const never = (): Uint8Array => {
    throw new Error('made anew');
  };

  it('is made once for the same program, and anew for another', async () => {
    const path = join(folder, 'frozen.bin');
    expect(await keptUnder(one, path, () => bytes(1))).toEqual(bytes(1));
    expect(await keptUnder(one, path, never)).toEqual(bytes(1));
    expect(await keptUnder(other, path, () => bytes(2))).toEqual(bytes(2));
    expect(await keptUnder(other, path, never)).toEqual(bytes(2));
    await expect(keptUnder(one, path, never)).rejects.toThrow('made anew');
    expect(readdirSync(folder)).toEqual(['frozen.bin']);
  });
});
