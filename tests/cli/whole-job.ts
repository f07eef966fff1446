/**
 * The whole job by the program, every command of it, against a bench that it reaches by a line: the same whatever
 * runs on the bench, by whichever door it is reached, and whether or not the bench has a process of its own. Commands
 * in processes of their own are held by `results.test.ts`, one for each noun.
 */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { HOUR_S, MINUTE_S } from '../../shared/units/time';
import {
  type Ended,
  json,
  type ProcessBench,
  type Program,
  type RunHereOptions,
  unwrapped,
} from './program';

const PEPPER = 'shared/crops/pepper.yaml';
const LETTUCE = 'shared/crops/lettuce.yaml';
const TICK_MS = 1_000;
/** Until hands are off the tray, which two minutes of quiet tell, and its weight stands. */
const STANDS_S = 2.5 * MINUTE_S;

/** A way to start a bench and to reach its controller. */
export interface Way {
  /** How the tray is reached, in the words of the test's title. */
  readonly over: string;
  /** What `bench start` is told besides; asked when the program is there. */
  readonly words: (program: Program) => readonly string[];
  readonly port: (bench: ProcessBench) => string;
  /** Whether the bench is in the test's own process: enough where the way alone is another. Else it has one of its own. */
  readonly here: boolean;
  readonly skipped: boolean;
  /** How long one step may take, real time. */
  readonly limitMs: number;
}

/** A name for the files of a way. */
const folderOf = (over: string): string => over.replace(/\W/g, '');

