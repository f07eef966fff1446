/** What KiCad calls each net: its own name where it leaves its sheet, else the sheet's before it. */
import { findNet } from '../circuit/circuit';
import { layOut } from '../draw/schematic';
import type { Project } from './projects';

/** Nets that some sheet of the project leads on to others. */
export const netsWithFlag = (project: Project): ReadonlySet<string> =>
  new Set(project.sheets.flatMap(({ plan }) => plan.flags.map(({ net }) => net)));

/** Grounds have a symbol of their own on every sheet. */
export function isGroundNet(project: Project, net: string): boolean {
  const use = findNet(project.circuit, net)?.use;
  return use === 'ground' || (use === 'quiet-ground' && net !== 'BRIDGE_MINUS');
}

/** Nets that each sheet shows, in the order of the sheets. */
export const netsShown = ({ circuit, sheets }: Project): ReadonlySet<string>[] =>
  sheets.map(({ plan }) => new Set(layOut(circuit, plan).collected.points.keys()));

/** KiCad's name of each net of the project. */
export function kicadNets(project: Project): ReadonlyMap<string, string> {
  const flagged = netsWithFlag(project);
  const shown = netsShown(project);
  return new Map(
    project.circuit.nets.map(({ name }) => {
      if (flagged.has(name) || isGroundNet(project, name)) return [name, name];
      const home = project.sheets[shown.findIndex((nets) => nets.has(name))];
      return [name, home === undefined ? name : `/${home.name}/${name}`];
    }),
  );
}
