/** Timer and watchdog count one crystal; when that goes wrong the second time base switches off. */
import { describe, expect, it } from 'vitest';
import { Chip, flashWithImage, type OutputChange } from '../../firmware/bench/chip/chip';
import { causeOf } from '../../firmware/bench/chip/chip-bench';
import { FAULT_DETAIL } from '../../shared/board/words';
import { BUILD_LIMIT_MS, cannotBuild, figures, misbehaving, onTimer, powered } from './images';

const program = misbehaving('clock-watch');

/**
 * The mat heats, and has been looked at twice: its switch opens by itself again some 7 s after the start, and the longest
 * wait here ends at 5.3 s.
 */
const LOOKED_MS = 4000;

/** How fast the crystal goes then, and how soon the mat must be off. Without one the PLL goes at a quarter of its rate. */
const RATES = [
  { name: 'stands still', rate: 0, withinMs: 1300 },
  { name: 'goes at half its rate', rate: 0.5, withinMs: 600 },
  { name: 'goes at 1.4 times its rate', rate: 1.4, withinMs: 300 },
  { name: 'goes at twice its rate', rate: 2, withinMs: 300 },
] as const;

function expectSwitchedOff(chip: Chip, withinMs: number): void {
  expect(chip.runUntil(() => !chip.outputsOn.has('mat'), withinMs)).toBe(true);
  expect(chip.starts.slice(1).map(causeOf)).toEqual(['fault']);
  expect(chip.starts.at(-1)?.scratch[1]).toBe(FAULT_DETAIL.clockUnsteady);
}

describe.skipIf(cannotBuild)('a crystal that', { timeout: BUILD_LIMIT_MS }, () => {
  it.each(RATES)('$name ends the run, mat off', async ({ rate, withinMs }) => {
    const chip = powered(await program('keeps the mat on'));
    chip.run(LOOKED_MS);
    expect(chip.outputsOn.has('mat')).toBe(true);
    chip.crystalRate = rate;
    expectSwitchedOff(chip, withinMs);
    const onMs = onTimer(chip, 'mat');
    chip.run(1500);
    // Its PLLs do not lock on that, either.
    expect(onMs(chip.nowMs)).toBe(0);
    expect(chip.starts.length).toBeGreaterThan(2);
  });

  it('goes at three quarters of its rate ends the run, and is what the next one knows', async () => {
    const chip = powered(await program('keeps the mat on'));
    chip.run(LOOKED_MS);
    chip.crystalRate = 0.75;
    expectSwitchedOff(chip, 400);
    chip.run(5000);
    expect(chip.outputsOn.has('mat')).toBe(true);
    expect(chip.starts).toHaveLength(2);
  });

  it.each([0.85, 1.25])(
    'goes at %d of its rate is not told from the drift of the other',
    async (rate) => {
      const chip = powered(await program('keeps the mat on'));
      chip.run(LOOKED_MS);
      chip.crystalRate = rate;
      chip.run(3000);
      expect(chip.outputsOn.has('mat')).toBe(true);
      expect(chip.starts).toHaveLength(1);
    },
  );

  it('stands still while a look has the switch of the mat open leaves it open, and ends the run', async () => {
    const chip = powered(await program('keeps the mat on'));
    const onMs: number[] = [];
    let openedMs = Number.NaN;
    chip.onOutput = ({ output, on, atMs }) => {
      if (output !== 'mat') return;
      if (on) onMs.push(atMs);
      else if (Number.isNaN(openedMs)) {
        openedMs = atMs;
        chip.crystalRate = 0;
      }
    };
    expect(chip.runUntil(() => chip.starts.length > 1, LOOKED_MS)).toBe(true);
    expect(onMs.filter((atMs) => atMs > openedMs)).toEqual([]);
    expect(chip.starts[1] && causeOf(chip.starts[1])).toBe('fault');
    expect(chip.starts[1]?.scratch[1]).toBe(FAULT_DETAIL.clockUnsteady);
    // Without a crystal the processor goes at a quarter of its rate: the 2 ms are four times as long, and a start follows.
    expect(chip.nowMs - openedMs).toBeLessThan(20);
  });

  it('has its PLL stop ends the run at once, mat off', async () => {
    const chip = powered(await program('keeps the mat on'));
    chip.run(LOOKED_MS);
    chip.stopPll();
    expectSwitchedOff(chip, 1);
  });

  it('does not swing is tried again and again, outputs off, until it does', async () => {
    const image = await program('keeps the mat on');
    const chip = new Chip({ flash: flashWithImage(image.bytes) });
    const changes: OutputChange[] = [];
    chip.onOutput = (change) => changes.push(change);
    chip.crystalRate = 0;
    chip.powerOn();
    chip.run(2500);
    expect(chip.starts.length).toBeGreaterThan(3);
    expect(new Set(chip.starts.slice(1).map(causeOf))).toEqual(new Set(['fault']));
    expect(changes.filter(({ on }) => on)).toEqual([]);
    chip.crystalRate = 1;
    chip.run(8000);
    expect(figures(chip, image).ticks).toBeGreaterThan(0);
  });

  it('goes at half its rate from the start gets no further than the clocks', async () => {
    const chip = new Chip({ flash: flashWithImage((await program('keeps the mat on')).bytes) });
    const changes: OutputChange[] = [];
    chip.onOutput = (change) => changes.push(change);
    chip.crystalRate = 0.5;
    chip.powerOn();
    chip.run(2500);
    expect(chip.starts.length).toBeGreaterThan(2);
    expect(changes.filter(({ on }) => on)).toEqual([]);
  });

  it('is sound is left in peace, however long interrupts were off for an erase', async () => {
    const slow = { eraseSectorMs: 187, programPageMs: 3, suspends: false };
    const chip = powered(await program('keeps the mat on, and erases'), 1, slow);
    chip.run(12_000);
    expect(chip.starts).toHaveLength(1);
  });
});
