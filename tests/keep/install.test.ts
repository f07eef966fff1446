/** The unit that starts a keeper with the computer. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  elsewhere,
  type Installation,
  stepsAfter,
  unitName,
  unitText,
} from '../../cli/keep/install';

const ORDINARY: Installation = {
  ...{
    name: 'north-room',
    node: process.execPath,
    program: __filename,
    file: '/home/ann/room.yaml',
  },
  ...{ store: null, environmentFile: null },
};
const STRANGE: Installation = {
  ...ORDINARY,
  file: '/home/ann/my "room" 100%$HOME.yaml',
  ...{ store: '/srv/trays and all', environmentFile: '/home/ann/room.yaml.env' },
};

/** What systemd itself says of a unit; null where this machine has none. */
function verdictOf(installation: Installation): string | null {
  const folder = mkdtempSync(join(tmpdir(), 'trayward-unit-'));
  try {
    const path = join(folder, unitName(installation.name));
    writeFileSync(path, unitText(installation));
    const { error, stderr, status } = spawnSync(
      'systemd-analyze',
      ['verify', '--man=no', '--user', path],
      { encoding: 'utf8', env: { ...process.env, XDG_RUNTIME_DIR: folder } },
    );
    return error === undefined ? `${status} ${stderr}` : null;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

describe('the unit', () => {
  it.each([ORDINARY, STRANGE])('is one that systemd takes without a word: %#', (installation) => {
    const verdict = verdictOf(installation);
    expect(verdict === null || verdict === '0 ', verdict ?? '').toBe(true);
  });

  it('starts the keeper again whenever it ends, but not with a file that is wrong', () => {
    const text = unitText(ORDINARY);
    expect(text).toContain(
      `ExecStart=${process.execPath} ${__filename} keep start /home/ann/room.yaml\n`,
    );
    expect(text).toContain('Restart=always');
    expect(text).toContain('RestartPreventExitStatus=2');
    expect(text).not.toContain('EnvironmentFile');
  });

  it('takes a path as it is, whatever it has in it', () => {
    expect(unitText(STRANGE)).toContain(
      '"/home/ann/my \\"room\\" 100%%$$HOME.yaml" --store "/srv/trays and all"',
    );
    expect(stepsAfter('u', STRANGE, 'ann').join('\n')).toContain(
      'chmod 600 /home/ann/room.yaml.env',
    );
  });

  it('has its like elsewhere told in words', () => {
    expect(elsewhere('darwin', ORDINARY).join(' ')).toContain('LaunchAgents');
    expect(elsewhere('win32', ORDINARY).join(' ')).toContain('Task Scheduler');
    expect(elsewhere('freebsd', ORDINARY).join(' ')).toContain('keep start "/home/ann/room.yaml"');
  });
});
