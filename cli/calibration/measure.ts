/** The scale as several commands need it: its calibration, and a measurement asked for and awaited. */
import type { ScaleCalibration, ScaleMeasurement } from '../../shared/link/methods';
import type { Context } from '../context';
import { failed, refused } from '../failure';
import type { Client } from '../link/client';

const POLL_MS = 500;
/** Polls without a new code before the scale counts as stuck: the board itself says silent at 10 s. */
const STUCK_POLLS = 60;

/** The scale's calibration in use. Refused, for the reason `why`, when it has none. */
export async function scaleInUse(client: Client, why: string): Promise<ScaleCalibration> {
  const [inUse] = (await client.call('scale.history', {})).calibrations;
  if (inUse !== undefined) return inUse;
  throw refused('scale-uncalibrated', why, 'Do `trayward scale calibrate` first.');
}

/** Mean of `samples` codes. Comes back early, and not `done`, when the scale is silent. */
export async function measureScale(
  context: Context,
  client: Client,
  samples: number,
  label: string,
): Promise<ScaleMeasurement> {
  await client.call('scale.measure', { samples });
  const progress = await context.progress(label, samples);
  try {
    let last = -1;
    for (let stuck = 0; stuck < STUCK_POLLS; stuck++) {
      const measured = await client.call('scale.measured', {});
      progress.update(measured.samples);
      if (measured.done || measured.silent || measured.saturated) return measured;
      if (measured.samples !== last) stuck = 0;
      last = measured.samples;
      await context.world.sleep(POLL_MS);
    }
  } finally {
    progress.stop();
  }
  throw failed(
    'scale-stuck',
    'The scale gives no new readings.',
    'Check the scale cable, then start again. Nothing was changed.',
  );
}
