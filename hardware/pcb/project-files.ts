/** Every file of a KiCad project that follows from the netlist, by its name in the project's folder. */
import { boardOf } from './board';
import { boardText } from './board-file';
import { layoutOf } from './layouts';
import { projectText, symbolTable } from './project-file';
import type { Project } from './projects';
import { libraryText, rootText, sheetText } from './schematic/files';
import { sheetFile } from './schematic/job';
import { LIBRARY } from './schematic/symbols';

export const projectFiles = (project: Project): ReadonlyMap<string, string> =>
  new Map([
    ...schematicFiles(project),
    [boardName(project), boardText(boardOf(layoutOf(project)))],
  ]);

export const boardName = ({ name }: Project): string => `${name}.kicad_pcb`;

/** The files without the board, which takes longer to make. */
export function schematicFiles(project: Project): ReadonlyMap<string, string> {
  return new Map([
    [`${project.name}.kicad_pro`, projectText(project)],
    [`${project.name}.kicad_sch`, rootText(project)],
    ...project.sheets.map((sheet): [string, string] => [
      sheetFile(sheet),
      sheetText(project, sheet),
    ]),
    [`${LIBRARY}.kicad_sym`, libraryText(project)],
    ['sym-lib-table', symbolTable()],
  ]);
}
