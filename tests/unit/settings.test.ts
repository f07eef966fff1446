import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SimulatedFlash } from '../../firmware/bench/flash';
import { openSettings, type Settings } from '../../firmware/storage/settings';
import { recordBytes, VALUE_BYTES_MAX } from '../../firmware/storage/settings-record';
import { CHECKPOINT_BYTES } from '../../firmware/tray/checkpoint';
import { FLASH_BYTES, FLASH_MAP, FLASH_SECTOR_BYTES } from '../../shared/board/map';
import { holds } from '../properties';
import { stepsAsking } from './step';

const { offset: START, bytes: BYTES } = FLASH_MAP.settings;
const SECTORS = BYTES / FLASH_SECTOR_BYTES;
const KEYS = [1, 2, 3, 4, 255] as const;
const filled = (byte: number, length: number): Uint8Array => new Uint8Array(length).fill(byte);

interface Model {
  readonly values: Map<number, Uint8Array>;
  readonly worn: Set<number>;
}
interface Real {
  readonly flash: SimulatedFlash;
  settings: Settings;
}

const step = stepsAsking<Model, Real>((model, { settings }) => {
  for (const key of KEYS) expect(settings.get(key)).toEqual(model.values.get(key) ?? null);
});

const set = (key: number, value: Uint8Array, times: number) =>
  step(`set ${key} to ${value.length} bytes of ${value[0]}, ${times} times`, (model, real) => {
    for (let i = 0; i < times; i++) expect(real.settings.set(key, value)).toBe(true);
    model.values.set(key, value);
  });
const prepare = step('idle time', (_, { settings }) => settings.prepare());
const reopen = step('power off and on', (_, real) => {
  real.settings = openSettings(real.flash);
});
/** Worn out: still readable, but neither erased nor programmed again. */
const wear = (sector: number) =>
  step(`sector ${sector} is worn out`, (model, { flash }) => {
    if (model.worn.size >= 2) return;
    model.worn.add(sector);
    flash.setWorn(START + sector * FLASH_SECTOR_BYTES, true);
  });

const anyKey = fc.constantFrom(...KEYS);
const anyValue = fc
  .tuple(fc.nat(255), fc.oneof(fc.nat(40), fc.nat(VALUE_BYTES_MAX)))
  .map(([byte, length]) => filled(byte, length));
const steps = (worn: boolean) => [
  fc.tuple(anyKey, anyValue, fc.constant(1)).map((args) => set(...args)),
  // Checkpoints of an hour to days: the ring turns several times.
  fc.tuple(anyKey, anyValue, fc.integer({ min: 2, max: 150 })).map((args) => set(...args)),
  fc.constant(reopen),
  fc.constant(prepare),
  ...(worn ? [fc.nat(SECTORS - 1).map(wear)] : []),
];

const run = (commands: Iterable<fc.Command<Model, Real>>): void =>
  fc.modelRun(() => {
    const flash = new SimulatedFlash();
    const model: Model = { values: new Map(), worn: new Set() };
    return { model, real: { flash, settings: openSettings(flash) } };
  }, commands);

