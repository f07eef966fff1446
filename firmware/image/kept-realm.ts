/** The frozen realm of the last build, for a program that is the same: to freeze one takes seconds. */
import { createHash } from 'node:crypto';
import { readdir, readFile, rename, writeFile } from 'node:fs/promises';
import { extname, join } from 'node:path';
import type { ImagePaths } from './paths';
import { withFrozenRealm } from './realm';
import { addressOf, type Symbols } from './symbols';

/** Of the realm of a linked program: the emulated chip, and the emulator that it stands on. */
const MAKERS = ['firmware/bench', 'firmware/image', 'shared/board'];
const LOCK_FILE = 'package-lock.json';
const HASH_BYTES = 32;

/** As `withFrozenRealm`; `folder` keeps one. */
export async function withKeptRealm(
  linked: Uint8Array,
  symbols: Symbols,
  folder: string,
  { root }: ImagePaths,
): Promise<Uint8Array> {
  const hash = createHash('sha256').update(linked);
  for (const name of ['realm_start', 'realm_end']) hash.update(`${addressOf(symbols, name)} `);
  for (const file of await makers(root)) hash.update(await readFile(file));
  return keptUnder(hash.digest(), join(folder, 'frozen.bin'), () =>
    withFrozenRealm(linked, symbols),
  );
}

/** What the file at `path` keeps under this hash of all that goes into it; made, and kept there, where it has another. */
export async function keptUnder(
  hash: Uint8Array,
  path: string,
  make: () => Uint8Array,
): Promise<Uint8Array> {
  const kept = await readFile(path).catch(() => Buffer.alloc(0));
  if (kept.subarray(0, HASH_BYTES).equals(hash)) return new Uint8Array(kept.subarray(HASH_BYTES));
  const made = make();
  // A build that is ended in the middle leaves no half of it under the right hash.
  await writeFile(`${path}.new`, Buffer.concat([hash, made]));
  await rename(`${path}.new`, path);
  return made;
}

/** Files, in one order everywhere. */
async function makers(root: string): Promise<string[]> {
  const listed = await Promise.all(
    MAKERS.map(async (folder) => {
      const names = await readdir(join(root, folder), { recursive: true });
      return names.filter((name) => extname(name) === '.ts').map((name) => join(folder, name));
    }),
  );
  return [LOCK_FILE, ...listed.flat().sort()].map((name) => join(root, name));
}
