/** Why a broker cannot be used, in plain words and without secrets. */

import { hiding } from '../../keep/config/secret';
import { quoted, reasonOf } from '../../keep/doors/door';
import { DOOR_LIMITS } from '../../keep/limits';
import type { BrokerPlan } from '../plan';

/** `gone`: it may be there again later. `refused`: somebody has to do something. */
export class BrokerError extends Error {
  constructor(
    url: string,
    why: string,
    readonly kind: 'gone' | 'refused' = 'gone',
  ) {
    super(`The broker ${url} cannot be used. ${why}`);
    this.name = 'BrokerError';
  }

  static of({ url, login }: BrokerPlan, error: Error): BrokerError {
    if (error instanceof BrokerError) return error;
    const told = hiding([login?.password.reveal() ?? ''])(error.message);
    return new BrokerError(url, reasonOf(error) ?? `${quoted(told, DOOR_LIMITS.quoteChars)}.`);
  }
}

/** Reason codes (MQTT 5, 2.4) that somebody can do something about. */
const REFUSALS: Readonly<Record<number, string>> = {
  132: 'It does not speak MQTT 5: Mosquitto does from version 1.6 on.',
  133: 'It does not take this name: choose another one with --name.',
  134: 'It takes another user or password: see `login:` in the file.',
  135: 'It does not let this user in, or not to these topics: see its access list.',
  142: 'Another collector of the same name has taken over: give each a name of its own with --name.',
  151: 'It gives this user no more room.',
  158: 'It has no shared subscriptions: Mosquitto has, from version 1.6 on.',
};

/** Codes from here on are refusals. */
const LEAST_REFUSAL = 128;

/** What a reason code means; null for one that is none of refusal. */
export function refusalOf(url: string, code: number): BrokerError | null {
  if (!(code >= LEAST_REFUSAL)) return null;
  const why = REFUSALS[code];
  return why === undefined
    ? new BrokerError(url, `It refuses with reason code ${code} of MQTT 5.`)
    : new BrokerError(url, why, 'refused');
}
