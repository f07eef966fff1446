/** `board update`: from a board that runs to another image on it, and what becomes of the tray when anything goes wrong. */
import { existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { World } from '../../cli/context';
import { type Client, LinkError } from '../../cli/link/client';
import { showBootDrive } from '../../firmware/bench/server/boot-drive-folder';
import { version } from '../../package.json';
import { PROBES } from '../../shared/board/probes';
import { toUf2 } from '../../shared/board/uf2';
import { curveFromB } from '../../shared/physics/ntc';
import { probeCurveOf } from '../../shared/physics/probe-curve';
import { Grower } from '../simulation/grower';
import { json, unwrapped } from './program';
import { IMAGE, UpdateFolder } from './update-folder';
import { clientOf, runIn, type Said, worldAt } from './worlds';

const INFO = 'UF2 Bootloader v3.0\nModel: Raspberry Pi RP2\nBoard-ID: RPI-RP2\n';
const folder = new UpdateFolder();

/** A sown tray, and what the program sees of it. */
function sownTray(): Grower {
  const grower = new Grower({ seed: 5, room: { meanC: 20 } });
  grower.commission();
  return grower;
}

/** The same with a root-zone probe of another kind, which the board knows. */
function trayWithToldNtc(): Grower {
  const curve = curveFromB({ b: 3435, t1C: 25, t2C: 85 }, 10_000);
  const grower = new Grower({ seed: 5, room: { meanC: 20 }, ntcs: { rootZone: curve } });
  const { channel } = PROBES.rootZone;
  grower.call('probe.curve', { channel, ...probeCurveOf(curve) });
  grower.bench.run(5000);
  grower.commission();
  return grower;
}

/** Updates the board of `grower`, whose drive appears in the folder where `shows` says so. */
async function updated(
  grower: Grower,
  words: readonly string[] = ['--again', '--yes'],
  changes: Partial<World> = {},
  shows = true,
): Promise<Said> {
  const shown = shows
    ? showBootDrive(grower.bench, folder.drive, () => grower.bench.run(2000))
    : null;
  const world = worldAt(grower, {
    connect: async () => clientOf(grower),
    findControllers: async () => [{ port: 'bench', hello: clientOf(grower).hello }],
    ...changes,
  });
  try {
    return await runIn(world, [
      ...['--json', 'board', 'update', '--to', folder.drive, '--image', folder.image],
      ...words,
    ]);
  } finally {
    shown?.close();
  }
}

describe('board update', () => {
  it('puts the image on, and finds the same tray afterwards', async () => {
    const grower = sownTray();
    const before = grower.status();
    const { boot } = clientOf(grower).hello;
    const said = await updated(grower);
    expect(json(said).result).toEqual({
      image: folder.image,
      drive: folder.drive,
      boardId: grower.bench.boardId,
      from: version,
      to: version,
      updated: true,
    });
    expect(clientOf(grower).hello.boot).toBe(boot + 1);
    expect(grower.status().profile).toEqual(before.profile);
    expect(existsSync(join(folder.drive, 'INFO_UF2.TXT'))).toBe(false);
  });

  it('says before what is not done meanwhile, and that somebody has to stay', async () => {
    const { stderr } = await updated(sownTray());
    expect(unwrapped(stderr)).toContain('no heat, no water, no alarm');
    expect(unwrapped(stderr)).toContain('has no watchdog: stay until it answers');
  });

  it('does nothing where that version runs already, and says how to do it all the same', async () => {
    const grower = sownTray();
    const said = await updated(grower, ['--yes']);
    expect(said.code).toBe(0);
    expect(json(said).result).toMatchObject({ updated: false, from: version, to: version });
    expect(grower.bench.boots).toHaveLength(1);
  });

  it('asks first, and without an answer nothing is done', async () => {
    const grower = sownTray();
    const { error } = json(await updated(grower, ['--again']));
    expect(error).toMatchObject({ kind: 'usage', reason: 'needs-an-answer' });
    expect(error.message).toContain(`runs ${version}`);
    expect(error.message).toContain('stage "germinate"');
    expect(grower.bench.boots).toHaveLength(1);
  });

  it.each<[string, () => void, string]>([
    [
      'an image cut short',
      () => writeFileSync(folder.image, toUf2(IMAGE).subarray(0, 700)),
      'bad-image',
    ],
    ['no image', () => rmSync(folder.image), 'no-such-file'],
    ['a drive that stands there before', () => otherDrive(folder.drive), 'boot-drive-before'],
  ])('refuses %s, and the board stays', async (_, happens, reason) => {
    happens();
    const grower = sownTray();
    const { error } = json(await updated(grower, ['--again', '--yes'], {}, false));
    expect(error.reason).toBe(reason);
    expect(error.next).not.toBe('');
    grower.bench.run(5000);
    expect(grower.bench.bootDrive).toBeNull();
  });

  it('is refused while a dose is under way', async () => {
    const busy = new LinkError('busy', 'A dose is under way.', 'pump-busy');
    const { error } = json(await updated(sownTray(), undefined, atBoard({ bootDrive: busy })));
    expect(error).toMatchObject({ kind: 'refused', reason: 'pump-busy' });
  });

  it('tells of an older firmware how it is done with the button, once', async () => {
    const old = new LinkError('protocol', 'does not know', 'unknown-method');
    const { error } = json(await updated(sownTray(), undefined, atBoard({ bootDrive: old })));
    expect(error).toMatchObject({ kind: 'refused', reason: 'firmware-too-old' });
    expect(error.next).toContain('BOOTSEL');
  });

  it('goes on where the answer of the board was lost, and it has left all the same', async () => {
    const grower = sownTray();
    const client = clientOf(grower);
    const loses: Client = {
      ...client,
      call: async (method, params) => {
        const result = await client.call(method, params);
        if (method === 'controller.bootDrive') throw new LinkError('lost', 'cut');
        return result;
      },
    };
    let isFirst = true;
    const connect = async (): Promise<Client> => {
      const line = isFirst ? loses : clientOf(grower);
      isFirst = false;
      return line;
    };
    expect(json(await updated(grower, undefined, { connect })).result.updated).toBe(true);
  });

  it('says that a board which never left holds its tray as before', async () => {
    const grower = sownTray();
    const stays = async (): Promise<Client> => {
      const client = clientOf(grower);
      return {
        ...client,
        call: (method, params) =>
          method === 'controller.bootDrive'
            ? client.call('status.read', {}).then(({ uptimeMs }) => ({ uptimeMs }) as never)
            : client.call(method, params),
      };
    };
    const said = await updated(grower, undefined, { connect: stays });
    expect(json(said).error).toMatchObject({ kind: 'failed', reason: 'no-boot-drive' });
    expect(json(said).error.message).toContain('answers with');
    expect(unwrapped(said.stderr)).not.toContain('holds nothing now');
  });

  it('is refused over a network, where the drive would appear elsewhere', async () => {
    const grower = sownTray();
    const far = async (): Promise<Client> => ({ ...clientOf(grower), port: 'tcp://pi:4000' });
    const world = worldAt(grower, { connect: far });
    const words = ['--json', 'board', 'update', '--image', folder.image, '--again', '--yes'];
    const { error } = json(await runIn(world, words));
    expect(error).toMatchObject({ kind: 'refused', reason: 'not-beside' });
  });

  it('says what holds the tray when no drive is seen: nobody, and how that is ended', async () => {
    const grower = sownTray();
    const said = await updated(grower, undefined, {}, false);
    expect(json(said).error).toMatchObject({ kind: 'failed', reason: 'no-boot-drive' });
    expect(json(said).error.next).not.toBe('');
    expect(unwrapped(said.stderr)).toContain('The board holds nothing now');
    expect(unwrapped(said.stderr)).toContain('switch it off and on');
  });

  // Where else systems show drives, no test may write.
  it.skipIf(process.platform !== 'linux')('copies to neither of two drives', async () => {
    const grower = sownTray();
    const places = folder.at('places');
    const sleep = async (ms: number): Promise<void> => {
      grower.bench.run(ms);
      for (const name of ['one', 'two']) otherDrive(join(places, name));
    };
    const world = worldAt(grower, { sleep, env: { USER: `..${places}` } });
    const words = ['--json', 'board', 'update', '--image', folder.image, '--again', '--yes'];
    const { error } = json(await runIn(world, words));
    expect(error).toMatchObject({ kind: 'failed', reason: 'several-boot-drives' });
    expect(error.next).toContain('Unplug the other one');
    for (const name of ['one', 'two'])
      expect(existsSync(join(places, name, 'trayward.uf2'))).toBe(false);
  });

  it('says that the board has not come back, and whose drive is still there', async () => {
    const grower = sownTray();
    // The board takes nothing: its drive stays.
    const show = async (ms: number): Promise<void> => {
      grower.bench.run(ms);
      if (grower.bench.bootDrive !== null) otherDrive(folder.drive);
    };
    const { error } = json(await updated(grower, undefined, { sleep: show }, false));
    expect(error).toMatchObject({ kind: 'failed', reason: 'image-not-taken' });
  });

  it('knows another version than the one that was promised', async () => {
    writeFileSync(folder.image, toUf2(IMAGE, '9.9.9'));
    const { error } = json(await updated(sownTray(), ['--yes']));
    expect(error).toMatchObject({ kind: 'failed', reason: 'other-version' });
    expect(error.message).toContain('9.9.9');
  });

  it.each<[string, string]>([
    ['does not say its version', ''],
    ['is from before told NTCs', '0.1.9'],
  ])(
    'refuses an image that %s for a board with one: mat and limiter would go by another',
    async (_, told) => {
      writeFileSync(folder.image, toUf2(IMAGE, told));
      const grower = trayWithToldNtc();
      const { error } = json(await updated(grower));
      expect(error).toMatchObject({ kind: 'refused', reason: 'curve-unknown-there' });
      expect(unwrapped(error.message)).toMatch(/root-zone probe.*10 kΩ at 25 °C, B25\/85 3435 K/);
      expect(error.next).toContain('probe curve --reference');
      expect(grower.bench.bootDrive).toBeNull();
    },
  );

  it('puts on one that reads told NTCs too, and where none was told, any', async () => {
    expect(json(await updated(trayWithToldNtc())).result.updated).toBe(true);
    writeFileSync(folder.image, toUf2(IMAGE));
    expect(json(await updated(sownTray())).result.updated).toBe(true);
  });

  it('says so when the tray is not as it was', async () => {
    const grower = sownTray();
    const { profile, stage } = grower.status();
    let reads = 0;
    const forgets = (): Partial<World> => ({
      connect: async () => {
        const client = clientOf(grower);
        return {
          ...client,
          call: async (method, params) => {
            const result = await client.call(method, params);
            if (method !== 'status.read' || ++reads < 3) return result;
            return { ...result, profile: null, stage: null };
          },
        };
      },
    });
    const { error } = json(await updated(grower, undefined, forgets()));
    expect(profile).not.toBeNull();
    expect(stage).not.toBeNull();
    expect(error).toMatchObject({ kind: 'failed', reason: 'run-lost' });
    expect(error.message).toContain('No profile is on it');
  });

  function otherDrive(path: string): void {
    mkdirSync(path, { recursive: true });
    writeFileSync(join(path, 'INFO_UF2.TXT'), INFO);
  }

  /** A board that answers the request for its drive in this way. */
  function atBoard({ bootDrive }: { bootDrive: LinkError }): Partial<World> {
    const client = clientOf(sownTray());
    return {
      connect: async () => ({
        ...client,
        call: (method, params) =>
          method === 'controller.bootDrive'
            ? Promise.reject(bootDrive)
            : client.call(method, params),
      }),
    };
  }
});
