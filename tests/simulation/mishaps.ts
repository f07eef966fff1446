/** What can happen to a tray in any order, for property tests. */
import fc from 'fast-check';
import { FAULT_NAMES, type FaultName } from '../../firmware/bench/faults';
import { RESET_CAUSES, type ResetCause } from '../../shared/board/words';
import { LID_PLACES, type LidPlace, type Mark } from '../../shared/profile/profile';
import { MINUTE_MS } from '../../shared/units/time';
import type { Witness } from './witness';

type Happening =
  | { readonly kind: 'fault'; readonly name: FaultName; readonly forMin: number }
  | { readonly kind: 'restart'; readonly cause: ResetCause }
  | { readonly kind: 'clock'; readonly unixMs: number }
  | { readonly kind: 'mark'; readonly mark: Mark }
  | { readonly kind: 'mist'; readonly g: number }
  | { readonly kind: 'lid'; readonly place: LidPlace }
  | { readonly kind: 'lift'; readonly forMin: number }
  | { readonly kind: 'take-and-put'; readonly put: boolean }
  | { readonly kind: 'dry-spell' | 'see-to-alarms' | 'nothing' };

export type Mishap = Happening & { readonly thenMs: number };

const kind = <K extends Happening['kind']>(name: K) => fc.constant(name);

const anyHappening: fc.Arbitrary<Happening> = fc.oneof(
  fc.record({
    kind: kind('fault'),
    // A noisy line only keeps the test from asking; `tests/unit/server.test.ts` looks after it.
    name: fc.constantFrom(...FAULT_NAMES.filter((name) => name !== 'link-noise')),
    forMin: fc.integer({ min: 1, max: 300 }),
  }),
  fc.record({ kind: kind('restart'), cause: fc.constantFrom(...RESET_CAUSES) }),
  fc.record({
    kind: kind('clock'),
    unixMs: fc.integer({ min: Date.UTC(2024, 0), max: Date.UTC(2090, 0) }),
  }),
  fc.record({
    kind: kind('mark'),
    mark: fc.constantFrom<Mark>('sown', 'emerged', 'emerged', 'vented', 'refilled', 'soaked'),
  }),
  fc.record({ kind: kind('mist'), g: fc.integer({ min: 1, max: 300 }) }),
  fc.record({ kind: kind('lid'), place: fc.constantFrom(...LID_PLACES) }),
  fc.record({ kind: kind('lift'), forMin: fc.integer({ min: 1, max: 60 }) }),
  fc.record({ kind: kind('take-and-put'), put: fc.boolean() }),
  fc.record({ kind: kind('nothing') }),
);

/** A grower who comes often sees to the alarms, so that control gets its chance again and again. */
export const anyCourse: fc.Arbitrary<readonly Mishap[]> = fc.array(
  fc
    .tuple(
      fc.oneof(
        { weight: 2, arbitrary: anyHappening },
        { weight: 1, arbitrary: fc.record({ kind: kind('see-to-alarms') }) },
        { weight: 1, arbitrary: fc.record({ kind: kind('dry-spell') }) },
      ),
      fc.integer({ min: 1, max: 8 * 60 }),
    )
    .map(([happening, minutes]) => ({ ...happening, thenMs: minutes * MINUTE_MS })),
  { minLength: 15, maxLength: 30 },
);

/** Lets it happen. What the board refuses, it refuses. */
export function play(witness: Witness, mishap: Mishap): void {
  const { grower } = witness;
  const { bench } = grower;
  const { hand } = bench;
  switch (mishap.kind) {
    case 'fault':
      bench.fault(mishap.name, true, mishap.forMin * MINUTE_MS);
      return;
    case 'restart':
      bench.reset(mishap.cause);
      return;
    case 'clock':
      attempt(() => grower.call('clock.set', { unixMs: mishap.unixMs }));
      return;
    case 'mark':
      if (mishap.mark === 'sown') witness.sowing();
      attempt(() => grower.call('mark.set', { mark: mishap.mark }));
      return;
    case 'mist':
      hand.mist(mishap.g);
      return;
    case 'lid':
      hand.setLid(mishap.place);
      return;
    case 'lift':
      hand.liftTray(mishap.forMin * MINUTE_MS);
      return;
    case 'take-and-put':
      if (mishap.put) hand.putTray();
      else hand.takeTray();
      return;
    case 'dry-spell':
      dryOut(witness);
      return;
    case 'see-to-alarms':
      hand.putTray();
      attempt(() => {
        for (const { alarm } of grower.status().alarms) {
          attempt(() => grower.call('alarm.clear', { alarm }));
        }
      });
      return;
    default:
  }
}

/** Two hours of hot dry wind: faster than a day of it, slower than what the guard calls a leak. */
const DRY_SPELL_MIN = 120;
const DRY_SPELL_G_PER_MIN = 2.5;

function dryOut({ grower, run }: Witness): void {
  const { wool } = grower.bench.rig.plant;
  for (let minute = 0; minute < DRY_SPELL_MIN; minute++) {
    wool.heldG = Math.max(0, wool.heldG - DRY_SPELL_G_PER_MIN);
    run(MINUTE_MS);
  }
}

function attempt(act: () => void): void {
  try {
    act();
  } catch {
    // Refused, or nobody there to answer: part of the course.
  }
}
