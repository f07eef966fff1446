/** Connects with the waiting times that the grower's line needs. */

import { plainNumber } from '../arguments/quantity';
import { usage } from '../failure';
import type { Client } from './client';
import { connect } from './connect';
import { LINK_TIMING, PATIENCE, withPatience } from './limits';

/**
 * A client on `port`, waiting `text` times as long as usual, `text` being what TRAYWARD_PATIENCE says.
 * Throws `LinkError`; `CommandError` `usage` when it says no such number.
 */
export async function connectPatiently(
  port: string,
  text: string,
  elapsedMs: () => number,
): Promise<Client> {
  const times = plainNumber(text);
  if (!(times >= PATIENCE.min && times <= PATIENCE.max)) {
    throw usage(
      `TRAYWARD_PATIENCE=${text} is no number from ${PATIENCE.min} to ${PATIENCE.max}.`,
      'Set it to how many times as long as usual to wait for the controller, or leave it away.',
    );
  }
  return connect(port, { timing: withPatience(LINK_TIMING, times), elapsedMs });
}
