/** Which messages are due: urgent ones at once and until somebody has seen them, the others in their time, each cause once. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decide, morningDue, moved } from '../../cli/keep/decide/decide';
import type {
  DueKind,
  Memory,
  Raised,
  Standing,
  TrayView,
  Trouble,
} from '../../cli/keep/decide/model';
import { priorityOf } from '../../cli/keep/decide/model';
import { MESSAGE_LIMITS } from '../../cli/keep/limits';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';

const RULES = { morningMin: 7 * 60 };
/** Ten at night: the night lies before the tray. */
const NIGHT_MS = new Date(2026, 2, 1, 22, 0).getTime();

const begun = (nowMs: number): Memory => ({ keeper: 'k', count: 0, morningMs: nowMs, trays: {} });
const stands = (trouble: Trouble, sinceMs: number, changes: Partial<Standing> = {}): Standing => ({
  ...{ trouble, sinceMs, seen: false, offK: 0 },
  ...changes,
});
const viewOf = (
  standing: readonly Standing[] | null,
  changes: Partial<TrayView> = {},
): TrayView => ({
  ...{ tray: 'Pepper', standing, unheardSinceMs: null, raised: [], causeOf: {} },
  cursor: { life: 1, sequence: 1 },
  ...changes,
});

/** A keeper at one tray, and all that it has told. */
class Told {
  memory: Memory;
  readonly kinds: DueKind[] = [];
  readonly at: number[] = [];
  mornings = 0;

  constructor(public nowMs = NIGHT_MS) {
    this.memory = begun(nowMs);
  }

  see(view: TrayView): readonly DueKind[] {
    const { memory, due, morning } = decide(this.memory, [view], RULES, this.nowMs);
    this.memory = memory;
    if (morning) this.mornings += 1;
    this.kinds.push(...due.map(({ kind }) => kind));
    this.at.push(...due.map(() => this.nowMs));
    return due.map(({ kind }) => kind);
  }

  /** The same view each minute for so long. */
  for(ms: number, view: TrayView): readonly DueKind[] {
    const before = this.kinds.length;
    for (const endMs = this.nowMs + ms; this.nowMs < endMs; ) {
      this.nowMs += MINUTE_MS;
      this.see(view);
    }
    return this.kinds.slice(before);
  }
}

describe('an urgent alarm', () => {
  it('is told at once in the night, again and again with growing pauses, and when it is over', () => {
    const told = new Told();
    const cold = viewOf([stands('too-cold', told.nowMs)]);
    expect(told.see(cold)).toEqual(['new']);
    expect(told.for(29 * MINUTE_MS, cold)).toEqual([]);
    expect(told.for(MINUTE_MS, cold)).toEqual(['still']);
    expect(told.for(8 * HOUR_MS, cold)).toEqual(['still', 'still', 'still']);
    expect(told.for(4 * MINUTE_MS, viewOf([]))).toEqual([]);
    expect(told.for(10 * MINUTE_MS, viewOf([]))).toEqual(['over']);
  });

  it('that somebody has seen is not told again, until it is worse', () => {
    const told = new Told();
    const cold = (offK: number, seen: boolean): TrayView =>
      viewOf([stands('too-cold', NIGHT_MS, { offK, seen })]);
    told.see(cold(2, false));
    expect(told.for(10 * HOUR_MS, cold(3.9, true))).toEqual([]);
    expect(told.for(MINUTE_MS, cold(4, true))).toEqual(['worse']);
    expect(told.for(10 * HOUR_MS, cold(5, true))).toEqual([]);
  });

  it('that joins a lesser one of the same cause makes it worse: one cause is one topic', () => {
    const told = new Told();
    const causeOf = { 'band-out-of-reach': 'mat-dead', 'mat-no-effect': 'mat-dead' };
    const weak = stands('band-out-of-reach', NIGHT_MS);
    expect(told.see(viewOf([weak], { causeOf }))).toEqual(['new']);
    told.nowMs += MINUTE_MS;
    const both = [weak, stands('mat-no-effect', told.nowMs)];
    expect(told.see(viewOf(both, { causeOf }))).toEqual(['worse']);
    expect(told.memory.trays.Pepper?.topics).toHaveLength(1);
    expect(told.for(10 * MINUTE_MS, viewOf([], { causeOf }))).toEqual(['over']);
  });

  it('of another cause is another topic', () => {
    const told = new Told();
    const both = viewOf([stands('too-cold', NIGHT_MS), stands('dose-not-seen', NIGHT_MS)]);
    expect(told.see(both)).toEqual(['new', 'new']);
  });

  it('that came and went between two looks is told, once, by the journal', () => {
    const told = new Told();
    told.see(viewOf([]));
    const raised: readonly Raised[] = [{ alarm: 'weight-rising', atMs: NIGHT_MS - MINUTE_MS }];
    expect(told.see(viewOf([], { raised }))).toEqual(['happened']);
    expect(told.for(DAY_MS, viewOf([]))).toEqual([]);
  });

  it('that the journal tells after the status did is no news', () => {
    const told = new Told();
    const cold = viewOf([stands('too-cold', NIGHT_MS)]);
    told.see(cold);
    const raised: readonly Raised[] = [{ alarm: 'too-cold', atMs: NIGHT_MS }];
    expect(told.see({ ...cold, raised })).toEqual([]);
    told.for(10 * MINUTE_MS, viewOf([]));
    expect(told.see(viewOf([], { raised }))).toEqual([]);
  });
});

