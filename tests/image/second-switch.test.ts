/** The second switches: the pin of each toggles while its output is leased and the safety step runs, and never else. */
import { describe, expect, it } from 'vitest';
import type { Chip, OutputChange } from '../../firmware/bench/chip/chip';
import { ChipBench, causeOf } from '../../firmware/bench/chip/chip-bench';
import { type Fed, SECOND_OPENS_MS } from '../../firmware/bench/second-switch';
import { LIMITER, SAFETY_STEP_MS } from '../../shared/board/map';
import { OUTPUT } from '../../shared/board/words';
import { BUILD_LIMIT_MS, cannotBuild, heardLines, misbehaving, powered } from './images';
import { LEASE_MS } from './misdeeds/second-switch';

const NEWLINE = 0x0a;
/** The pin's moves may lie this far from whole steps: the step has other work first. */
const LATE_MS = 2;
/** The plant of the bench moves in such steps. */
const PLANT_STEP_S = 0.1;

const program = misbehaving('second-switch');

/** The moves of an output from here on. */
function movesOf(chip: Chip, output: OutputChange['output']): OutputChange[] {
  const moves: OutputChange[] = [];
  const before = chip.onOutput;
  chip.onOutput = (change) => {
    before(change);
    if (change.output === output) moves.push(change);
  };
  return moves;
}

/** Somebody keeps talking: without an interrupt a loop without its timer would sleep for ever. */
function chatter(chip: Chip, ms: number): void {
  for (let i = 0; i < ms; i += 100) {
    chip.writeUart(Uint8Array.of(NEWLINE));
    chip.run(100);
  }
}

const pumpRanS = (bench: ChipBench): number => bench.state().pump.ranS;

describe.skipIf(cannotBuild)('the pin of a second switch', { timeout: BUILD_LIMIT_MS }, () => {
  it.each([
    ['mat', 'feed', 'arm'],
    ['pump', 'arm', 'feed'],
  ] as const)(
    'turns over at every safety step while the %s is leased, and the other one rests',
    async (output, own, other) => {
      const chip = powered(await program(`keeps the ${output} on`));
      chip.run(1500);
      const [moves, others] = [movesOf(chip, own), movesOf(chip, other)];
      chip.run(1000);
      expect(others).toEqual([]);
      expect(moves.length).toBeGreaterThanOrEqual(1000 / SAFETY_STEP_MS - 1);
      moves.slice(1).forEach(({ on, atMs }, i) => {
        expect(on).toBe(moves[i]?.on === false);
        expect(Math.abs(atMs - (moves[i]?.atMs ?? 0) - SAFETY_STEP_MS)).toBeLessThan(LATE_MS);
      });
    },
  );

  it('rises within a step of the pump, and stands low when its lease is over', async () => {
    const chip = powered(await program('leases the pump once'));
    const [pump, arm] = [movesOf(chip, 'pump'), movesOf(chip, 'arm')];
    chip.run(5000);
    expect(pump.map(({ on }) => on)).toEqual([true, false]);
    const [from = Number.NaN, until = Number.NaN] = pump.map(({ atMs }) => atMs);
    expect(arm[0]?.on).toBe(true);
    expect((arm[0]?.atMs ?? Number.NaN) - from).toBeLessThanOrEqual(SAFETY_STEP_MS + LATE_MS);
    expect(arm.at(-1)?.on).toBe(false);
    expect((arm.at(-1)?.atMs ?? Number.NaN) - until).toBeLessThan(LATE_MS);
  });

  it('is driven low, and never moves, while nothing is leased', async () => {
    const chip = powered(await program('leases nothing'));
    const moves = [movesOf(chip, 'feed'), movesOf(chip, 'arm')];
    chip.run(5000);
    expect([chip.drives('feed'), chip.drives('arm')]).toEqual([true, true]);
    expect(moves.flat()).toEqual([]);
  });

  it.each([
    ['mat', 'feed'],
    ['pump', 'arm'],
  ] as const)('of the %s stands still when the program hangs', async (output, own) => {
    const chip = powered(await program(`keeps the ${output} on`));
    chip.run(1500);
    chip.hung = true;
    const moves = movesOf(chip, own);
    chip.run(5000);
    expect(moves).toEqual([]);
    expect(chip.outputsOn.has(output)).toBe(true);
  });

  it('stands still without the safety step, and the watchdog ends it, however much is said on the line', async () => {
    const chip = powered(await program('keeps the mat on'));
    chip.run(1500);
    chip.loseSafetyStep();
    const moves = movesOf(chip, 'feed');
    chatter(chip, LIMITER.watchdogMs - 1500);
    expect(moves).toEqual([]);
    // Nothing but the second switch stands between: the mat's own pin is high, and its lease is renewed.
    expect(chip.outputsOn.has('mat')).toBe(true);
    expect(chip.starts).toHaveLength(1);
    // The tick after the last step fed it once more.
    chatter(chip, 3000);
    expect(chip.starts.slice(1).map(causeOf)).toEqual(['watchdog']);
  });
});

