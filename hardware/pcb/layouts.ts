/** The boards that there are. */

import type { Layout } from './layout';
import { CARRIER_LAYOUT } from './layout-carrier';
import { POWER_LAYOUT } from './layout-power';
import type { Project } from './projects';

export const LAYOUTS: readonly Layout[] = [POWER_LAYOUT, CARRIER_LAYOUT];

/** Throws for a project without a board. */
export function layoutOf(project: Project): Layout {
  const found = LAYOUTS.find((layout) => layout.project === project);
  if (found === undefined) throw new Error(`${project.name} has no board`);
  return found;
}
