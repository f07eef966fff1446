/**
 * The four uses that come before everything else, each from beginning to end: the built program, and the image that
 * growers get, in an emulated board with a simulated tray. Over USB; `commands.test.ts` is at the other door.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { BenchState } from '../../firmware/bench/state';
import { toUf2 } from '../../shared/board/uf2';
import { MINUTE_S } from '../../shared/units/time';
import { Program } from '../cli/program';
import { BAND, Growing, profileText, STANDS_S, START_SHARE } from './growing';
import { BUILD_LIMIT_MS, cannotBuild, trayward } from './images';

/** How often one looks at what is really so. */
const LOOK_S = 5 * MINUTE_S;
/**
 * Looks while nobody is there; `npm run bench` lets the board run a whole day. How dry the tray is when they begin depends
 * on how long the commands before took.
 */
const ALONE = { atLeast: 8, atMost: 24 };
/** They take minutes of a busy machine. */
const ALONE_LIMIT_MS = 900_000;
/** Colder than the band: without heat the tray leaves it. */
const ROOM = `${BAND.lowC - 3} C`;
/** The mat has half an hour to bring a soaked tray into its band: how cold it begins depends on those commands as well. */
const WARM_UP = 6;
/** What the probe may be off by, and how far a mat's stored heat carries the root zone. */
const BESIDE_K = 0.7;
/** A dose soaks in for five minutes before it is judged. */
const WEIGHED_S = 7 * MINUTE_S;

let program: Program;
let uf2 = '';
let profile = '';
let other = '';
beforeAll(async () => {
  if (cannotBuild) return;
  program = await Program.built();
  const write = (name: string, content: string | Uint8Array): string => {
    const path = join(program.home, name);
    writeFileSync(path, content);
    return path;
  };
  uf2 = write('trayward.uf2', toUf2((await trayward()).bytes));
  profile = write('early.yaml', profileText('Early feed'));
  other = write('other.yaml', profileText('The other'));
}, BUILD_LIMIT_MS);
afterAll(() => program?.end());

/** A tray that has just been switched on, and its grower. */
async function growing(): Promise<Growing> {
  const tray = ['--profile', profile, '--seed', '11', '--room', ROOM];
  const bench = await program.startBenchHere('--image', uf2, ...tray);
  await bench.wait(MINUTE_S);
  return new Growing(bench, program, bench.at.link, join(program.home, 'store'));
}

/** Calibrates the scale with a known weight, and weighs another one rightly. */
async function calibrates(grower: Growing): Promise<void> {
  const { code, stdout } = await grower.calibrateScale();
  expect(code).toBe(0);
  expect(stdout).toContain('The scale is calibrated.');
  const { calibrations } = await grower.done('scale', 'check', '--history');
  expect(calibrations).toMatchObject([{ massG: 5000 }]);
  await grower.bench.hand('put-weight', 2000);
  await grower.bench.wait(MINUTE_S);
  const { water } = await grower.done('status');
  expect(Math.abs(water.trayG - 2000)).toBeLessThan(5);
  await grower.bench.hand('take-weight');
}

/** Checks and loads a profile, runs its stage, switches to another one and finds that one back. */
async function loads(grower: Growing): Promise<void> {
  const { id } = await grower.done('profile', 'check', '--no-rehearsal', other);
  await grower.done('profile', 'load', profile);
  await grower.sow();
  const before = await grower.done('status');
  expect(before.stage).toMatchObject({ index: 0, name: 'germinate' });
  const loaded = await grower.done('profile', 'load', other, '--yes');
  expect(loaded.id).toBe(id);
  const after = await grower.done('status');
  expect(after.profile).toMatchObject({ title: 'The other' });
  expect(after.stage).toMatchObject({ index: 0, name: 'germinate' });
  expect(after.stage.runS).toBeGreaterThanOrEqual(before.stage.runS);
  expect(await grower.done('profile', 'read')).toMatchObject({
    id,
    profile: { title: 'The other' },
  });
  expect(await grower.done('profile', 'compare', other)).toEqual({ same: true, differences: [] });
  expect((await grower.done('profile', 'compare', profile)).same).toBe(false);
}

/**
 * Nobody is in the room until the tray has had water and the board has judged by its weight what came, or it should have;
 * what was really so, look by look.
 */
async function leavesAlone({ bench }: Growing, before: BenchState): Promise<BenchState[]> {
  const looks: BenchState[] = [];
  const isWatered = () => (looks.at(-1)?.pump.deliveredMl ?? 0) > before.pump.deliveredMl;
  while (looks.length < ALONE.atLeast || (!isWatered() && looks.length < ALONE.atMost)) {
    looks.push(await bench.wait(LOOK_S));
  }
  if (isWatered()) looks.push(await bench.wait(WEIGHED_S));
  return looks;
}

