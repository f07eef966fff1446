/** Looks at the mat's fuse, lead and switch: when the runtime makes one, what it reads, and what the firmware says of it. */
import { describe, expect, it } from 'vitest';
import type { Chip, OutputChange } from '../../firmware/bench/chip/chip';
import { ChipBench } from '../../firmware/bench/chip/chip-bench';
import { STUBBORN_FLASH } from '../../firmware/bench/chip/rom';
import type { FaultName } from '../../firmware/bench/faults';
import { GrowerAt } from '../../firmware/bench/grower';
import { type MatLine, matLineOf } from '../../firmware/sensing/mat-line';
import { loadNodes, type MatPath } from '../../shared/board/loads';
import { LOADS_SENSE, loadsSenseCode, MAT_LOOK, SAFETY_STEP_MS } from '../../shared/board/map';
import { MAT_LOOKED } from '../../shared/board/words';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { EVERY_TICK, type Grower } from '../simulation/grower';
import { sownTray } from '../simulation/scenes';
import {
  BUILD_LIMIT_MS,
  cannotBuild,
  heardLines,
  misbehaving,
  powered,
  takenOver,
  trayward,
} from './images';
import { LEASES } from './misdeeds/mat-look';

/** A burst of the converter takes no longer. */
const BURST_MS = 0.2;
/** The pins' moves may lie this far from whole steps: the step has other work first. */
const LATE_MS = 2;
const LOADS_V = 24;
/** A look, and a second one, each with the tick that reads it. */
const SECONDS_MS = 5_000;
/** While it heats: until the next look, and as long again for the second one. */
const WHILE_IT_HEATS_MS = MAT_LOOK.everyMs + SECONDS_MS;
/** A start is followed by a minute without heat. */
const RESTED_MS = MINUTE_MS + 10_000;

const program = misbehaving('mat-look');

/** The moves of mat and feed from here on. */
function movesOf(chip: Chip): OutputChange[] {
  const moves: OutputChange[] = [];
  const before = chip.onOutput;
  chip.onOutput = (change) => {
    before(change);
    if (change.output === 'mat' || change.output === 'feed') moves.push(change);
  };
  return moves;
}
const of = (moves: readonly OutputChange[], output: 'mat' | 'feed'): readonly OutputChange[] =>
  moves.filter((move) => move.output === output);

/** For how long the mat was off between two times on, and when. */
const openings = (moves: readonly OutputChange[]): { atMs: number; forMs: number }[] =>
  of(moves, 'mat').flatMap(({ on, atMs }, i, all) => {
    const next = all[i + 1];
    return on || next === undefined ? [] : [{ atMs, forMs: next.atMs - atMs }];
  });

const isPath = (chip: Chip, path: Partial<MatPath>): void => {
  chip.loadNodes = ({ mat }, switchClosed) =>
    loadNodes(mat ? LOADS_V : 0, { fuse: 'whole', lead: 'whole', switchClosed, ...path });
};
/** What each line that was said tells of the mat. */
const told = (lines: readonly string[]): (MatLine | null)[] =>
  lines.map((line) => {
    const [openCode = Number.NaN, closedCode = Number.NaN] = line.split(',').map(Number);
    return matLineOf({ openCode, closedCode });
  });

/** And when it says the look was made. */
const whenMade = (lines: readonly string[]): number[] =>
  lines.map((line) => Number(line.split(',')[2]));

