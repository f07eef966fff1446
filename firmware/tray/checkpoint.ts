/**
 * The run state as it survives a power cut and an update: one settings value, little-endian, written at
 * each change and every few minutes.
 *
 * The first byte is the layout's version. Within a version the layout only grows at its end: a shorter
 * value is from an older firmware, and what it does not have stays as in `emptyRunState`; a longer one
 * is from a newer, and what this firmware does not know is left alone. So neither an update nor the way
 * back forgets a sown tray. Version 1 is the only one so far; another one is not taken.
 */
import { PROBE_NAMES, PROBES } from '../../shared/board/probes';
import { readF64, readU16, readU32, writeU16, writeU32 } from '../../shared/bytes';
import { NO_STAGE } from '../../shared/journal/kinds';
import { STEP_KINDS } from '../control/ledger';
import { WATER_LIMITS, WEIGHT_LIMITS } from '../limits';
import { emptyRunState, type KnownWeights, type RunState, type RunView } from './run-state';
import { sumDay } from './water-account';

const VERSION = 1;

type NumbersOf<Part> = {
  [Key in keyof Part]: Part[Key] extends number | boolean ? Key : never;
}[keyof Part];
type NumberField = {
  [Part in keyof RunState]: readonly [Part, NumbersOf<RunState[Part]>];
}[keyof RunState];

/** The plain numbers of the first layout, in the order they are stored. */
const FIRST_NUMBERS = [
  ['progress', 'stageRunMs'],
  ['service', 'totalRunMs'],
  ['service', 'unixMs'],
  ['weights', 'capacityG'],
  ['weights', 'dryG'],
  ['weights', 'shiftG'],
  ['weights', 'settledG'],
  ['dosing', 'pendingMl'],
  ['progress', 'transplantHoldMs'],
  ['weights', 'sinceSoakedMs'],
  ['account', 'stageMl'],
  ['account', 'usedMl'],
  ['account', 'pumpRunMs'],
  ['account', 'hourMs'],
] as const satisfies readonly NumberField[];

/** Numbers that came later and are of no probe, in the order they came, and what is so (1) or not (0). Append only. */
const OTHER_NUMBERS = [
  ['progress', 'sinceEmergedMs'],
  ['weights', 'growthGPerMs'],
  ['weights', 'plantsG'],
  ['dosing', 'opened'],
  ['proofs', 'pumpShare'],
  ['reservoir', 'filledMl'],
  ['reservoir', 'feedEc'],
  ['reservoir', 'plantsMl'],
  ['reservoir', 'plantsSaltsMg'],
  ['service', 'rootZoneC'],
  ['proofs', 'pumpScatter'],
  ['reservoir', 'eachMl'],
  ['reservoir', 'eachSaltsMg'],
  ['progress', 'pieces'],
  ['service', 'waterHeldMs'],
  ['reservoir', 'filledAtRunMs'],
  ['weights', 'handled'],
  ['weights', 'stepAfterG'],
  ['weights', 'stepAtRunMs'],
  ['watered', 'sinceByHandMs'],
  ['watered', 'drains'],
  ['service', 'outOfBandMs'],
  ['service', 'trendRoseK'],
  ['service', 'trendForMin'],
  ['weights', 'unweighedStarts'],
  ['weights', 'paidG'],
  ['weights', 'paidPlace'],
  ['weights', 'ownWater'],
  ['weights', 'hidesG'],
  ['weights', 'hidesAtRunMs'],
] as const satisfies readonly NumberField[];

/** All that came later: the number of each probe's curve stands where its row says. */
function laterNumbers(): readonly NumberField[] {
  const fields: NumberField[] = [...OTHER_NUMBERS];
  for (const name of PROBE_NAMES) {
    const { curve, curveNumberPlace } = PROBES[name];
    fields.splice(curveNumberPlace, 0, ['service', curve]);
  }
  return fields;
}
const LATER_NUMBERS = laterNumbers();

