/**
 * Which property names a build of the firmware must leave as they are. All others it shortens: names
 * are a fifth of the script, and the chip's engine keeps each one in memory.
 *
 * Kept are the names of the language, of what the runtime provides or calls, and of the records that
 * travel on the link as they are in memory. Whatever else travels is written with quoted names
 * (`'uptimeMs': ...`), which no build touches; `tests/simulation/firmware-bundle.test.ts` compares
 * every reply of a built firmware with that of its source.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import ts from 'typescript';

/** The language's library up to the edition the engine is built for. */
const LANGUAGE = /^lib\.es(5|20(1[5-9]|2[0-2])\..*)\.d\.ts$/;
const LANGUAGE_VARIABLES_TOO = /^lib\.es/;

/** What the runtime provides to the script and calls in it. */
const RUNTIME = ['firmware/board.ts', 'firmware/controller.ts', 'firmware/image/native/native.ts'];
const ENTRY_NAMES = ['createController'];

const LINK = 'shared/link/methods.ts';
const TRAVEL_WHOLE = ['ScaleCalibration', 'PumpCalibration', 'ProbeCalibration'];

/** Names of members in the interfaces of a TypeScript file, all of them or those `of` these names. */
function memberNames(file: string, of: readonly string[] | null = null): string[] {
  const source = ts.createSourceFile(file, readFileSync(file, 'utf8'), ts.ScriptTarget.ES2022);
  const withVariables = LANGUAGE_VARIABLES_TOO.test(basename(file));
  const names: string[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isInterfaceDeclaration(node) && of !== null && !of.includes(node.name.text)) return;
    const isMember = ts.isPropertySignature(node) || ts.isMethodSignature(node);
    const isKept = isMember || (withVariables && ts.isVariableDeclaration(node));
    if (isKept && ts.isIdentifier(node.name)) names.push(node.name.text);
    ts.forEachChild(node, visit);
  };
  visit(source);
  return names;
}

/** Every name that must stay, for the project whose top folder is `root`. */
export function keptNames(root: string): readonly string[] {
  const library = dirname(ts.getDefaultLibFilePath({}));
  const language = readdirSync(library).filter((file) => LANGUAGE.test(file));
  return [
    ...new Set([
      ...language.flatMap((file) => memberNames(join(library, file))),
      ...RUNTIME.flatMap((file) => memberNames(join(root, file))),
      ...memberNames(join(root, LINK), TRAVEL_WHOLE),
      ...ENTRY_NAMES,
    ]),
  ];
}