describe.skipIf(cannotBuild)("the mat's own switch", { timeout: BUILD_LIMIT_MS }, () => {
  it('closes a few steps after the second one, for the first look', async () => {
    const chip = powered(await program('keeps the mat on'));
    const moves = movesOf(chip);
    chip.run(2_000);
    const [feed] = of(moves, 'feed');
    const [mat] = of(moves, 'mat');
    expect([feed?.on, mat?.on]).toEqual([true, true]);
    const laterMs = (mat?.atMs ?? Number.NaN) - (feed?.atMs ?? Number.NaN);
    expect(Math.abs(laterMs - MAT_LOOK.feedSteps * SAFETY_STEP_MS)).toBeLessThan(LATE_MS);
  });

  it('opens for half a millisecond soon after, and every few seconds again, twice', async () => {
    const chip = powered(await program('keeps the mat on'));
    const moves = movesOf(chip);
    chip.run(MAT_LOOK.everyMs + 2 * MAT_LOOK.againMs + 3_000);
    const closedMs = of(moves, 'mat')[0]?.atMs ?? Number.NaN;
    const opened = openings(moves);
    const dueMs = [
      MAT_LOOK.againMs,
      MAT_LOOK.againMs + MAT_LOOK.everyMs,
      2 * MAT_LOOK.againMs + MAT_LOOK.everyMs,
    ];
    expect(opened).toHaveLength(dueMs.length);
    opened.forEach(({ atMs }, i) => {
      expect(Math.abs(atMs - closedMs - (dueMs[i] ?? 0))).toBeLessThan(LATE_MS);
    });
    for (const { forMs } of opened) {
      expect(forMs).toBeGreaterThan(MAT_LOOK.openUs / 1000);
      expect(forMs).toBeLessThan(MAT_LOOK.openUs / 1000 + BURST_MS);
    }
  });

  it('is open once a lease has ended, in whichever step by that of a look', async () => {
    const chip = powered(await program('leases it for a little longer each time'));
    const leasedMs: number[] = [];
    const moves: OutputChange[] = [];
    chip.onOutput = (change) => {
      if (change.output === 'lamp') leasedMs.push(change.atMs);
      if (change.output === 'mat') moves.push(change);
    };
    chip.run(LEASES.count * LEASES.everyTicks * 1_000 + 2_000);
    expect(leasedMs).toHaveLength(LEASES.count);
    const looks = leasedMs.map((atMs, i) => {
      const nextMs = leasedMs[i + 1] ?? Number.POSITIVE_INFINITY;
      const here = moves.filter((move) => move.atMs >= atMs && move.atMs < nextMs);
      const last = here.at(-1);
      const forMs = LEASES.firstMs + i * LEASES.stepMs;
      expect(last?.on).toBe(false);
      expect((last?.atMs ?? Number.NaN) - atMs).toBeLessThan(forMs + SAFETY_STEP_MS + LATE_MS);
      return openings(here).length;
    });
    // The shortest end before the look, the longest after it: that of some was in between.
    expect([looks[0], looks.at(-1)]).toEqual([0, 1]);
  });

  it('opens while the second one stays closed: its pin turns over at every step', async () => {
    const chip = powered(await program('keeps the mat on'));
    chip.run(1_500);
    const moves = movesOf(chip);
    chip.run(2_000);
    expect(openings(moves)).toHaveLength(1);
    const feed = of(moves, 'feed');
    feed.slice(1).forEach(({ on, atMs }, i) => {
      expect(on).toBe(feed[i]?.on === false);
      expect(Math.abs(atMs - (feed[i]?.atMs ?? 0) - SAFETY_STEP_MS)).toBeLessThan(LATE_MS);
    });
  });
});

describe.skipIf(cannotBuild)("a look at the mat's line", { timeout: BUILD_LIMIT_MS }, () => {
  it('reads the line with the switch open and closed, twice soon after it was switched on', async () => {
    const chip = powered(await program('keeps the mat on'));
    const lines = heardLines(chip);
    chip.run(SECONDS_MS);
    expect(told(lines)).toEqual(['sound', 'sound']);
    const expected = [false, true].map((switchClosed) =>
      loadsSenseCode(loadNodes(LOADS_V, { fuse: 'whole', lead: 'whole', switchClosed })),
    );
    for (const line of lines)
      expected.forEach((code, i) => {
        expect(Math.abs(Number(line.split(',')[i]) - code)).toBeLessThan(1);
      });
  });

  it('is made when the mat is let go, and shows a switch that welded meanwhile', async () => {
    const chip = powered(await program('heats for six seconds'));
    const lines = heardLines(chip);
    chip.run(SECONDS_MS);
    isPath(chip, { switchClosed: true });
    chip.run(SECONDS_MS);
    expect(told(lines)).toEqual(['sound', 'sound', 'welded']);
    const { asAsked, asLetGo } = MAT_LOOKED;
    expect(whenMade(lines)).toEqual([asAsked, asAsked, asLetGo]);
  });

  it.each([
    ['lead-open', { lead: 'open' }],
    ['fuse-blown', { fuse: 'blown' }],
    ['switch-open', { switchClosed: false }],
  ] as const)('shows %s at once', async (line, path) => {
    const chip = powered(await program('keeps the mat on'));
    isPath(chip, path);
    const lines = heardLines(chip);
    chip.run(SECONDS_MS);
    expect(told(lines)).toEqual([line, line]);
  });

  it('is none without a supply, nor of a pump, nor while that is fed as well', async () => {
    for (const name of ['keeps the mat on', 'keeps the pump on', 'keeps both on'] as const) {
      const chip = powered(await program(name));
      if (name === 'keeps the mat on')
        chip.loadNodes = () => ({ matSupplyV: 0, matFeedV: 0, matLowV: 0, pumpFeedV: 0 });
      const lines = heardLines(chip);
      chip.run(2 * SECONDS_MS);
      expect(lines).toEqual([]);
    }
  });

  it('is none while the second switch of the pump is welded, which weighs on the line', async () => {
    const chip = powered(await program('heats after a while'));
    const lines = heardLines(chip);
    const sound = chip.loadNodes;
    chip.loadNodes = (closed, matOn) => ({ ...sound(closed, matOn), pumpFeedV: LOADS_V });
    chip.run(2 * SECONDS_MS);
    expect(lines).toEqual([]);
    expect(chip.outputsOn.has('mat')).toBe(true);
  });

  it('is none as the mat is let go when a slow erase leaves the second switch half open by then', async () => {
    const image = await program('heats, and erases as it lets go');
    const chip = powered(image, 1, STUBBORN_FLASH);
    let roseMs = 0;
    chip.onOutput = ({ output, on, atMs }) => {
      if (output === 'feed' && on) roseMs = atMs;
    };
    // A third of the supply is left: with the mat's switch open that reads as all of it with the switch closed.
    chip.loadNodes = ({ mat }, switchClosed) => {
      const fades = chip.nowMs - roseMs > 3 * SAFETY_STEP_MS;
      const feedV = mat ? (fades ? LOADS_V / 3 : LOADS_V) : 0;
      return loadNodes(feedV, { fuse: 'whole', lead: 'whole', switchClosed });
    };
    const lines = heardLines(chip);
    chip.run(2 * SECONDS_MS);
    expect(told(lines)).toEqual(['sound', 'sound']);
  });

  it('is none when half of its conversions fail', async () => {
    const chip = powered(await program('keeps the mat on'));
    chip.onConversion = (code, channel) => (channel === LOADS_SENSE.channel ? 'error' : code);
    const lines = heardLines(chip);
    chip.run(SECONDS_MS);
    expect(lines).toEqual([]);
    expect(chip.outputsOn.has('mat')).toBe(true);
  });
});