const FIRST_AT = 8;
const HOURS_AT = FIRST_AT + FIRST_NUMBERS.length * 8;
const FAULTS_AT = HOURS_AT + WATER_LIMITS.dayHours * 2;
const FAULTS_KEPT = emptyRunState().service.faultRestarts.length;
const ALARMS_AT = FAULTS_AT + FAULTS_KEPT * 8;
/** Room for alarms added later. */
const ALARM_BYTES = 48;
/** Open steps of the weight ledger: sizes, then kinds. The first layout ends before them. */
const STEPS_AT = ALARMS_AT + ALARM_BYTES;
const STEP_KINDS_AT = STEPS_AT + WEIGHT_LIMITS.ledgerMax * 8;
const LATER_AT = STEP_KINDS_AT + WEIGHT_LIMITS.ledgerMax;
/** Shortest value that is a checkpoint: the first layout. */
export const CHECKPOINT_MIN_BYTES = STEPS_AT;
/** Length of a packed checkpoint. */
export const CHECKPOINT_BYTES = LATER_AT + LATER_NUMBERS.length * 8;

const FLAG = { staying: 1, dryWeighed: 2, rescued: 4, secondSlot: 8 } as const;
/** Counts of two bits each, above the flags. */
const UNPROVED_SHIFT = 4;
const RAN_OFF_SHIFT = 6;
const COUNT_MASK = 3;

/** A part seen as the numbers it holds: the tables above name only such fields. */
function numbersOf(
  state: RunView,
  part: keyof RunState,
): Readonly<Record<string, number | boolean>> {
  return state[part] as unknown as Readonly<Record<string, number | boolean>>;
}

/** The same, to be filled. */
function writableNumbersOf(
  state: RunState,
  part: keyof RunState,
): Record<string, number | boolean> {
  return state[part] as unknown as Record<string, number | boolean>;
}

function unpackNumbers(
  fields: readonly NumberField[],
  bytes: Uint8Array,
  at: number,
  state: RunState,
): void {
  fields.forEach(([part, key], i) => {
    const offset = at + i * 8;
    if (offset + 8 > bytes.length) return;
    const numbers = writableNumbersOf(state, part);
    const read = readF64(bytes, offset);
    numbers[key] = typeof numbers[key] === 'boolean' ? read !== 0 : read;
  });
}

/** Doubles as they lie in memory: little-endian, as everywhere the firmware runs. */
class Row {
  readonly #numbers: Float64Array;
  readonly #bytes: Uint8Array;

  constructor(length: number) {
    this.#numbers = new Float64Array(length);
    this.#bytes = new Uint8Array(this.#numbers.buffer);
  }

