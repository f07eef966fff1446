/** Compiles a list of C files, each only when its command or a file it includes changed. */

import { mkdir, readFile, stat, writeFile } from 'node:fs/promises';
import { availableParallelism } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { inParallel, run } from './run';

export interface Compilation {
  readonly compiler: string;
  readonly flags: readonly string[];
  readonly sources: readonly string[];
  /** Where the objects go; two lists with different flags need two folders. */
  readonly folder: string;
}

async function modifiedMs(path: string): Promise<number> {
  try {
    return (await stat(path)).mtimeMs;
  } catch {
    return Number.NaN;
  }
}

/** Files a make rule (`object: source header \ header`) depends on. */
function dependencies(rule: string): string[] {
  const [, files = ''] = rule.split(/:\s/, 2);
  return files
    .replace(/\\\r?\n/g, ' ')
    .split(/(?<!\\)\s+/)
    .filter((file) => file !== '')
    .map((file) => file.replace(/\\ /g, ' '));
}

async function isCurrent(object: string, command: string): Promise<boolean> {
  try {
    if ((await readFile(`${object}.command`, 'utf8')) !== command) {
      return false;
    }
    const built = await modifiedMs(object);
    const inputs = dependencies(await readFile(`${object}.d`, 'utf8'));
    const times = await Promise.all(inputs.map(modifiedMs));
    return times.every((time) => time <= built);
  } catch {
    return false;
  }
}

/** Object files of the sources, in their order. Throws with the compiler's words. */
export async function compileAll(compilation: Compilation): Promise<string[]> {
  const { compiler, flags, sources, folder } = compilation;
  await mkdir(folder, { recursive: true });
  const objects = sources.map((source) => join(folder, `${basename(source)}.o`));
  const jobs = sources.map((source, index) => async () => {
    const object = objects[index] ?? join(folder, `${basename(source)}.o`);
    const args = [...flags, '-MMD', '-MF', `${object}.d`, '-c', source, '-o', object];
    const command = [compiler, ...args].join(' ');
    if (!(await isCurrent(object, command))) {
      await run(compiler, args, dirname(source));
      await writeFile(`${object}.command`, command);
    }
  });
  await inParallel(jobs, availableParallelism());
  return objects;
}
