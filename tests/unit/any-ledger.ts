/** Steps of the weight ledger, and changes of the weight, as tests want them: made by hand, or any at all. */
import fc from 'fast-check';
import type { Change, Ledger, Step, StepKind } from '../../firmware/control/ledger';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS } from '../../shared/units/time';
import { SEEN_AT_ONCE, TRAY } from './tray-on-scale';

/** What the wool of the tray holds, g; and what it and all round it hold at most. */
export const RANGE_G = TRAY.capacityG - TRAY.dryG;
export const MOST_G = TRAY.capacityG + WEIGHT_LIMITS.overfillShare * RANGE_G;
/** Something on the scale is known no nearer, g. */
export const MATCH_G = WEIGHT_LIMITS.matchG;

/** A step at the start; nobody knows to what weight, unless that is said. */
export const step = (kind: StepKind, stepG: number, more: Partial<Step> = {}): Step => ({
  kind,
  stepG,
  afterG: Number.NaN,
  atMs: 0,
  ...more,
});

/** What a hand does at once to a tray of `waterG` with its water, an hour after the start, and nothing else on the scale. */
export const change = (stepG: number, waterG: number, more: Partial<Change> = {}): Change => ({
  ...SEEN_AT_ONCE,
  stepG,
  waterG,
  afterG: waterG + stepG,
  uptimeMs: HOUR_MS,
  ...more,
});

const g = (min: number, max: number) => fc.integer({ min, max });
const SIZES: Readonly<Record<StepKind, fc.Arbitrary<number>>> = {
  off: g(-1_500, -20),
  on: g(20, 1_500),
  tray: g(-5_000, -600),
  water: fc.oneof(g(20, 1_500), g(-600, -20)),
  gone: g(20, 1_500),
};
const mayBe = fc.constantFrom<true | undefined>(undefined, undefined, true);

/** Any step of such kinds, of a size that such a thing has. */
export const anyStepOf = (...kinds: readonly StepKind[]): fc.Arbitrary<Step> =>
  fc.constantFrom(...kinds).chain((kind) =>
    fc
      .record({
        stepG: SIZES[kind],
        afterG: fc.oneof(g(500, 6_000), fc.constant(Number.NaN)),
        atMs: fc.nat(HOUR_MS),
        flowed: mayBe,
        ranOff: mayBe,
      })
      .map(({ stepG, afterG, atMs, flowed, ranOff }) => ({
        ...{ kind, stepG, afterG, atMs },
        ...(kind === 'water' && stepG > 0 && flowed && { flowed }),
        ...(kind === 'water' && stepG > 0 && flowed && ranOff && { ranOff }),
      })),
  );

/** Any ledger of such steps, no longer than it may be. */
export const anyLedgerOf = (...kinds: readonly StepKind[]): fc.Arbitrary<Ledger> =>
  fc.array(anyStepOf(...kinds), { maxLength: WEIGHT_LIMITS.ledgerMax, size: 'max' });

/** Any ledger of a tray that stands there. */
export const anyLedger = anyLedgerOf('off', 'on', 'water', 'gone');

/** It stood in that ledger too, whatever the scale is told to have said after it. */
export const stoodIn = (ledger: Ledger, { kind, stepG, atMs }: Step): boolean =>
  ledger.some((one) => one.kind === kind && one.stepG === stepG && one.atMs === atMs);