  /** `fields` of `state` to `at`, as many as the row is long. */
  packFields(fields: readonly NumberField[], state: RunView, into: Uint8Array, at: number): void {
    const numbers = this.#numbers;
    fields.forEach(([part, key], i) => {
      numbers[i] = Number(numbersOf(state, part)[key] ?? Number.NaN);
    });
    into.set(this.#bytes, at);
  }

  /** `numbers` to `at`, as many as the row is long. */
  pack(numbers: ArrayLike<number>, into: Uint8Array, at: number): void {
    this.#numbers.set(numbers);
    into.set(this.#bytes, at);
  }
}

/** Packs one run state after the other. Its rows are made once: a checkpoint is part of the longest ticks. */
export class CheckpointPacker {
  readonly #first = new Row(FIRST_NUMBERS.length);
  readonly #faults = new Row(FAULTS_KEPT);
  readonly #steps = new Row(WEIGHT_LIMITS.ledgerMax);
  readonly #later = new Row(LATER_NUMBERS.length);

  /** Packs `state` into `into` (`CHECKPOINT_BYTES` long). */
  pack(state: RunView, into: Uint8Array): void {
    const { program, progress, weights, account, dosing, proofs, service } = state;
    into.fill(0);
    into[0] = VERSION;
    into[1] = progress.stage;
    into[2] =
      (progress.staying ? FLAG.staying : 0) |
      (weights.dryWeighed ? FLAG.dryWeighed : 0) |
      (dosing.rescued ? FLAG.rescued : 0) |
      (program.slot === 1 ? FLAG.secondSlot : 0) |
      (proofs.unproved << UNPROVED_SHIFT) |
      (proofs.ranOff << RAN_OFF_SHIFT);
    into[3] = account.hour;
    writeU32(into, 4, program.profileId);
    this.#first.packFields(FIRST_NUMBERS, state, into, FIRST_AT);
    // Rounded up: what was given is never forgotten, not even half a millilitre.
    const { hoursMl } = account;
    for (let i = 0; i < hoursMl.length; i++) {
      writeU16(into, HOURS_AT + i * 2, Math.min(0xffff, Math.ceil(hoursMl[i] ?? 0)));
    }
    this.#faults.pack(service.faultRestarts, into, FAULTS_AT);
    into.set(service.alarmStates, ALARMS_AT);
    this.#steps.pack(weights.stepsG, into, STEPS_AT);
    into.set(weights.stepKinds, STEP_KINDS_AT);
    this.#later.packFields(LATER_NUMBERS, state, into, LATER_AT);
  }
}

/** Unpacks into `state`; false, with `state` untouched, when the bytes do not check out. */
export function unpackCheckpoint(bytes: Uint8Array, state: RunState): boolean {
  const hour = bytes[3] ?? 0;
  const sound = bytes.length >= CHECKPOINT_MIN_BYTES && bytes[0] === VERSION;
  if (!sound || hour >= WATER_LIMITS.dayHours) return false;
  const { program, progress, weights, account, dosing, proofs, service } = state;
  const flags = bytes[2] ?? 0;
  progress.stage = bytes[1] ?? NO_STAGE;
  progress.staying = (flags & FLAG.staying) !== 0;
  weights.dryWeighed = (flags & FLAG.dryWeighed) !== 0;
  dosing.rescued = (flags & FLAG.rescued) !== 0;
  program.slot = (flags & FLAG.secondSlot) !== 0 ? 1 : 0;
  proofs.unproved = (flags >> UNPROVED_SHIFT) & COUNT_MASK;
  proofs.ranOff = (flags >> RAN_OFF_SHIFT) & COUNT_MASK;
  account.hour = hour;
  program.profileId = readU32(bytes, 4);
  unpackNumbers(FIRST_NUMBERS, bytes, FIRST_AT, state);
  for (let i = 0; i < account.hoursMl.length; i++) {
    account.hoursMl[i] = readU16(bytes, HOURS_AT + i * 2);
  }
  for (let i = 0; i < FAULTS_KEPT; i++) {
    service.faultRestarts[i] = readF64(bytes, FAULTS_AT + i * 8);
  }
  service.alarmStates.set(bytes.subarray(ALARMS_AT, ALARMS_AT + service.alarmStates.length));
  unpackSteps(bytes, weights);
  unpackNumbers(LATER_NUMBERS, bytes, LATER_AT, state);
  sumDay(account);
  return true;
}

/** A firmware without the ledger knew one sum of what was missing: it becomes one thing taken off. */
function unpackSteps(bytes: Uint8Array, weights: KnownWeights): void {
  const { stepsG, stepKinds } = weights;
  if (bytes.length < LATER_AT) {
    stepsG.fill(0);
    stepKinds.fill(STEP_KINDS.indexOf('off'));
    stepsG[0] = weights.shiftG;
    return;
  }
  for (let i = 0; i < stepsG.length; i++) stepsG[i] = readF64(bytes, STEPS_AT + i * 8);
  stepKinds.set(bytes.subarray(STEP_KINDS_AT, STEP_KINDS_AT + stepKinds.length));
}
