/** One run of the pump by the grower's hand, from its begin to its end. */
import type { Context } from '../context';
import { failed } from '../failure';
import type { Client } from '../link/client';

const POLL_MS = 500;
/** A run that goes on for so long after its time, with the reply on a slow line, is not going to end. */
const LATE_MS = 20_000;

export const PUMP_CAUTION =
  'Water will flow. Keep it away from mains plugs and supplies, and stay beside the tray until it stops.';

/** Runs the pump and waits until it stands. Returns how long it ran, ms. */
export async function runPump(
  context: Context,
  client: Client,
  seconds: number,
  reason: 'prime' | 'calibrate',
): Promise<number> {
  const ms = Math.round(seconds * 1000);
  context.atEnd(async () => {
    // However the command ends, the pump must not go on without somebody watching.
    if ((await client.call('pump.state', {})).running) await client.call('pump.stop', {});
  });
  await client.call('pump.run', { ms, reason });
  const pollsMax = (seconds * 1000 + LATE_MS) / POLL_MS;
  for (let poll = 0; poll < pollsMax; poll++) {
    await context.world.sleep(POLL_MS);
    const state = await client.call('pump.state', {});
    if (!state.running) return state.ranMs;
  }
  await client.call('pump.stop', {});
  throw failed(
    'pump-late',
    'The pump did not stop in time and was stopped.',
    'See `trayward status`.',
  );
}
