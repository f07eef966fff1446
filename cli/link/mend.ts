/** An alarm of which somebody says that its cause is mended. */
import type { AlarmName } from '../../shared/alarms/catalogue';
import type { AlarmReport } from '../../shared/link/status';
import type { Client } from './client';

/** Seen, and taken back where it latches: one act. Not `mended` where its cause is still there; then it counts as seen. */
export async function mendAlarm(
  client: Client,
  alarm: AlarmName,
): Promise<{ readonly mended: boolean; readonly report: AlarmReport }> {
  const seen = await client.call('alarm.accept', { alarm });
  if (seen.state === 'accepted') return { mended: false, report: seen };
  if (seen.state === 'normal') return { mended: true, report: seen };
  return { mended: true, report: await client.call('alarm.clear', { alarm }) };
}
