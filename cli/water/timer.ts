/** The guided soak: one step after the other, and a clock for the one that takes time. */
import type { Soak } from '../../shared/physics/soak';
import { formatQuantity } from '../../shared/units';
import type { Context } from '../context';
import { soakSteps } from '../words/soak';

/** Often enough for a bar that is looked at. */
const EVERY_MS = 1_000;

/** Waits for `seconds` by the laptop's clock, and shows them go by; ends early at Ctrl-C. */
async function wait(context: Context, label: string, seconds: number): Promise<void> {
  const { world } = context;
  const beganMs = world.now();
  const progress = await context.progress(label, seconds);
  for (;;) {
    const goneS = Math.floor((world.now() - beganMs) / 1000);
    progress.update(Math.min(seconds, goneS));
    if (goneS >= seconds || world.interrupt.aborted) break;
    await world.pause(EVERY_MS);
  }
  progress.stop();
}

/** Goes through the steps of a soak with somebody at the terminal. */
export async function countDown(context: Context, soak: Soak): Promise<void> {
  const { ask, units } = context;
  const [bath = '', lay = '', ...after] = soakSteps(soak, units);
  await ask.pause(bath);
  await ask.pause(lay);
  await wait(context, 'Soaking', soak.fromS);
  if (context.world.interrupt.aborted) return;
  const spare = soak.toS - soak.fromS;
  const late = spare > 0 ? ` within ${formatQuantity('duration', spare, units)}` : '';
  context.instruct(soak.form === 'slab' ? 'Time is up.' : `Now: out with them${late}.`);
  for (const step of after.slice(0, -1)) await ask.pause(step);
  // Nothing comes after it that would have to wait.
  context.instruct(after.at(-1) ?? '');
}
