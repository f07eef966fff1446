/** An order from afar carried to a tray. None switches an output. */
import { ADVICE } from '../../../shared/alarms/advice';
import { type Client, LinkError } from '../../link/client';
import { mendAlarm } from '../../link/mend';
import type { TrayWatch } from '../tray/watch';
import type { Order } from './sparkplug/orders';

/** What became of it, in words. Never throws. */
export async function obey(watch: Pick<TrayWatch, 'act'>, order: Order): Promise<string> {
  try {
    return await watch.act((client) => carryOut(client, order));
  } catch (error) {
    // A mistake of ours must not end the keeping of trays: it is told like any other failure.
    const why =
      error instanceof LinkError
        ? error.message
        : `Something went wrong inside the program (${Object(error).message}).`;
    return `Not done: ${nameOf(order)}. ${why}`;
  }
}

const nameOf = (order: Order): string =>
  order.kind === 'mark' ? `mark ${order.mark}` : `${order.kind} ${order.alarm}`;

async function carryOut(client: Client, order: Order): Promise<string> {
  const { kind } = order;
  if (kind === 'mark') {
    await client.call('mark.set', { mark: order.mark });
    return `Marked ${order.mark}.`;
  }
  const { title } = ADVICE[order.alarm];
  if (kind === 'seen') {
    await client.call('alarm.accept', { alarm: order.alarm });
    return `Seen: ${title}.`;
  }
  const { mended } = await mendAlarm(client, order.alarm);
  return mended
    ? `Mended: ${title}.`
    : `Not mended: the cause of "${title}" is still there, or has not been gone for a minute. It counts as seen.`;
}
