/** Runs KiCad's command line on a project and reads what it wrote. Host side only. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { z } from 'zod';

/** What to tell whoever runs the tests where KiCad is missing. */
export const KICAD_MISSING =
  'kicad-cli 9 is not installed: rule checks, netlists and manufacturing files of the boards were NOT CHECKED. ' +
  'On Debian 12: apt-get install -t bookworm-backports --no-install-recommends kicad.';

/** A check or an export takes seconds; one that hangs is an error. */
const KICAD_MAX_MS = 120_000;

/** The major version whose file format and output the projects are written for. */
const MAJOR = '9.';

/** True when the version that the projects are made for can be started. */
export function haveKicad(): boolean {
  const run = spawnSync('kicad-cli', ['version'], { encoding: 'utf8', timeout: KICAD_MAX_MS });
  return run.status === 0 && run.stdout.startsWith(MAJOR);
}

/** A folder with a project in it, gone after `use`. KiCad writes settings beside a project: not beside the committed one. */
export function withProject<T>(files: ReadonlyMap<string, string>, use: (folder: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), 'trayward-kicad-'));
  try {
    for (const [name, text] of files) {
      mkdirSync(join(folder, name, '..'), { recursive: true });
      writeFileSync(join(folder, name), text);
    }
    return use(folder);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** KiCad's own settings, made at its first start: one folder for all runs, away from the user's. */
const SETTINGS = join(tmpdir(), `trayward-kicad-settings-${process.pid}`);
process.once('exit', () => rmSync(SETTINGS, { recursive: true, force: true }));

/** Runs kicad-cli in `folder`; throws with its own words when it fails. */
export function kicad(folder: string, ...args: readonly string[]): string {
  mkdirSync(SETTINGS, { recursive: true });
  const run = spawnSync('kicad-cli', args, {
    cwd: folder,
    encoding: 'utf8',
    timeout: KICAD_MAX_MS,
    env: { ...process.env, KICAD_CONFIG_HOME: SETTINGS, HOME: SETTINGS },
  });
  if (run.status !== 0) throw new Error(`kicad-cli ${args.join(' ')}: ${run.stdout}${run.stderr}`);
  return run.stdout;
}

const violation = z.object({
  type: z.string(),
  severity: z.string(),
  description: z.string(),
  items: z.array(z.object({ description: z.string() })),
});
const schematicReport = z.object({ sheets: z.array(z.object({ violations: z.array(violation) })) });
const boardReport = z.object({
  violations: z.array(violation),
  unconnected_items: z.array(violation),
  schematic_parity: z.array(violation),
});

const told = ({ severity, type, description, items }: z.infer<typeof violation>): string =>
  `${severity} ${type}: ${description} (${items.map((item) => item.description).join('; ')})`;

/** Every error and warning of KiCad's electrical rules, one line each. */
export function electricalRules(folder: string, name: string): string[] {
  kicad(
    folder,
    'sch',
    'erc',
    '--severity-all',
    '--format',
    'json',
    '-o',
    'erc.json',
    `${name}.kicad_sch`,
  );
  const report = schematicReport.parse(JSON.parse(readFileSync(join(folder, 'erc.json'), 'utf8')));
  return report.sheets.flatMap(({ violations }) => violations).map(told);
}

/** Every error and warning of KiCad's rules for boards, open connections, and where board and schematic differ. */
export function boardRules(folder: string, name: string): string[] {
  kicad(
    folder,
    'pcb',
    'drc',
    '--severity-all',
    '--schematic-parity',
    '--all-track-errors',
    '--format',
    'json',
    '-o',
    'drc.json',
    `${name}.kicad_pcb`,
  );
  const report = boardReport.parse(JSON.parse(readFileSync(join(folder, 'drc.json'), 'utf8')));
  return [...report.violations, ...report.unconnected_items, ...report.schematic_parity].map(told);
}