describe('settings', () => {
  it('hold what was put in last under each key, over any number of turns and restarts', () => {
    holds(
      fc.property(fc.commands(steps(false), { maxCommands: 40, size: 'max' }), (commands) => {
        run(commands);
      }),
      { numRuns: 30 },
    );
  });

  it('pass over worn-out sectors and lose nothing', () => {
    holds(
      fc.property(fc.commands(steps(true), { maxCommands: 40, size: 'max' }), (commands) => {
        run(commands);
      }),
      { numRuns: 30 },
    );
  });

  it('keep a value that reads like erased flash, and write nothing into it after a restart', () => {
    const flash = new SimulatedFlash();
    openSettings(flash).set(1, filled(0xff, 200));
    expect(openSettings(flash).set(2, filled(2, 40))).toBe(true);
    const settings = openSettings(flash);
    expect([settings.get(1), settings.get(2)]).toEqual([filled(0xff, 200), filled(2, 40)]);
  });

  it('stay inside their region of the flash', () => {
    const flash = new SimulatedFlash();
    const settings = openSettings(flash);
    for (let i = 0; i < 1_000; i++) settings.set(1 + (i % 5), filled(i & 0xff, 288));
    const outside = (byte: number, at: number): boolean =>
      byte !== 0xff && (at < START || at >= START + BYTES);
    expect(flash.bytes.findIndex(outside)).toBe(-1);
    expect(flash.bytes.length).toBe(FLASH_BYTES);
  });

  it('wear their sectors evenly, and know how far', () => {
    const flash = new SimulatedFlash();
    const settings = openSettings(flash);
    settings.set(1, filled(7, 100));
    for (let i = 0; i < 3_000; i++) settings.set(2, filled(i & 0xff, 288));
    const first = START / FLASH_SECTOR_BYTES;
    const counts = flash.eraseCounts.subarray(first, first + SECTORS);
    expect(Math.max(...counts) - Math.min(...counts)).toBeLessThanOrEqual(1);
    expect(openSettings(flash).eraseCountMax()).toBe(Math.max(...counts));
    expect(settings.get(1)).toEqual(filled(7, 100));
  });

  it('that are given idle time never erase while two checkpoints are written, even with all else to carry', () => {
    const flash = new SimulatedFlash();
    const settings = openSettings(flash);
    const erases = (): number => flash.eraseCounts.reduce((sum, count) => sum + count, 0);
    for (const key of [2, 3, 4]) settings.set(key, filled(key, 60));
    for (let i = 0; i < 1_000; i++) {
      settings.prepare();
      const before = erases();
      for (let n = 0; n <= i % 2; n++) settings.set(1, filled(i & 0xff, CHECKPOINT_BYTES));
      expect(erases()).toBe(before);
    }
    expect(erases()).toBeGreaterThan(100);
  });

  it('wear as DESIGN.md says: so many bytes a checkpoint, so many checkpoints a sector', () => {
    const flash = new SimulatedFlash();
    const settings = openSettings(flash);
    const checkpoints = 7_000;
    for (let i = 0; i < checkpoints; i++) {
      settings.prepare();
      settings.set(1, filled(i & 0xff, CHECKPOINT_BYTES));
    }
    const erases = flash.eraseCounts.reduce((sum, count) => sum + count, 0);
    const aSector = Math.round(checkpoints / erases);
    const design = readFileSync(
      new URL('../../firmware/storage/DESIGN.md', import.meta.url),
      'utf8',
    );
    expect(design).toContain(
      `a checkpoint takes ${recordBytes(CHECKPOINT_BYTES)} bytes, one every five minutes: ${aSector} in a sector`,
    );
    expect(design).toContain(`checkpoint at worst: ${recordBytes(CHECKPOINT_BYTES)} bytes.`);
  });

  it('try a chip that refuses everything again only when something was to be written', () => {
    const flash = new SimulatedFlash();
    const settings = openSettings(flash);
    for (let at = START; at < START + BYTES; at += FLASH_SECTOR_BYTES) flash.setWorn(at, true);
    const erases = (): number => flash.eraseCounts.reduce((sum, count) => sum + count, 0);
    settings.prepare();
    const before = erases();
    for (let i = 0; i < 100; i++) settings.prepare();
    expect(erases()).toBe(before);
  });

  it('refuse a key or a value out of range, and keep what was there', () => {
    const settings = openSettings(new SimulatedFlash());
    settings.set(1, filled(1, 10));
    expect(settings.set(0, filled(1, 1))).toBe(false);
    expect(settings.set(256, filled(1, 1))).toBe(false);
    expect(settings.set(1, filled(1, VALUE_BYTES_MAX + 1))).toBe(false);
    expect(settings.get(1)).toEqual(filled(1, 10));
  });

  it('on a chip that refuses everything say so, and still tell the old value', () => {
    const flash = new SimulatedFlash();
    const settings = openSettings(flash);
    settings.set(1, filled(1, 10));
    for (let at = START; at < START + BYTES; at += FLASH_SECTOR_BYTES) flash.setWorn(at, true);
    expect(settings.set(1, filled(2, 300))).toBe(false);
    expect(settings.get(1)).toEqual(filled(1, 10));
    expect(openSettings(flash).get(1)).toEqual(filled(1, 10));
  });
});

describe('a damaged record', () => {
  it('is never told: the value before it speaks again, and the other keys stay', () => {
    const place = fc.record({ byte: fc.nat(127), bit: fc.nat(7) });
    holds(
      fc.property(place, ({ byte, bit }) => {
        const flash = new SimulatedFlash();
        const settings = openSettings(flash);
        settings.set(1, filled(1, 112));
        settings.set(2, filled(2, 112));
        const region = flash.bytes.subarray(START, START + BYTES);
        const blank = region.slice();
        settings.set(1, filled(9, 112));
        const start = region.findIndex((value, at) => value !== blank[at]);
        region[start + byte] = (region[start + byte] ?? 0) ^ (1 << bit);
        const opened = openSettings(flash);
        expect(opened.get(1)).toEqual(filled(1, 112));
        expect(opened.get(2)).toEqual(filled(2, 112));
        expect(opened.set(1, filled(5, 112))).toBe(true);
        expect(openSettings(flash).get(1)).toEqual(filled(5, 112));
      }),
    );
  });

  it('nor do arbitrary bytes in the whole region make it throw, or keep it from working', () => {
    holds(
      fc.property(fc.uint8Array({ minLength: 64, maxLength: 8_192, size: 'max' }), (noise) => {
        const flash = new SimulatedFlash();
        for (let at = 0; at < BYTES; at++) flash.bytes[START + at] = noise[at % noise.length] ?? 0;
        const settings = openSettings(flash);
        for (const key of KEYS) expect(settings.get(key)).toBe(null);
        expect(settings.set(3, filled(3, 50))).toBe(true);
        expect(openSettings(flash).get(3)).toEqual(filled(3, 50));
      }),
      { numRuns: 20 },
    );
  });
});
