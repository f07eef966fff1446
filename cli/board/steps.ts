/** The steps of `board check`, in their order, and how each is done. */
import type { MethodName } from '../../shared/link/methods';
import { takesToken } from '../../shared/link/params';
import { asFailure } from '../as-failure';
import { CommandError } from '../failure';
import { type CallParams, type Client, LinkError } from '../link/client';
import { Stopped, seenWithin, type Trial } from './bench';
import { tryDoors } from './doors';
import { type Finding, STEP_NAMES, type StepName, untried, wrong } from './finding';
import { tryController, tryFlash, tryHand, tryIce, tryProbes, tryScale } from './inputs';
import { tryMat, tryPump, trySignals } from './outputs';

interface Step {
  readonly title: string;
  readonly tries: (trial: Trial) => Promise<Finding[]>;
}

export const STEPS: Readonly<Record<StepName, Step>> = {
  controller: { title: 'Controller', tries: tryController },
  doors: { title: 'Both doors', tries: tryDoors },
  flash: { title: 'Flash', tries: tryFlash },
  probes: { title: 'Probes', tries: tryProbes },
  hand: { title: 'Probes in hand', tries: tryHand },
  scale: { title: 'Scale', tries: tryScale },
  pump: { title: 'Pump', tries: tryPump },
  mat: { title: 'Mat', tries: tryMat },
  ice: { title: 'Probe in ice', tries: tryIce },
  signals: { title: 'Lamp, sounder', tries: trySignals },
};

/** A board that has just started has no readings yet, and is judged by none. */
const FIRST_READINGS_MS = 20_000;

/** What was found, and why it ended before its last step; null: it did not. */
export interface Tried {
  readonly findings: readonly Finding[];
  readonly end: Stopped | LinkError | CommandError | null;
}

const isEnd = (error: unknown): error is NonNullable<Tried['end']> =>
  error instanceof Stopped || error instanceof LinkError || error instanceof CommandError;

/** What lets go of an output, or switches none. */
function isHarmless<M extends MethodName>(method: M, params: CallParams<M>): boolean {
  const letsGo = method === 'pump.stop' || (method === 'mat.run' && Object(params).ms === 0);
  return letsGo || !takesToken(method);
}

/** The controller, for as long as the check goes on: a step that was left behind switches nothing any more. */
function leased(client: Client, isOver: () => boolean): Client {
  return {
    ...client,
    call: (method, params) =>
      isOver() && !isHarmless(method, params)
        ? Promise.reject(new Stopped())
        : client.call(method, params),
  };
}

const notDone = (step: StepName, at: number, end: NonNullable<Tried['end']>): Finding =>
  untried(
    step,
    at > 0
      ? 'Not done: the check was stopped before.'
      : `Not finished: ${end instanceof Stopped ? 'the check was stopped.' : asFailure(end, true).message}`,
    `Do it again: trayward board check --only ${step}`,
  );

/** Of the step itself, and not of the line or of a person: what the board refuses there, or a measurement that fails. */
const isOfStep = (error: unknown): error is LinkError | CommandError =>
  error instanceof LinkError
    ? error.kind === 'refused'
    : error instanceof CommandError && error.kind === 'failed';

/** What a step came to. What stopped it is a finding, and no reason to leave out those after it. */
async function foundAt(step: StepName, trial: Trial): Promise<readonly Finding[]> {
  try {
    return await STEPS[step].tries(trial);
  } catch (error) {
    if (!isOfStep(error)) throw error;
    const { message, next } = asFailure(error, true, trial.units);
    return [wrong(step, message, next)];
  }
}

/**
 * Does those of `wanted`, in the order of the check, whatever the ones before came to; until somebody `interrupts`, or the
 * line is lost: what was found till then is kept.
 */
export async function tryAll(
  { client, ...rest }: Trial,
  wanted: readonly StepName[],
  interrupts: Promise<void>,
): Promise<Tried> {
  let isOver = false;
  const interrupted = interrupts.then(() => {
    isOver = true;
    throw new Stopped();
  });
  const trial: Trial = { ...rest, client: leased(client, () => isOver) };
  const steps = STEP_NAMES.filter((name) => wanted.includes(name));
  const found: Finding[] = [];
  let done = 0;
  try {
    await Promise.race([firstReadings(trial), interrupted]);
    for (const step of steps) {
      trial.context.say(`${STEPS[step].title} ...`);
      found.push(...(await Promise.race([foundAt(step, trial), interrupted])));
      done += 1;
    }
    return { findings: found, end: null };
  } catch (error) {
    isOver = true;
    if (!isEnd(error)) throw error;
    return {
      findings: [...found, ...steps.slice(done).map((step, at) => notDone(step, at, error))],
      end: error,
    };
  }
}

const firstReadings = (trial: Trial): Promise<true | null> =>
  seenWithin(trial, FIRST_READINGS_MS, async () =>
    (await trial.client.call('status.read', {})).uptimeMs > FIRST_READINGS_MS ? true : null,
  );
