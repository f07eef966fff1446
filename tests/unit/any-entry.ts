/** Arbitrary journal entries, for property tests: every kind, any value that its 32 bytes can hold. */
import fc from 'fast-check';
import { ALARM_CHANGES, ALARM_NAMES } from '../../shared/alarms/catalogue';
import { PROBE_NAMES, PROBES, probeFields } from '../../shared/board/probes';
import {
  DOSE_REASONS,
  DOSE_VERDICTS,
  type EntryHead,
  type JournalBody,
  type JournalKind,
  PROFILE_ACTIONS,
  STAGE_REASONS,
} from '../../shared/journal/kinds';
import { notePieces } from '../../shared/journal/notes';
import { MARKS } from '../../shared/profile/profile';

const u8 = fc.nat(255);
const u32 = fc.integer({ min: 0, max: 0xffff_ffff });
const yesNo = fc.boolean();
const orNone = (values: fc.Arbitrary<number>) =>
  fc.oneof({ weight: 5, arbitrary: values }, { weight: 1, arbitrary: fc.constant(Number.NaN) });
/** Numbers on the steps that an entry keeps: whole codes over `scale`. */
const steps = (low: number, high: number, scale: number) =>
  orNone(fc.integer({ min: low, max: high }).map((code) => code / scale));
const celsius = steps(-32_767, 32_767, 100);
const grams = steps(-0x7fff_ffff, 0x7fff_ffff, 10);
const share = steps(-32_767, 32_767, 10_000);
const float = fc.float();
const double = fc.double();
/** What fits one entry: no 0, and no character cut in two. */
const notePiece = fc
  .string({ unit: 'grapheme', maxLength: 20 })
  .map((text) => notePieces(text.replaceAll('\0', ''))[0] ?? '');

const reading = {
  ...probeFields('celsius', (name) => {
    const { type, scale } = PROBES[name].reading;
    return steps(type.low, type.high, scale);
  }),
  trayG: grams,
  dryBackShare: share,
  matDutyShare: share,
  outputs: u8,
  stage: u8,
  spreadG: steps(0, 0xfffe, 50),
};

type Bodies = {
  readonly [Kind in JournalKind]: fc.Arbitrary<JournalBody & { readonly kind: Kind }>;
};
const kind = <const K extends string>(name: K) => fc.constant(name);

/** One for each kind. The type forgets none. */
export const BODIES: Bodies = {
  boot: fc.record({
    kind: kind('boot'),
    cause: u8,
    detail: u32,
    firmware: u32,
    profileId: u32,
    faultRestarts: u8,
  }),
  clock: fc.record({ kind: kind('clock'), unixMs: double, outageS: u32 }),
  reading: fc.record({ kind: kind('reading'), ...reading }),
  trace: fc.record({ kind: kind('trace'), ...reading }),
  stage: fc.record({
    kind: kind('stage'),
    from: u8,
    to: u8,
    reason: fc.constantFrom(...STAGE_REASONS),
    ranS: u32,
    waterMl: float,
  }),
  mark: fc.record({
    kind: kind('mark'),
    mark: fc.constantFrom(...MARKS),
    stage: u8,
    trayG: grams,
    rootZoneC: celsius,
    pieces: u32,
  }),
  dose: fc.record({
    kind: kind('dose'),
    reason: fc.constantFrom(...DOSE_REASONS),
    verdict: fc.constantFrom(...DOSE_VERDICTS),
    stage: u8,
    plannedMl: steps(0, 0xfffe, 10),
    ranMs: u32,
    beforeG: grams,
    gainedG: grams,
  }),
  alarm: fc.record({
    kind: kind('alarm'),
    alarm: fc.constantFrom(...ALARM_NAMES),
    change: fc.constantFrom(...ALARM_CHANGES),
    stage: u8,
    value: float,
    limit: float,
    forS: u32,
  }),
  handling: fc.record({ kind: kind('handling'), over: yesNo, beforeG: grams, afterG: grams }),
  capacity: fc.record({
    kind: kind('capacity'),
    capacityG: grams,
    dryG: grams,
    dryWeighed: yesNo,
  }),
  calibration: fc.oneof(
    fc.record({
      kind: kind('calibration'),
      restored: yesNo,
      target: fc.constantFrom('scale', 'scale-zero'),
      zeroCode: float,
      countsPerG: float,
      uncertaintyG: float,
    }),
    fc.record({
      kind: kind('calibration'),
      restored: yesNo,
      target: fc.constantFrom('probe', 'mat-probe'),
      offsetK: float,
    }),
    fc.record({
      kind: kind('calibration'),
      restored: yesNo,
      target: kind('pump'),
      mlPerS: float,
      cvPercent: float,
      previousMlPerS: float,
    }),
  ),
  refill: fc.record({ kind: kind('refill'), volumeMl: float, feedEc: float }),
  profile: fc.record({
    kind: kind('profile'),
    action: fc.constantFrom(...PROFILE_ACTIONS),
    slot: u8,
    profileId: u32,
    stageBefore: u8,
    stageAfter: u8,
  }),
  fault: fc.record({ kind: kind('fault'), code: double, detail: double }),
  note: fc.record({ kind: kind('note'), more: u8, text: notePiece }),
  'boot-drive': fc.record({ kind: kind('boot-drive') }),
  curve: fc.record({
    kind: kind('curve'),
    probe: fc.constantFrom(...PROBE_NAMES),
    at0Ohm: float,
    at25Ohm: float,
    at50Ohm: float,
  }),
  count: fc.record({ kind: kind('count'), stage: u8, standing: u32, of: u32 }),
};
export const anyBody: fc.Arbitrary<JournalBody> = fc.oneof(...Object.values(BODIES));
export const anyHead: fc.Arbitrary<EntryHead> = fc.record({
  sequence: fc.integer({ min: 1, max: 0xffff_fffe }),
  boot: fc.nat(0xffff),
  uptimeMs: u32.map((steps100) => steps100 * 100),
});
