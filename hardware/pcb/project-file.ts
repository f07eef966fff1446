/** A KiCad project's own file, and the tables that say where its libraries are. */
import { LEGEND } from './legend';
import type { Project } from './projects';
import { rootId, sheetId } from './schematic/job';
import { LIBRARY } from './schematic/symbols';
import { COPPER } from './widths';

/**
 * Warnings that are not asked for, each with its reason. KiCad's footprint libraries need not be installed: each
 * board carries its footprints in itself, so that it opens anywhere, and is not compared with libraries.
 */
export const NOT_ASKED = {
  erc: ['footprint_link_issues'],
  drc: ['lib_footprint_issues', 'lib_footprint_mismatch'],
} as const;

const ignored = (names: readonly string[]): Readonly<Record<string, 'ignore'>> =>
  Object.fromEntries(names.map((name) => [name, 'ignore' as const]));

/** What KiCad holds the copper to: the same figures that it is laid with. */
const RULES = {
  min_clearance: COPPER.clearanceMm,
  min_copper_edge_clearance: COPPER.edgeMm,
  min_track_width: COPPER.signalMm,
  min_via_diameter: COPPER.viaMm,
  min_through_hole_diameter: COPPER.viaDrillMm,
  min_text_height: LEGEND.size,
  min_text_thickness: LEGEND.thick,
} as const;

const NET_CLASS = {
  name: 'Default',
  clearance: COPPER.clearanceMm,
  track_width: COPPER.signalMm,
  via_diameter: COPPER.viaMm,
  via_drill: COPPER.viaDrillMm,
  bus_width: 12,
  wire_width: 6,
  line_style: 0,
  pcb_color: 'rgba(0, 0, 0, 0.000)',
  schematic_color: 'rgba(0, 0, 0, 0.000)',
  priority: 2147483647,
} as const;

/** `NAME.kicad_pro`. */
export function projectText(project: Project): string {
  const file = {
    board: { design_settings: { rule_severities: ignored(NOT_ASKED.drc), rules: RULES } },
    erc: { rule_severities: ignored(NOT_ASKED.erc) },
    meta: { filename: `${project.name}.kicad_pro`, version: 3 },
    net_settings: { classes: [NET_CLASS], meta: { version: 4 } },
    schematic: { legacy_lib_dir: '', legacy_lib_list: [] },
    sheets: [
      [rootId(project), 'Root'],
      ...project.sheets.map((sheet) => [sheetId(project, sheet), sheet.name]),
    ],
    text_variables: {},
  };
  return `${JSON.stringify(file, null, 2)}\n`;
}

/** `sym-lib-table`: the symbols lie beside the sheets. */
export const symbolTable = (): string =>
  [
    '(sym_lib_table',
    '  (version 7)',
    `  (lib (name "${LIBRARY}")(type "KiCad")(uri "\${KIPRJMOD}/${LIBRARY}.kicad_sym")(options "")(descr "Symbols of this project"))`,
    ')',
    '',
  ].join('\n');