/** Declares the whole job as tests. */
export function wholeJob(
  program: () => Program,
  { over, words, port: portOf, here, skipped, limitMs }: Way,
) {
  describe.skipIf(skipped)(`a tray over ${over}`, { timeout: limitMs }, () => {
    let bench: ProcessBench;
    let port = '';
    const store = (): string[] => ['--store', join(program().home, `store-${folderOf(over)}`)];

    beforeAll(async () => {
      const start = ['--seed', '11', '--room', '23 C', ...words(program())];
      bench = await (here ? program().startBenchHere(...start) : program().startBench(...start));
      port = portOf(bench);
      await bench.wait(60);
    }, limitMs);

    const run = (words: readonly string[], options?: RunHereOptions): Promise<Ended> =>
      program().runHere(words, options);
    const trayward = (...words: string[]) => run(['--port', port, ...words]);
    /** Calibrates the scale; the hand does what it is told. */
    const calibrate = (weight: string, massG: number) =>
      run(
        [
          '--port',
          port,
          'scale',
          'calibrate',
          '--weight',
          weight,
          '--cell',
          '10kg',
          '--tray',
          '4.6kg',
        ],
        {
          deeds: {
            'Put the known weight': () => bench.hand('put-weight', massG),
            'Take the weight off': () => bench.hand('take-weight'),
          },
        },
      );
    /** Those that the board keeps, the one in use first. */
    const calibrations = async () =>
      json(await trayward('--json', 'scale', 'check', '--history')).result.calibrations;

    // In the order of the job: each step finds the tray as the one before has left it.

    it('calibrates the scale with a known weight, put on when asked', async () => {
      const light = 'scale calibrate --weight 200g --cell 10kg --tray 4.6kg'.split(' ');
      const small = await trayward('--json', ...light);
      expect(small.code).toBe(1);
      expect(json(small).error).toMatchObject({ kind: 'refused', reason: 'weight-too-small' });
      const done = await calibrate('5kg', 5000);
      expect(done.stderr).not.toContain('Not done');
      expect(done.code).toBe(0);
      expect(done.stdout).toContain('The scale is calibrated.');
      expect(await calibrations()).toMatchObject([{ massG: 5000 }]);
    });

    it('moves the zero, and puts an older calibration back', async () => {
      const [first] = await calibrations();
      expect((await calibrate('4kg', 4000)).code).toBe(0);
      expect(await calibrations()).toMatchObject([{ massG: 4000 }, { massG: 5000 }]);
      await bench.hand('put-weight', 100);
      await bench.wait(MINUTE_S);
      const { result } = json(await trayward('--json', 'scale', 'zero'));
      expect(Math.abs(result.shiftG - 100)).toBeLessThan(5);
      await bench.wait(MINUTE_S);
      const { result: read } = json(await trayward('--json', 'scale', 'check'));
      expect(Math.abs(read.trayG)).toBeLessThan(5);
      await bench.hand('take-weight');
      const back = json(await trayward('--json', 'scale', 'calibrate', '--restore', '1'));
      expect(back.result).toMatchObject({ massG: 5000, countsPerG: first.countsPerG });
      expect((await calibrations())[0]).toMatchObject({ massG: 5000 });
      await bench.wait(MINUTE_S);
      expect(json(await trayward('--json', 'scale', 'check')).result).toMatchObject({
        state: 'ok',
      });
    });

    it('reads the probes, and makes one agree with a thermometer', async () => {
      const { result: before } = json(await trayward('--json', 'probe', 'check'));
      expect(before).toMatchObject({ probe: 'ok', matProbe: 'ok' });
      const thermometerC = Number((before.rootZoneC + 0.5).toFixed(2));
      const reads = ['probe', 'calibrate', '--reads', `${thermometerC}C`];
      const { result } = json(await trayward('--json', ...reads));
      expect(result.offsetK).toBeCloseTo(0.5, 0);
      await bench.wait(MINUTE_S);
      const { result: after } = json(await trayward('--json', 'probe', 'check'));
      expect(Math.abs(after.rootZoneC - thermometerC)).toBeLessThan(0.2);
      expect(after.calibration.offsetK).toBeCloseTo(result.offsetK, 3);
    });

    it('calibrates the pump on the scale', async () => {
      await bench.hand('put-jug');
      await bench.wait(60);
      expect((await trayward('pump', 'prime', '--yes')).stderr).toContain('Caution');
      const { code, stdout } = await trayward('--json', 'pump', 'calibrate', '--yes');
      expect(code).toBe(0);
      const { pump } = await bench.hand('take-jug');
      expect(JSON.parse(stdout).result.mlPerS / pump.mlPerS).toBeCloseTo(1, 1);
    });

    it('checks, loads, reads back and compares a profile', async () => {
      const checked = json(await trayward('--json', 'profile', 'check', '--no-rehearsal', PEPPER));
      const loaded = json(await trayward('--json', 'profile', 'load', PEPPER));
      expect(loaded.result.id).toBe(checked.result.id);
      const read = json(await trayward('--json', 'profile', 'read'));
      expect(read.result.id).toBe(checked.result.id);
      expect(read.result.profile.crop).toBe('pepper');
      const same = json(await trayward('--json', 'profile', 'compare', PEPPER));
      expect(same.result).toEqual({ same: true, differences: [] });
      const other = json(await trayward('--json', 'profile', 'compare', LETTUCE));
      expect(other.result.same).toBe(false);
      expect(other.result.differences[0]).toHaveProperty('board');
    });

    it('marks what the grower did', async () => {
      await bench.hand('put-tray');
      await bench.wait(STANDS_S);
      expect((await trayward('mark', 'dry')).code).toBe(0);
      const light = await trayward('--units', 'us', 'mark', 'soaked', '--weight', '500g');
      expect(light.code).toBe(1);
      expect(unwrapped(light.stderr)).toMatch(
        /tray of 1\.10 lb does not go with a dry weight of 1\.\d+ lb/,
      );
      await bench.hand('soak');
      await bench.wait(STANDS_S);
      const soaked = json(await trayward('--json', 'mark', 'soaked'));
      expect(soaked.result).toMatchObject({ mark: 'soaked', trayG: expect.any(Number) });
      await bench.hand('sow');
      await bench.hand('lid', 'closed');
      await bench.wait(STANDS_S);
      expect((await trayward('mark', 'sown', '--yes')).code).toBe(0);
      const again = await trayward('mark', 'sown');
      expect(again.code).toBe(2);
      expect(unwrapped(again.stderr)).toContain('--yes');
    });

    it('tells how the tray stands, in either units and to programs', async () => {
      await bench.wait(MINUTE_S);
      expect((await trayward('status')).stdout).toMatch(/Root zone +[\d.]+ °C/);
      expect((await trayward('--units', 'us', 'status')).stdout).toMatch(/Root zone +[\d.]+ °F/);
      const env = { TRAYWARD_PORT: port, TRAYWARD_UNITS: 'us' };
      expect((await run(['status'], { env })).stdout).toMatch(/Tray +.* (oz|lb)/);
      const { result } = json(await trayward('--json', 'status'));
      expect(result.stage).toMatchObject({ index: 0, name: 'germinate', kind: 'hold' });
      expect(result.water).toMatchObject({ scale: 'ok', dayMl: 0 });
      const watched = await trayward('--json', 'watch', '--times', '2');
      const [first = '', second = '', last = ''] = watched.stdout.trim().split('\n');
      // Looking moves no bench: its time stands until somebody lets it run, but for the moments that an
      // emulated board takes to answer, in which one tick may come.
      const movedMs = JSON.parse(second).uptimeMs - JSON.parse(first).uptimeMs;
      expect(movedMs).toBeGreaterThanOrEqual(0);
      // A tick that waited for a busy one before it comes by so much sooner after it.
      expect(movedMs).toBeLessThan(1.5 * TICK_MS);
      expect(JSON.parse(last)).toEqual({ ok: true, result: { readings: 2 } });
    });

    it('lists an alarm, sees, shelves and mends it', async () => {
      await bench.fault('probe-open', 60);
      await bench.wait(30);
      const list = json(await trayward('--json', 'alarm', 'list'));
      expect(list.result.alarms[0]).toMatchObject({ alarm: 'probe-open', state: 'unaccepted' });
      const early = await trayward('--json', 'alarm', 'mended', 'probe-open');
      expect(json(early).error).toMatchObject({ kind: 'refused', reason: 'still-present' });
      expect(early.code).toBe(1);
      const seen = json(await trayward('--json', 'alarm', 'seen', 'probe-open'));
      expect(seen.result.alarms).toMatchObject([{ alarm: 'probe-open', state: 'accepted' }]);
      const shelved = json(
        await trayward('--json', 'alarm', 'shelve', 'probe-open', '--for', '2 h'),
      );
      expect(shelved.result.shelvedS).toBe(2 * HOUR_S);
      await bench.wait(120);
      expect((await trayward('alarm', 'mended', 'probe-open')).code).toBe(0);
      expect((await trayward('alarm', 'list')).stdout).toBe('No alarm.\n');
    });

    it('pulls the journal once, shows and exports it', async () => {
      const first = json(await trayward('--json', 'journal', 'pull', ...store()));
      expect(first.result).toMatchObject({ boardId: bench.at.boardId, missing: 0, damaged: 0 });
      const again = json(await trayward('--json', 'journal', 'pull', ...store()));
      expect(again.result.stored).toBe(0);
      const shown = await run(['journal', 'show', '--alarms', ...store()]);
      expect(shown.stdout).toMatch(/^\d{4}-\d\d-\d\d \d\d:\d\d:\d\d {2}Alarm raised: /);
      const lines = await run(['journal', 'export', '--format', 'jsonl', ...store()]);
      const all = lines.stdout
        .trim()
        .split('\n')
        .map((line) => JSON.parse(line).sequence);
      expect(all).toEqual(Array.from({ length: first.result.lastSequence }, (_, i) => i + 1));
      const out = join(program().home, `out-${folderOf(over)}.csv`);
      const exported = ['journal', 'export', '--kind', 'mark', '--out', out, ...store()];
      expect(json(await run(['--json', ...exported])).result).toEqual({
        format: 'csv',
        count: 3,
        damaged: 0,
        out,
        events: null,
      });
      expect(readFileSync(out, 'utf8').split('\r\n')).toHaveLength(5);
    });

    it('sets the clock, moves a stage on and keeps it', async () => {
      const { result } = json(await trayward('--json', 'clock', 'set'));
      // An emulated board takes some time to answer, and its bench lets so much of it pass.
      const aheadMs = (await bench.ask({ do: 'state' })).unixMs - result.unixMs;
      expect(Math.abs(aheadMs)).toBeLessThan(1000);
      expect(json(await trayward('--json', 'stage', 'stay')).result).toEqual({ staying: true });
      expect(json(await trayward('--json', 'stage', 'next', '--yes')).result).toEqual({ stage: 1 });
      expect(json(await trayward('--json', 'status')).result.stage.index).toBe(1);
    });

    it('is still there when the line is noisy', async () => {
      await bench.fault('link-noise', HOUR_S);
      const read = await trayward('--json', 'profile', 'read');
      await bench.ask({ do: 'fault', name: 'link-noise', on: false });
      expect(json(read).result.profile.crop).toBe('pepper');
    });

    it('is found without its port, and the bench ends with its maker', async () => {
      const found = json(await run(['--json', 'find'])).result.controllers;
      expect(found).toMatchObject([{ port: bench.at.link, hello: { boardId: bench.at.boardId } }]);
      expect((await run(['status'])).code).toBe(0);
      expect(await bench.stop()).toBe(0);
      if (!port.startsWith('tcp:')) expect(existsSync(port)).toBe(false);
      const nobody = await run(['--json', 'status']);
      expect(nobody.code).toBe(3);
      expect(json(nobody).error).toMatchObject({ kind: 'no-controller', reason: 'none-found' });
    });
  });
}
