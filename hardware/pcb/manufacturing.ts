/** What a board maker and whoever places the parts want: Gerbers, drill files, places, purchase list. Written by KiCad. */
import { mkdirSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { REVISION } from '../circuit/revision';
import { kicad } from './kicad';

const LAYERS = 'F.Cu,B.Cu,F.Mask,B.Mask,F.SilkS,B.SilkS,F.Paste,Edge.Cuts';
/** KiCad's own field for how many there are. */
const QUANTITY = '$' + '{QUANTITY}';
const BOM_FIELDS = `Reference,Value,Rating,Footprint,${QUANTITY},Description`;

/** The day and the build of the program are not the board's: the revision's date and the file format's version stand there. */
const undated = (text: string): string =>
  text
    .replaceAll(
      /\d{4}-\d\d-\d\d[T ]\d\d:\d\d:\d\d([+-]\d\d:?\d\d|Z)?/g,
      `${REVISION.date}T00:00:00+00:00`,
    )
    .replaceAll(/(Ki[Cc]ad,Pcbnew,|PCBNEW |KiCad )9\.[\w.+~-]+/g, '$19.0')
    .replaceAll(/"Version": "9\.[^"]*"/g, '"Version": "9.0"');

/** Every manufacturing file of the project in `folder`, by name. */
export function manufacturingFiles(folder: string, name: string): ReadonlyMap<string, string> {
  const out = join(folder, 'fab');
  mkdirSync(out);
  const exported = (from: 'pcb' | 'sch', what: string, to: string, ...options: string[]): void => {
    kicad(folder, from, 'export', what, ...options, '-o', `fab/${to}`, `${name}.kicad_${from}`);
  };
  exported('pcb', 'gerbers', '', '--layers', LAYERS, '--use-drill-file-origin');
  exported('pcb', 'drill', '', '--excellon-separate-th', '--drill-origin', 'plot');
  const places = ['--format', 'csv', '--units', 'mm', '--side', 'front', '--use-drill-file-origin'];
  exported('pcb', 'pos', `${name}-places.csv`, ...places);
  const labels = 'Reference,Value,Rating,Footprint,Quantity,What to buy';
  const grouped = ['--labels', labels, '--group-by', 'Value,Footprint'];
  exported('sch', 'bom', `${name}-bom.csv`, '--fields', BOM_FIELDS, ...grouped);
  return new Map(
    readdirSync(out)
      .sort()
      .map((file) => [file, undated(readFileSync(join(out, file), 'utf8'))]),
  );
}
