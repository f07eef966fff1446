/** Folders that are made where a person wants them. */
import { mkdirSync, statSync } from 'node:fs';
import { dirname } from 'node:path';

const isFolder = (path: string): boolean =>
  statSync(path, { throwIfNoEntry: false })?.isDirectory() ?? false;

/**
 * Makes sure of a folder, with those above it. Throws the system's error. One by one from above: Node's own way
 * never comes to an end where the system takes no folders, such as in /proc.
 */
export function makeFolder(path: string): void {
  if (isFolder(path)) return;
  const above = dirname(path);
  if (above !== path) makeFolder(above);
  try {
    mkdirSync(path);
  } catch (error) {
    // Somebody else was quicker.
    if (Object(error).code !== 'EEXIST' || !isFolder(path)) throw error;
  }
}
