/** A tray on the image, and a grower who has only the program: a process of its own for the first command of each noun. */
import { expect } from 'vitest';
import { MINUTE_S } from '../../shared/units/time';
import { type Deeds, json, type ProcessBench, type Program } from '../cli/program';

/** Little warmer than the water that wool is soaked in: the mat has a tray there within half an hour. */
export const BAND = { lowC: 22, highC: 23 };
/** How dry the tray gets before it is watered: little more than a profile must allow, and so within an hour. */
export const START_SHARE = 0.02;
/** Until hands are off the tray, which two minutes of quiet tell, and its weight stands. */
export const STANDS_S = 2.5 * MINUTE_S;

/** Shallow plugs, held until emergence and then watered early: they dry in the time that the test has. */
export const profileText = (title: string): string => `trayward: 1
crop: pepper
title: ${title}
root_zone_max: 34 C
reservoir: 4 l
media:
  - name: plugs
    pieces: 98
    length: 36 mm
    width: 36 mm
    height: 8 mm
    bulk_density_kg_m3: 70
    capacity: 80 %
stages:
  - name: germinate
    kind: hold
    band: { low: ${BAND.lowC} C, high: ${BAND.highC} C }
    rescue: { at: 25 % }
    until: { mark: emerged }
    lid: closed
    medium: plugs
  - name: first-feed
    kind: weigh
    band: { low: ${BAND.lowC} C, high: ${BAND.highC} C }
    water:
      start: ${(100 * START_SHARE).toFixed(1)} %
      stop: 0 %
      dose: 25 ml
      soak_in: 5 min
      max_day: 900 ml
      max_stage: 4 l
    open: { by: 7 d, stop: 0 % }
    rescue: { at: 45 % }
    until: { after: 14 d }
    lid: loose
    medium: plugs
    feed: 0.8 mS/cm
`;

/** A tray, and a grower with the program at one of its doors. */
export class Growing {
  constructor(
    readonly bench: ProcessBench,
    private readonly program: Program,
    private readonly port: string,
    private readonly store: string,
  ) {}

  run(words: readonly string[], deeds: Deeds = {}) {
    return this.program.runByNoun(['--port', this.port, ...words], { deeds });
  }

  /** Result of a command that must succeed. */
  async done(...words: string[]) {
    const ended = await this.run(['--json', ...words]);
    expect(ended.stderr + ended.stdout, words.join(' ')).toContain('"ok":true');
    return json(ended).result;
  }

  async calibrateScale() {
    const { bench } = this;
    return this.run(
      ['scale', 'calibrate', '--weight', '5kg', '--cell', '10kg', '--tray', '4.6kg'],
      {
        'Put the known weight': () => bench.hand('put-weight', 5000),
        'Take the weight off': () => bench.hand('take-weight'),
      },
    );
  }

  async calibratePump(): Promise<void> {
    await this.bench.hand('put-jug');
    await this.bench.wait(MINUTE_S);
    await this.done('pump', 'prime', '--yes');
    await this.done('pump', 'calibrate', '--yes');
    await this.bench.hand('take-jug');
  }

  async sow(): Promise<void> {
    const { bench } = this;
    await bench.hand('put-tray');
    await bench.wait(STANDS_S);
    await this.done('mark', 'dry');
    await bench.hand('soak');
    await bench.wait(STANDS_S);
    await this.done('mark', 'soaked');
    await bench.hand('sow');
    await bench.wait(STANDS_S);
    await this.done('mark', 'sown', '--yes');
  }

  /** The journal as it is kept on the laptop after a pull, oldest first. */
  async pulled() {
    const { damaged } = await this.done('journal', 'pull', '--store', this.store);
    expect(damaged).toBe(0);
    const { stdout } = await this.run([
      'journal',
      'export',
      '--format',
      'jsonl',
      '--store',
      this.store,
    ]);
    return stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line));
  }

  shown(...words: string[]) {
    return this.run(['journal', 'show', '--store', this.store, ...words]);
  }
}
