/** Another image under a running tray, without a button: the board shows its boot drive when it is told to. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ChipBench } from '../../firmware/bench/chip/chip-bench';
import type { GrowerAt } from '../../firmware/bench/grower';
import type { BuiltImage } from '../../firmware/image/build';
import { version } from '../../package.json';
import { DOOR, PINS } from '../../shared/board/map';
import { toUf2, UF2_BLOCK_BYTES, uf2Parts } from '../../shared/board/uf2';
import { REQUEST_DETAIL, RESET_CAUSES } from '../../shared/board/words';
import type { JournalEntry } from '../../shared/journal/kinds';
import { HOUR_MS } from '../../shared/units/time';
import { json, Program, unwrapped } from '../cli/program';
import { Grower } from '../simulation/grower';
import { BUILD_LIMIT_MS, cannotBuild, takenOver, trayward } from './images';

type AtChip = GrowerAt<ChipBench>;

/** The answer has left, and the board with it. */
const LEFT_MS = 2000;
/** Started, and with readings. */
const BACK_MS = 4000;

/** All 512 bytes that the host writes to the drive, in their order. */
function sectorsOf(image: BuiltImage): Uint8Array[] {
  return uf2Parts(toUf2(image.bytes)).flatMap((part) =>
    Array.from({ length: part.length / UF2_BLOCK_BYTES }, (_, at) =>
      part.subarray(at * UF2_BLOCK_BYTES, (at + 1) * UF2_BLOCK_BYTES),
    ),
  );
}

const copy = ({ bench }: Pick<AtChip, 'bench'>, sectors: readonly Uint8Array[]): void => {
  for (const sector of sectors) bench.bootDrive?.write(sector);
};

/** Why the board started, and when it was told to show its drive; oldest first. */
const starts = (entries: readonly JournalEntry[]): string[] =>
  entries.flatMap((entry) => {
    if (entry.kind === 'boot-drive') return ['boot-drive'];
    return entry.kind === 'boot' ? [`${RESET_CAUSES[entry.cause]} ${entry.detail}`] : [];
  });

describe.skipIf(cannotBuild)('an update of the image', { timeout: BUILD_LIMIT_MS }, () => {
  let image: BuiltImage;
  beforeAll(async () => {
    image = await trayward();
  }, BUILD_LIMIT_MS);

  /** A tray that is held by the image, its mat on. */
  function heldTray(): AtChip {
    const grower = new Grower({ room: { meanC: 18 } });
    grower.commission();
    grower.bench.run(HOUR_MS);
    const atChip = takenOver(grower, image);
    expect(atChip.bench.runUntil(({ chip }) => chip.outputsOn.has('mat'), 120_000)).toBe(true);
    return atChip;
  }

  const told = (grower: AtChip): AtChip => {
    grower.call('controller.bootDrive', {});
    grower.bench.run(LEFT_MS);
    return grower;
  };

  it('begins with all off at once, and the ROM shows what it shows with the button', () => {
    const grower = heldTray();
    const { chip } = grower.bench;
    grower.call('controller.bootDrive', {});
    expect([...chip.outputsOn].filter((output) => output !== 'lamp')).toEqual([]);
    expect(chip.bootDrive).toBeNull();
    const switchedOn: string[] = [];
    const { onOutput } = chip;
    chip.onOutput = (change) => {
      if (change.on && change.output !== 'lamp') switchedOn.push(change.output);
      onOutput(change);
    };
    grower.bench.run(LEFT_MS);
    expect(switchedOn).toEqual([]);
    expect(chip.bootDrive).not.toBeNull();
    expect(chip.usb).toBeNull();
    expect(chip.bootDriveCall).toEqual({
      activityPins: 1 << PINS.lamp,
      leftOut: 0,
      interruptsOff: true,
    });
    expect(chip.complaints).toEqual([]);
    expect(chip.faults).toEqual([]);
  });

  it('that never came leaves the tray as it was when the supply is switched off and on', () => {
    const grower = heldTray();
    const before = grower.status();
    const { bench } = told(grower);
    bench.cutPower();
    bench.run(1000);
    bench.restorePower();
    bench.run(BACK_MS);
    const after = grower.status();
    expect(after.profile).toEqual(before.profile);
    expect(after.stage?.name).toBe(before.stage?.name);
    expect(after.water.capacityG).toBe(before.water.capacityG);
    expect(starts(grower.journal()).slice(-2)).toEqual(['boot-drive', 'power-on 0']);
  });

  it('goes on where the tray was, and the start says that it came out of the drive', () => {
    const grower = heldTray();
    const before = grower.status();
    copy(told(grower), sectorsOf(image));
    grower.bench.run(BACK_MS);
    const { profile, stage, water } = grower.status();
    expect(profile).toEqual(before.profile);
    expect(stage?.name).toBe(before.stage?.name);
    expect(stage?.runS).toBeGreaterThanOrEqual(before.stage?.runS ?? Number.NaN);
    expect(water.capacityG).toBe(before.water.capacityG);
    expect(starts(grower.journal()).slice(-2)).toEqual([
      'boot-drive',
      `request ${REQUEST_DETAIL.bootDrive}`,
    ]);
    expect(grower.bench.boots.at(-1)?.cause).toBe('request');
  });

  it('cut anywhere waits as a drive at the next start, without a button, and then takes it', () => {
    const sectors = sectorsOf(image);
    const grower = heldTray();
    const before = grower.status();
    const { bench } = grower;
    // The first two take the boot stage away, and the last one brings it back.
    for (const copied of [2, sectors.length >> 1, sectors.length - 1]) {
      copy(told(grower), sectors.slice(0, copied));
      bench.cutPower();
      bench.run(1000);
      bench.restorePower();
      bench.run(BACK_MS);
      expect(bench.bootDrive !== null, `cut after ${copied} of ${sectors.length}`).toBe(true);
      copy(grower, sectors);
      bench.run(BACK_MS);
      expect(grower.status().stage?.name).toBe(before.stage?.name);
    }
  });

  it('is not taken over UART0: the drive may be seen by nobody', () => {
    const grower = takenOver(new Grower(), image, DOOR.uart);
    grower.bench.run(BACK_MS);
    expect(() => grower.call('controller.bootDrive', {})).toThrow(/over USB/);
    grower.bench.run(LEFT_MS);
    expect(grower.bench.bootDrive).toBeNull();
  });
});

describe.skipIf(cannotBuild)('the program at a board of this image', () => {
  let program: Program;
  let uf2 = '';
  beforeAll(async () => {
    program = await Program.built();
    uf2 = join(program.home, 'trayward.uf2');
    writeFileSync(uf2, toUf2((await trayward()).bytes, version));
  }, BUILD_LIMIT_MS);
  afterAll(() => program?.end());

  it(
    'brings another image on to it, and the journal tells of it',
    async () => {
      const bench = await program.startBenchHere(
        '--image',
        uf2,
        '--drive',
        join(program.home, 'drive'),
      );
      const at = ['--json', '--port', bench.at.link];
      const said = await program.runHere([
        ...[...at, 'board', 'update', '--again', '--yes', '--image', uf2],
      ]);
      expect(json(said).result).toMatchObject({
        boardId: bench.at.boardId,
        from: version,
        to: version,
        updated: true,
      });
      const store = join(program.home, 'store');
      await program.runHere([...at, 'journal', 'pull', '--store', store]);
      const { stdout } = await program.runHere(['journal', 'show', '--store', store]);
      expect(unwrapped(stdout)).toContain('its boot drive had taken an image');
      expect(await bench.stop()).toBe(0);
    },
    BUILD_LIMIT_MS,
  );
});
