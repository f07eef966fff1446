/** The steps of `board check`, in their order, and how each is done. */
import { seenWithin, type Trial } from './bench';
import { type Finding, STEP_NAMES, type StepName } from './finding';
import { tryController, tryFlash, tryHand, tryIce, tryProbes, tryScale } from './inputs';
import { tryMat, tryPump, trySignals } from './outputs';

interface Step {
  readonly title: string;
  readonly tries: (trial: Trial) => Promise<Finding[]>;
}

export const STEPS: Readonly<Record<StepName, Step>> = {
  controller: { title: 'Controller', tries: tryController },
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

/** Does those of `wanted`, in the order of the check, whatever the ones before came to. */
export async function tryAll(trial: Trial, wanted: readonly StepName[]): Promise<Finding[]> {
  const found: Finding[] = [];
  await seenWithin(trial, FIRST_READINGS_MS, async () =>
    (await trial.client.call('status.read', {})).uptimeMs > FIRST_READINGS_MS ? true : null,
  );
  for (const step of STEP_NAMES.filter((name) => wanted.includes(name))) {
    trial.context.say(`${STEPS[step].title} ...`);
    found.push(...(await STEPS[step].tries(trial)));
  }
  return found;
}