describe('what can wait', () => {
  it('waits for the morning when it is low, and has no message of its own', () => {
    const told = new Told();
    const low = viewOf([stands('pump-off', NIGHT_MS)]);
    expect(told.for(10 * HOUR_MS, low)).toEqual([]);
    expect(told.mornings).toBe(1);
    expect(told.memory.trays.Pepper?.topics).toMatchObject([
      { closed: false, troubles: ['pump-off'] },
    ]);
  });

  it('is told once when it is medium, and not repeated', () => {
    const told = new Told();
    const low = viewOf([stands('reservoir-low', NIGHT_MS)]);
    expect(told.see(low)).toEqual(['new']);
    expect(told.for(2 * DAY_MS, low)).toEqual([]);
  });
});

describe('a tray that is silent', () => {
  it('is an alarm of its own; what stood at it stays as it was, and nobody says that it is over', () => {
    const told = new Told();
    told.see(viewOf([stands('reservoir-low', NIGHT_MS)]));
    expect(told.for(10 * MINUTE_MS, viewOf(null))).toEqual([]);
    const silent = viewOf(null, { unheardSinceMs: NIGHT_MS });
    expect(told.see(silent)).toEqual(['new']);
    expect(told.for(HOUR_MS, silent)).toEqual(['still']);
    const topics = told.memory.trays.Pepper?.topics ?? [];
    expect(topics.map(({ troubles, closed }) => [troubles[0], closed])).toEqual([
      ['reservoir-low', false],
      ['unheard', false],
    ]);
    expect(told.for(10 * MINUTE_MS, viewOf([stands('reservoir-low', NIGHT_MS)]))).toEqual(['over']);
  });
});

describe('the morning', () => {
  it.each([
    [[2026, 2, 1, 22, 0], [2026, 2, 2, 6, 59], false],
    [[2026, 2, 1, 22, 0], [2026, 2, 2, 7, 0], true],
    [[2026, 2, 2, 7, 0], [2026, 2, 2, 23, 0], false],
    [[2026, 2, 1, 22, 0], [2026, 2, 2, 18, 59], true],
    // A keeper that was off all day has nothing to say of the morning.
    [[2026, 2, 1, 22, 0], [2026, 2, 2, 19, 1], false],
  ] as const)('told last at %j is due at %j: %s', (last, now, due) => {
    const [y, m, d, h, min] = now;
    const [ly, lm, ld, lh, lmin] = last;
    const lastMs = new Date(ly, lm, ld, lh, lmin).getTime();
    expect(morningDue(lastMs, 7 * 60, new Date(y, m, d, h, min).getTime())).toBe(due);
  });
});

