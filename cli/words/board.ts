/** What the board says of itself, in a grower's words. A new word without a sentence does not compile. */
import { FLASH_START } from '../../shared/board/map';
import {
  ENGINE_ABORT,
  ERROR_KINDS,
  FAULT,
  FAULT_DETAIL,
  FAULT_SOURCE_STEP,
  INVARIANT_DETAIL,
  INVARIANTS,
  type Invariant,
  OUTPUT,
  REQUEST_DETAIL,
  RESET_CAUSES,
  type ResetCause,
} from '../../shared/board/words';

const CAUSES: Readonly<Record<ResetCause, string>> = {
  'power-on': 'power came on',
  request: 'restarted on request',
  watchdog: 'restarted by the watchdog',
  'brown-out': 'restarted after low supply voltage',
  fault: 'restarted after a fault',
  exception: 'restarted after an error in the program',
  abort: 'restarted after an abort of the engine',
};

/** What did not hold, as a programmer is told it: the grower passes it on. */
const BROKEN: Readonly<Record<Invariant, string>> = {
  'charged-before-lease': 'a dose was about to be pumped before it was charged',
  'dose-within-caps': 'a dose was about to be charged beyond its caps',
  'dry-below-soaked': 'a dry tray was to weigh no less than a soaked one',
  'stage-of-profile': 'a stage was to begin that the profile does not have',
  'band-in-order': 'the low edge of the band was not below its high edge',
  'journal-one-by-one': 'the numbers of the journal did not rise one by one',
  'account-not-negative': 'an hour had less than no water',
  'probe-of-list': 'a probe was calibrated that the board does not have',
};

function invariantText(detail: number): string | undefined {
  const invariant = INVARIANTS[detail - INVARIANT_DETAIL];
  return invariant && BROKEN[invariant];
}

/** What is said of the name that has this code; undefined for a code that none has. */
function wordsOfCode<Name extends string>(
  codes: Readonly<Record<Name, number>>,
  words: Readonly<Record<Name, string>>,
  code: number,
): string | undefined {
  for (const name in codes) if (codes[name] === code) return words[name];
  return undefined;
}

const TOO_DEEP = 'the program went too deep for its memory';

/** Why the engine gave up (`firmware/runtime/README.md`). */
const GIVEN_UP: Readonly<Record<keyof typeof ENGINE_ABORT, string>> = {
  notEnoughMemory: 'its memory was full',
  stackOverflow: TOO_DEEP,
  tooMuchComputation: 'the program did not come to an end in time',
  unhandledRejection: 'the program waited for something, which it must not',
};

const DETAILS: Readonly<Record<keyof typeof FAULT_DETAIL, string>> = {
  stackOverflow: TOO_DEEP,
  unexpectedInterrupt: 'a part of the chip spoke up that nobody asked',
  noMemoryForEngine: 'there was no memory left for the program to start in',
  clockUnsteady: 'the crystal that all times go by stood still, or went too fast or too slow',
};

function faultDetail(detail: number): string {
  // All code lies in flash: smaller numbers are details.
  if (detail >= FLASH_START) return `at instruction 0x${detail.toString(16)}`;
  const words = wordsOfCode(FAULT_DETAIL, DETAILS, detail % FAULT_SOURCE_STEP);
  if (words === undefined) return `number ${detail}`;
  const source = Math.floor(detail / FAULT_SOURCE_STEP);
  return source === 0 ? words : `${words}, number ${source}`;
}

const REQUESTS: Readonly<Record<keyof typeof REQUEST_DETAIL, string>> = {
  bootDrive: 'its boot drive had taken an image',
};

function detailText(cause: ResetCause, detail: number): string {
  const unknown = `number ${detail}`;
  switch (cause) {
    case 'fault':
      return faultDetail(detail);
    case 'request':
      return wordsOfCode(REQUEST_DETAIL, REQUESTS, detail) ?? unknown;
    case 'exception':
      return ERROR_KINDS[detail - 1] ?? invariantText(detail) ?? unknown;
    case 'abort':
      return wordsOfCode(ENGINE_ABORT, GIVEN_UP, detail) ?? unknown;
    default:
      return unknown;
  }
}

/** Why the board started: `cause` by its place in `RESET_CAUSES`, with the number recorded beside it. */
export function startText(cause: number, detail: number): string {
  const word = RESET_CAUSES[cause];
  if (word === undefined) return `unknown cause, number ${cause}`;
  return detail === 0 ? CAUSES[word] : `${CAUSES[word]} (${detailText(word, detail)})`;
}

const FAULTS: Readonly<Record<keyof typeof FAULT, string>> = {
  runStateLost:
    'What was kept of the run could not be read after a start: stage, water given and alarms begin anew',
  curveLost:
    'What was told of a probe could not be read after a start, so that it gives no temperature and the mat stays off',
  linkHandler: 'A command from the laptop ended in an error inside the controller',
};

const FAULT_NAMES = Object.keys(FAULT) as readonly (keyof typeof FAULT)[];

/** What a `fault` entry means; its numbers are for a programmer. */
export function faultText(code: number, detail: number): string {
  const name = FAULT_NAMES.find((one) => FAULT[one] === code);
  const broken = code === FAULT.linkHandler ? invariantText(detail) : undefined;
  const numbers = detail === 0 ? '' : ` (${broken ?? `detail ${detail}`})`;
  if (name === undefined) return `A fault this program does not know, number ${code}${numbers}.`;
  return `${FAULTS[name]}${numbers}.`;
}

/** Null: an alarm tells when it is not as it should be. */
const OUTPUTS: Readonly<Record<keyof typeof OUTPUT, string | null>> = {
  matOn: 'mat on',
  pumpOn: 'pump on',
  limiterRootZone: 'the limiter keeps the mat off because of the root-zone probe',
  limiterMat: 'the limiter keeps the mat off because of the mat probe',
  pumpHourSpent: 'the pump has run as long as it may in this hour',
  loadsLive: null,
};

const OUTPUT_NAMES = Object.keys(OUTPUT) as readonly (keyof typeof OUTPUT)[];

/** What the outputs did at a reading, by the bits of `OUTPUT`; empty when nothing was on or held. */
export const outputsText = (bits: number): string =>
  OUTPUT_NAMES.filter((name) => (bits & OUTPUT[name]) !== 0)
    .map((name) => OUTPUTS[name])
    .filter((words) => words !== null)
    .join(', ');
