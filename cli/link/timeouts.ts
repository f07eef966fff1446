/** Connects with the waiting times that the grower's line needs. */

import { plainNumber } from '../arguments/quantity';
import { usage } from '../failure';
import type { Client } from './client';
import { connect } from './connect';
import { LINK_TIMING, scaledTiming, TIMEOUT_FACTOR } from './limits';

/**
 * A client on `port`, waiting `text` times as long as usual, `text` being what TRAYWARD_TIMEOUT_FACTOR says.
 * Throws `LinkError`; `CommandError` `usage` when it says no such number.
 */
export async function connectWithFactor(
  port: string,
  text: string,
  elapsedMs: () => number,
): Promise<Client> {
  const times = plainNumber(text);
  if (!(times >= TIMEOUT_FACTOR.min && times <= TIMEOUT_FACTOR.max)) {
    throw usage(
      `TRAYWARD_TIMEOUT_FACTOR=${text} is no number from ${TIMEOUT_FACTOR.min} to ${TIMEOUT_FACTOR.max}.`,
      'Set it to how many times as long as usual to wait for the controller, or leave it away.',
    );
  }
  return connect(port, { timing: scaledTiming(LINK_TIMING, times), elapsedMs });
}
