/** `keep install`: a unit for systemd, or what to do where there is none. */
import { existsSync, readFileSync } from 'node:fs';
import { userInfo } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import type { Context } from '../context';
import { refused, usage } from '../failure';
import { writeNew, writeOver } from '../files/atomic-write';
import { makeFolder } from '../files/folder';
import { readKeep } from '../keep/config/check';
import { secretVariables } from '../keep/config/name';
import { elsewhere, type Installation, stepsAfter, unitName, unitText } from '../keep/install';
import { indented, wrap } from '../terminal/output';

export interface InstallOptions {
  readonly out: string | null;
  readonly store: string | null;
  readonly force: boolean;
}

/** The folder of a user's own units (systemd.unit(5)). */
function unitFolder(env: Context['world']['env']): string {
  const home = env.HOME || userInfo().homedir;
  return join(env.XDG_CONFIG_HOME || join(home, '.config'), 'systemd', 'user');
}

function writeUnit(path: string, text: string, force: boolean): void {
  makeFolder(dirname(path));
  if (!existsSync(path)) {
    writeNew(path, text);
    return;
  }
  if (readFileSync(path, 'utf8') === text) return;
  if (!force) {
    throw refused(
      'unit-exists',
      `${path} is there already, and says something else.`,
      'Write over it with --force, or give another place with --out.',
    );
  }
  writeOver(path, text);
}

export async function install(context: Context, options: InstallOptions, file: string | undefined) {
  const { world } = context;
  if (world.script === null)
    throw usage('This program runs inside another one.', 'Run `trayward` itself.');
  // Secrets that the service will find in its environment need not be in this one.
  const wanted = secretVariables(file);
  const later = Object.fromEntries(wanted.map((name) => [name, 'given to the service']));
  const { plan } = readKeep(file, { ...later, ...world.env });
  const installation: Installation = {
    ...{ name: plan.name, node: process.execPath, program: resolve(world.script), file: plan.file },
    store: options.store ?? world.env.TRAYWARD_STORE ?? null,
    environmentFile: wanted.length === 0 ? null : `${plan.file}.env`,
  };
  const hasSystemd = process.platform === 'linux' || options.out !== null;
  if (!hasSystemd) {
    const next = elsewhere(process.platform, installation);
    return { result: { unit: null, next }, text: stepsText(next, context) };
  }
  const name = unitName(plan.name);
  const path = resolve(options.out ?? join(unitFolder(world.env), name));
  writeUnit(path, unitText(installation), options.force);
  const next = stepsAfter(name, installation, userInfo().username);
  return {
    result: { unit: path, next },
    text: `${wrap(`${path} is written. Then:`, context.style.width)}\n${stepsText(next, context)}`,
  };
}

const stepsText = (steps: readonly string[], { style }: Context): string =>
  steps.map((step, i) => indented(wrap(`${i + 1}. ${step}`, style.width - 2, 3), 2)).join('\n');