const TROUBLES: readonly Trouble[] = [
  ...(['too-cold', 'mat-no-effect', 'dose-not-seen', 'reservoir-low', 'pump-off'] as const),
];
const anyMinute = fc.record({
  standing: fc.option(
    fc.uniqueArray(fc.record({ trouble: fc.constantFrom(...TROUBLES), seen: fc.boolean() }), {
      selector: ({ trouble }) => trouble,
      maxLength: 3,
    }),
    { freq: 6 },
  ),
  forMin: fc.constantFrom(1, 2, 5, 20, 60, 300),
});
const anyDays = fc.array(anyMinute, { maxLength: 60 });
const viewAt = (
  { standing }: { standing: { trouble: Trouble; seen: boolean }[] | null },
  ms: number,
) => viewOf(standing?.map(({ trouble, seen }) => stands(trouble, ms, { seen })) ?? null);

describe('whatever happens to a tray', () => {
  it('each urgent alarm is told within the look that finds it, and while nobody has seen it no pause is longer than the longest', () => {
    holds(
      fc.property(anyDays, (days) => {
        const told = new Told();
        const longestMs = Math.max(...MESSAGE_LIMITS.repeatMs);
        const untold: object[] = [];
        for (const { standing, forMin } of days) {
          const view = viewAt({ standing }, told.nowMs);
          for (let min = 0; min < forMin; min++) {
            told.nowMs += MINUTE_MS;
            told.see(view);
            const topics = told.memory.trays.Pepper?.topics ?? [];
            for (const { trouble, seen } of standing ?? []) {
              const topic = topics.find((one) => !one.closed && one.troubles.includes(trouble));
              const isUrgent = priorityOf(trouble) === 'high';
              const isTold =
                topic?.toldTroubles.includes(trouble) === true &&
                (seen || told.nowMs - (topic.toldMs ?? 0) < longestMs);
              if (topic === undefined || (isUrgent && !isTold)) untold.push({ trouble, topic });
            }
          }
        }
        expect(untold).toEqual([]);
      }),
    );
  });

  it('nothing is told without a cause, and nothing twice: asked again at once, nothing is due', () => {
    holds(
      fc.property(anyDays, (days) => {
        const told = new Told();
        for (const { standing, forMin } of days) {
          told.nowMs += forMin * MINUTE_MS;
          const view = viewAt({ standing }, told.nowMs);
          told.see(view);
          expect(told.see(view)).toEqual([]);
        }
        const quiet = new Told();
        expect(quiet.for(3 * DAY_MS, viewOf([]))).toEqual([]);
      }),
    );
  });

  it('what comes and goes all day is told a bounded number of times', () => {
    const any = fc.array(
      fc.tuple(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 1, max: 40 })),
      {
        minLength: 40,
        maxLength: 60,
      },
    );
    holds(
      fc.property(any, (turns) => {
        const told = new Told();
        for (const [onMin, offMin] of turns) {
          told.for(onMin * MINUTE_MS, viewOf([stands('too-cold', told.nowMs)]));
          told.for(offMin * MINUTE_MS, viewOf([]));
        }
        const days = Math.ceil((told.nowMs - NIGHT_MS) / DAY_MS);
        expect(told.kinds.length).toBeLessThanOrEqual(20 * days);
      }),
      { numRuns: 40 },
    );
  });

  it('a clock that is set moves all of it, and changes nothing of what is due', () => {
    holds(
      fc.property(anyDays, fc.integer({ min: -400, max: 400 }), (days, offDays) => {
        // By whole days, so that the morning is the same one; and without the hour of a summer time.
        const byMs = offDays * DAY_MS;
        const plain = new Told();
        const other = new Told(NIGHT_MS + byMs);
        for (const { standing, forMin } of days) {
          plain.nowMs += forMin * MINUTE_MS;
          other.nowMs += forMin * MINUTE_MS;
          plain.see(viewAt({ standing }, plain.nowMs));
          other.see(viewAt({ standing }, other.nowMs));
          if (plain.mornings === 0 && other.mornings === 0) {
            expect(moved(plain.memory, byMs)).toEqual(other.memory);
          }
        }
        expect(other.kinds).toEqual(plain.kinds);
      }),
    );
  });
});
