/**
 * The JavaScript engine's sources (XS, LGPL-3.0), fetched once through npm as the exact package named
 * here and checked against its published hash. Nothing of the package is installed or run.
 */
import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { mkdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { run } from './run';

const PACKAGE = '@agoric/xsnap@0.15.0';
const ARCHIVE = 'agoric-xsnap-0.15.0.tgz';
const SHA512 =
  'ZBm4DZxbtfacxMHVVdJjZi0Y8zOxN77vpu1WwI5RWfPkaRh0aHkz/dVdTGKXalDNzWfz183lljKxlxl3/h0n+A==';
const WANTED = ['sources', 'includes', 'platforms'].map((part) => `package/moddable/xs/${part}`);
/** Left behind when everything was unpacked: the hash it was checked against. */
const STAMP = 'checked-sha512';

/** Folder with `sources`, `includes` and `platforms`. Fetches when the cache does not hold them. */
export async function engineSources(folder: string): Promise<string> {
  const xs = join(folder, 'package/moddable/xs');
  const stamp = join(folder, STAMP);
  if (existsSync(stamp) && (await readFile(stamp, 'utf8')) === SHA512) {
    return xs;
  }
  const fresh = `${folder}.${process.pid}`;
  await rm(fresh, { recursive: true, force: true });
  await mkdir(fresh, { recursive: true });
  await run('npm', ['pack', PACKAGE, '--ignore-scripts', '--silent'], fresh);
  const archive = join(fresh, ARCHIVE);
  const found = createHash('sha512')
    .update(await readFile(archive))
    .digest('base64');
  if (found !== SHA512) {
    await rm(fresh, { recursive: true, force: true });
    throw new Error(`${PACKAGE} is not the package this build knows: its hash is sha512-${found}.`);
  }
  await run('tar', ['-xzf', ARCHIVE, ...WANTED], fresh);
  await rm(archive);
  await writeFile(join(fresh, STAMP), SHA512);
  await rm(folder, { recursive: true, force: true });
  await rename(fresh, folder);
  return xs;
}