type Wrong = FaultName | 'supply-missing' | 'second-switch-of-pump-welded';

/** A new board whose mat is tried by hand, and the alarms that it did not have before. */
async function tried(fault: Wrong | null, letGoMs = 20_000) {
  const bench = new ChipBench({ seed: 1, image: (await trayward()).bytes });
  const grower = new GrowerAt(bench);
  bench.run(RESTED_MS);
  const before = grower.alarms();
  const wrong = (): void => {
    if (fault === 'supply-missing') bench.rig.wrongSupply.add('missing');
    else if (fault === 'second-switch-of-pump-welded') bench.rig.wrongSupply.add(fault);
    else if (fault !== null) bench.fault(fault);
  };
  return {
    bench,
    wrong,
    heat: () => grower.call('mat.run', { ms: letGoMs }),
    alarms: () => grower.alarms().filter((alarm) => !before.includes(alarm)),
    report: () => grower.status().alarms.find(({ alarm }) => alarm === 'mat-open'),
  };
}

describe.skipIf(cannotBuild)('the firmware on the chip', { timeout: BUILD_LIMIT_MS }, () => {
  it.each<[Wrong | null, string[], number | null]>([
    [null, [], null],
    ['mat-lead-open', ['mat-open'], 2],
    ['mat-fuse-blown', ['mat-open'], 1],
    ['mat-switch-welded', ['mat-stuck-on'], null],
    ['supply-missing', ['supply-wrong'], null],
    ['second-switch-of-pump-welded', ['supply-wrong'], null],
  ])('tells %s within seconds of the mat being asked for', async (fault, alarms, value) => {
    const board = await tried(fault);
    board.wrong();
    board.heat();
    board.bench.run(SECONDS_MS);
    expect(board.alarms()).toEqual(alarms);
    if (value !== null) expect(board.report()).toMatchObject({ value });
  });

  it('tells a switch that welds while it heats within seconds of the mat being let go', async () => {
    const letGoMs = 6_000;
    const board = await tried('mat-switch-welded', letGoMs);
    board.heat();
    board.bench.run(SECONDS_MS);
    board.wrong();
    expect(board.alarms()).toEqual([]);
    board.bench.run(letGoMs - SECONDS_MS + 3_000);
    expect(board.alarms()).toEqual(['mat-stuck-on']);
  });

  it('tells a switch that welds while it heats within seconds, and lets the mat go', async () => {
    const board = await tried('mat-switch-welded');
    board.heat();
    board.bench.run(SECONDS_MS);
    board.wrong();
    board.bench.run(WHILE_IT_HEATS_MS);
    expect(board.alarms()).toEqual(['mat-stuck-on']);
    expect(board.bench.chip.outputsOn.has('mat')).toBe(false);
  });

  it('tells a plug that is pulled while it heats within seconds', async () => {
    const before: Grower = sownTray({}, { ...EVERY_TICK, room: { meanC: 12 } });
    expect(before.bench.runUntil(() => before.bench.state().outputs.mat, HOUR_MS)).toBe(true);
    const grower = takenOver(before, await trayward());
    grower.bench.run(RESTED_MS + MINUTE_MS);
    expect(grower.bench.chip.outputsOn.has('mat')).toBe(true);
    const said = grower.alarms();
    expect(said).not.toContain('mat-open');
    grower.bench.fault('mat-lead-open');
    grower.bench.run(WHILE_IT_HEATS_MS);
    expect(grower.alarms()).toEqual(['mat-open', ...said]);
  });
});
