/** A board whose power goes in the middle of chosen flash operations, and the grower at its UART. */
import { expect } from 'vitest';
import type { OutputChange } from '../../firmware/bench/chip/chip';
import { ChipBench } from '../../firmware/bench/chip/chip-bench';
import { SimulatedFlash } from '../../firmware/bench/flash';
import { GrowerAt } from '../../firmware/bench/grower';
import { Random } from '../../firmware/bench/random';
import type { BuiltImage } from '../../firmware/image/build';
import { ENTRIES_PER_SECTOR, openJournal } from '../../firmware/storage/journal';
import { openSettings } from '../../firmware/storage/settings';
import { SETTING } from '../../firmware/tray/setting-keys';
import { DOOR } from '../../shared/board/map';
import type { Profile } from '../../shared/profile/profile';
import { profileWith } from '../simulation/scenes';
import { type Cut, CutFlash, type CutPlan } from './cut-flash';
import { figures } from './images';

/** Longest time from power to the first tick, ms. */
const START_LIMIT_MS = 1500;
/** So many of the other cuts come while the board starts. */
const AT_START_SHARE = 0.08;
const TICK_MS = 1000;
const LOOK_MS = 100;
/** Requests until the planned operation has come round. */
const REQUESTS_MAX = 24;

/** The grower loads now the one, now the other. */
export const PROFILES: readonly Profile[] = [
  profileWith(),
  profileWith({ profile: { title: 'The other' } }),
];

/** A line may be lost or torn, as on any wire: it is sent again. */
export const isUnheard = (error: unknown): boolean =>
  /no reply|CRC of the line/.test(String(error));

/** One board, its flash, and the grower at its UART. */
export class LongLife {
  readonly flash: CutFlash;
  readonly bench: ChipBench;
  readonly grower: GrowerAt<ChipBench>;
  readonly hits = new Map<string, number>();
  private readonly switchedOn: OutputChange[] = [];
  private readonly random: Random;
  private requests = 0;

  constructor(
    private readonly image: BuiltImage,
    contents: Uint8Array,
    seed: number,
  ) {
    this.random = new Random(seed);
    this.flash = new CutFlash({ seed, contents });
    this.bench = new ChipBench({ seed, image: image.bytes, flash: this.flash });
    this.grower = new GrowerAt(this.bench, DOOR.uart);
    const { chip } = this.bench;
    const before = chip.onOutput;
    chip.onOutput = (change) => {
      before(change);
      if (change.on && change.output !== 'lamp') this.switchedOn.push(change);
    };
  }

  /** Lets one planned cut happen, and the board start again. */
  cutOnce(plan: CutPlan): Cut {
    const { bench, flash, random } = this;
    const atStart = this.needsPast(plan) || random.share() < AT_START_SHARE;
    if (atStart) {
      bench.cutPower();
      this.addPast(plan);
      flash.arm(plan);
      bench.restorePower();
      this.runToCut(START_LIMIT_MS);
    } else {
      flash.arm(plan);
    }
    for (let i = 0; flash.cut === null; i += 1) {
      if (i > REQUESTS_MAX) throw new Error('the planned operation did not come');
      this.request(plan);
      this.runToCut(plan.thing === 'profile' ? 0 : TICK_MS);
    }
    const { cut } = flash;
    const kind = `${plan.thing}-${plan.operation}`;
    this.hits.set(kind, (this.hits.get(kind) ?? 0) + 1);
    return cut;
  }

  /** From the power's return to the first tick; nothing is on before the program is ready. */
  start(): void {
    const { bench, switchedOn } = this;
    const { chip } = bench;
    const ticked = () => chip.isPowered && figures(chip, this.image).ticks > 0;
    bench.run(LOOK_MS);
    const startMs = bench.boots.at(-1)?.atMs ?? 0;
    while (!ticked() && bench.nowMs <= startMs + START_LIMIT_MS) bench.run(LOOK_MS);
    expect(ticked()).toBe(true);
    const { startUs } = figures(chip, this.image);
    const early = switchedOn.filter(
      ({ atMs }) => atMs >= startMs && atMs < startMs + startUs / 1000,
    );
    expect(early).toEqual([]);
    switchedOn.length = 0;
  }

  private runToCut(limitMs: number): void {
    const { bench, flash } = this;
    for (let ran = 0; ran < limitMs && flash.cut === null; ran += LOOK_MS) bench.run(LOOK_MS);
  }

  private request({ thing }: CutPlan): void {
    const { grower } = this;
    this.requests += 1;
    try {
      if (thing === 'profile') grower.load(PROFILES[this.requests % 2] ?? profileWith(), 0);
      else grower.call('mark.set', { mark: 'refilled' });
    } catch (error) {
      if (this.flash.cut === null && !isUnheard(error)) throw error;
    }
  }

  /** Sectors fill slowly: what a board would have written by then is put on the chip beforehand. */
  private needsPast({ thing, operation }: CutPlan): boolean {
    return operation === 'erase' && thing !== 'profile';
  }

  private addPast({ thing, operation }: CutPlan): void {
    if (operation !== 'erase') return;
    // The chip is written by the same firmware as on the board, with the power on for it.
    this.flash.restore();
    if (thing === 'journal') this.fillJournal();
    if (thing === 'settings') this.fillSettings();
    this.flash.cutPower();
  }

  private fillJournal(): void {
    const journal = openJournal(this.flash);
    const free = Math.floor(this.random.between(0, 3));
    for (let written = 0; ; written += 1) {
      const used = (journal.next() - 1) % ENTRIES_PER_SECTOR;
      if (written > ENTRIES_PER_SECTOR && used === ENTRIES_PER_SECTOR - 1 - free) return;
      journal.append(1, 0, { kind: 'fault', code: 1, detail: written });
    }
  }

  private fillSettings(): void {
    const write = (flash: SimulatedFlash, until: (writes: number) => boolean): number => {
      const settings = openSettings(flash);
      const value = settings.get(SETTING.run) ?? new Uint8Array();
      let writes = 0;
      for (; !until(writes); writes += 1) settings.set(SETTING.run, value);
      return writes;
    };
    const trial = new SimulatedFlash({ contents: this.flash.bytes });
    const toErase = write(trial, () => trial.eraseCounts.some((count) => count > 0));
    write(this.flash, (writes) => writes === toErase - 1);
  }
}