describe.skipIf(cannotBuild)(
  'a pump whose own switch is welded',
  { timeout: BUILD_LIMIT_MS },
  () => {
    const welded = async (name: Parameters<typeof program>[0]): Promise<ChipBench> => {
      const bench = new ChipBench({ seed: 1, image: (await program(name)).bytes });
      bench.rig.welded.add('pump');
      return bench;
    };

    it('does not run while nothing is leased', async () => {
      const bench = await welded('leases nothing');
      bench.run(5000);
      expect(pumpRanS(bench)).toBe(0);
    });

    it('does not run while the mat heats, for it has a second switch of its own', async () => {
      const bench = await welded('keeps the mat on');
      bench.run(7000);
      expect(pumpRanS(bench)).toBe(0);
    });

    it('runs on for a moment after a dose, until its second switch has opened', async () => {
      const bench = await welded('leases the pump once');
      bench.run(5000);
      const onS = LEASE_MS / 1000;
      expect(pumpRanS(bench)).toBeGreaterThan(onS);
      expect(pumpRanS(bench)).toBeLessThanOrEqual(onS + SECOND_OPENS_MS / 1000 + PLANT_STEP_S);
    });

    it('stops soon after the program hangs', async () => {
      const bench = await welded('keeps the pump on');
      bench.run(2000);
      const fromS = pumpRanS(bench);
      bench.fault('board-hung');
      bench.run(5000);
      expect(pumpRanS(bench) - fromS).toBeGreaterThan(0);
      expect(pumpRanS(bench) - fromS).toBeLessThanOrEqual(SECOND_OPENS_MS / 1000 + PLANT_STEP_S);
    });
  },
);

describe.skipIf(cannotBuild)('the sense line of the supply', { timeout: BUILD_LIMIT_MS }, () => {
  const liveAt = async (
    output: Fed,
    supplies: (closed: boolean) => boolean,
    ms: number,
  ): Promise<boolean> => {
    const chip = powered(await program(`tells its outputs, with the ${output}`));
    const { loadNodes } = chip;
    chip.loadNodes = (closed, matOn) =>
      loadNodes({ ...closed, [output]: supplies(closed[output]) }, matOn);
    const lines = heardLines(chip);
    chip.run(ms);
    return (Number(lines.at(-1)) & OUTPUT.loadsLive) !== 0;
  };
  const [IDLE_MS, ON_MS] = [4000, 9000];

  describe.each(['mat', 'pump'] as const)('of the %s', (output) => {
    it('tells that there is none before its second switch closes, and that there is one behind it', async () => {
      expect(await liveAt(output, (closed) => closed, IDLE_MS)).toBe(false);
      expect(await liveAt(output, (closed) => closed, ON_MS)).toBe(true);
    });

    it('tells of a supply unit that is missing, and of a second switch that has welded', async () => {
      expect(await liveAt(output, () => false, ON_MS)).toBe(false);
      expect(await liveAt(output, () => true, IDLE_MS)).toBe(true);
    });
  });
});