/** A broken probe: alarm, heat off, and a journal that shows how it came. */
async function explains(grower: Growing): Promise<void> {
  const { bench } = grower;
  await bench.fault('probe-open', 10 * MINUTE_S);
  await bench.wait(MINUTE_S);
  const { alarms, heat } = await grower.done('status');
  expect(alarms).toMatchObject([{ alarm: 'probe-open', state: 'unaccepted' }]);
  expect(heat).toMatchObject({ on: false, heldBy: 'probe-open', probe: 'open' });
  expect((await bench.ask({ do: 'state' })).outputs.mat).toBe(false);
  const entries = await grower.pulled();
  const raised = entries.findIndex(
    ({ alarm, change }) => alarm === 'probe-open' && change === 'raised',
  );
  expect(raised).toBeGreaterThan(0);
  const earlier = entries
    .slice(0, raised)
    .filter(({ kind }) => kind === 'reading' || kind === 'trace');
  const dense = entries.slice(raised).filter(({ kind }) => kind === 'trace');
  expect(earlier.length).toBeGreaterThan(2);
  expect(dense.length).toBeGreaterThan(5);
  expect(earlier.at(-1)?.rootZoneC).toBeGreaterThan(15);
  const { stdout } = await grower.shown('--alarms');
  expect(stdout).toMatch(/^\d{4}-\d\d-\d\d \d\d:\d\d:\d\d {2}Alarm raised: /m);
}

describe.skipIf(cannotBuild)('a grower with the image', () => {
  let grower: Growing;

  it(
    'calibrates the scale with a known weight',
    async () => {
      grower = await growing();
      await calibrates(grower);
    },
    BUILD_LIMIT_MS,
  );

  it(
    'checks, loads and switches a profile while a stage runs',
    async () => {
      await loads(grower);
    },
    BUILD_LIMIT_MS,
  );

  it(
    'holds the band and waters by weight, with nobody there',
    async () => {
      await grower.calibratePump();
      await grower.bench.hand('put-tray');
      await grower.bench.wait(STANDS_S);
      await grower.done('mark', 'emerged', '--yes');
      await grower.bench.hand('lid', 'off');
      const before = await grower.bench.ask({ do: 'state' });
      const looks = await leavesAlone(grower, before);
      const warmAt = looks.findIndex(({ rootZoneC }) => rootZoneC > BAND.lowC - BESIDE_K);
      expect(warmAt).toBeGreaterThanOrEqual(0);
      expect(warmAt).toBeLessThan(WARM_UP);
      for (const { rootZoneC } of looks.slice(warmAt)) {
        expect(rootZoneC).toBeGreaterThan(BAND.lowC - BESIDE_K);
        expect(rootZoneC).toBeLessThan(BAND.highC + BESIDE_K);
      }
      const last = looks.at(-1) ?? before;
      expect(last.pump.deliveredMl).toBeGreaterThan(before.pump.deliveredMl + 15);
      expect(last.boots).toBe(before.boots);
      const entries = await grower.pulled();
      // The first that the stage gives, dry enough for one, is its opening.
      const doses = entries.filter(
        ({ kind, reason }) => kind === 'dose' && (reason === 'opening' || reason === 'dry-back'),
      );
      expect(doses.length).toBeGreaterThan(0);
      expect(new Set(doses.map(({ verdict }) => verdict))).toEqual(new Set(['seen']));
      const first = entries.indexOf(doses[0]);
      // A hand on the tray pulls at the scale: what is read then tells of no dryness.
      const kinds = entries.map(({ kind }) => kind);
      const handsOff = kinds.lastIndexOf('handling', first);
      const readings = entries.slice(handsOff, first).filter(({ kind }) => kind === 'reading');
      const driest = Math.max(...readings.map(({ dryBackShare }) => dryBackShare ?? 0));
      expect(driest).toBeGreaterThan(START_SHARE - 0.001);
      expect(driest).toBeLessThan(START_SHARE + 0.003);
      const heated = entries.filter(
        ({ kind, matDutyShare }) => kind === 'reading' && matDutyShare > 0,
      );
      expect(heated.length).toBeGreaterThan(5);
      expect((await grower.done('status')).alarms).toEqual([]);
    },
    ALONE_LIMIT_MS,
  );

  it(
    'tells from the journal why the heat is off',
    async () => {
      await explains(grower);
      const { faults, boots } = await grower.bench.ask({ do: 'state' });
      expect(faults).toHaveLength(1);
      expect(boots).toBe(1);
      expect(await grower.bench.stop()).toBe(0);
    },
    BUILD_LIMIT_MS,
  );
});
