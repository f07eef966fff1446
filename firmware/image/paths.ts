/** Where the image's ingredients and products lie. Everything under `.cache/` can be deleted. */

import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';

/** The project's top folder: the nearest one, upwards from the working directory, with our runtime. */
export function projectRoot(from: string = process.cwd()): string {
  for (let folder = from; ; folder = dirname(folder)) {
    if (existsSync(join(folder, 'firmware/runtime/main.c'))) {
      return folder;
    }
    if (folder === dirname(folder)) {
      throw new Error(`No firmware/runtime above ${from}. Run this inside the project's folder.`);
    }
  }
}

export interface ImagePaths {
  readonly root: string;
  readonly runtime: string;
  readonly engine: string;
  readonly objects: string;
  readonly generated: string;
}

/** The paths for the project whose top folder is `root`; makes none of them. */
export function imagePaths(root: string = projectRoot()): ImagePaths {
  const cache = join(root, '.cache');
  return {
    root,
    runtime: join(root, 'firmware/runtime'),
    engine: join(cache, 'engine'),
    objects: join(cache, 'image/objects'),
    generated: join(cache, 'image/generated'),
  };
}
