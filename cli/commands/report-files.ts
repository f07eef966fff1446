/** Which files a report is written to: looked at before any work is done, and again when they are written. */
import { accessSync, constants, existsSync, realpathSync, statSync } from 'node:fs';
import { basename, dirname, extname, join, resolve } from 'node:path';
import { refused, usage } from '../failure';
import { writeNew, writeOver } from '../files/atomic-write';

/** Refused before any work is done; it is looked at again when the file is written. */
export function refuseTaken(flag: string, file: string, force: boolean): void {
  if (force || !existsSync(file)) return;
  throw refused(
    'file-exists',
    `${file} is there already, and stays as it is.`,
    `Name another file with ${flag}, or write over it with --force.`,
  );
}

const isPicture = (file: string): boolean => extname(file).toLowerCase() === '.svg';

/** Where a file lies, whatever it is called: by way of links, too, as far as it is there. */
function placeOf(file: string): string {
  const path = resolve(file);
  if (existsSync(path)) return realpathSync(path);
  const folder = dirname(path);
  return existsSync(folder) ? join(realpathSync(folder), basename(path)) : path;
}

/** Refuses a picture that is no SVG by its name, a page that is one, and both in one file. */
export function refuseMixed(out: string | null, svg: string | null): void {
  if (svg !== null && !isPicture(svg))
    throw usage(
      `--svg ${svg} does not end in .svg, and the picture is one: programs go by the name.`,
      `Name it ${join(dirname(svg), basename(svg, extname(svg)))}.svg.${extname(svg) === '.html' ? ' The page is written with --out.' : ''}`,
    );
  if (out !== null && svg !== null && placeOf(out) === placeOf(svg))
    throw usage(
      `--out and --svg both name ${out}: the page and the picture are two files.`,
      'Name one of them otherwise, or leave --out away for the picture alone.',
    );
  if (out !== null)
    refusePicture(
      out,
      `Name a page, season.html. The picture of one season is written with --svg ${out}.`,
    );
}

/** Refuses a page that is a picture by its name. */
export function refusePicture(out: string, next: string): void {
  if (isPicture(out))
    throw usage(`--out ${out} names a picture, and a page is written there.`, next);
}

/** Refused where no file can be made: whatever takes minutes is not to end with that. */
export function refuseHomeless(flag: string, file: string): void {
  const folder = dirname(resolve(file));
  if (statSync(file, { throwIfNoEntry: false })?.isDirectory())
    throw refused(
      'file-error',
      `${file} is a folder, and a file is written there.`,
      `Name a file in it: ${flag} ${join(file, 'page.html')}.`,
    );
  try {
    accessSync(folder, constants.W_OK);
  } catch {
    throw refused(
      'file-error',
      `${file} cannot be written: ${folder} is no folder that you may write to.`,
      `Make that folder, or name another file with ${flag}.`,
    );
  }
}

export const write = (file: string, text: string, force: boolean): void =>
  force ? writeOver(file, text) : writeNew(file, text);
