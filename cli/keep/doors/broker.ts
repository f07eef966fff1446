/** Why a broker cannot be used, in plain words. */
import { DOOR_LIMITS } from '../limits';
import { DoorError, quoted, reasonOf } from './door';

/** The words of the library for a broker that knows the keeper, or does not, and wants none of it. */
const REFUSED = /not authori[sz]ed|bad user|identifier (rejected|not valid)|banned/i;

/** `hide` takes the password out of what a broker says. */
export function brokerFailure(
  url: string,
  error: unknown,
  hide: (text: string) => string,
): DoorError {
  const told = error instanceof Error ? quoted(hide(error.message), DOOR_LIMITS.quoteChars) : '';
  const why = REFUSED.test(told)
    ? `It does not let the keeper in: ${told}.`
    : (reasonOf(error) ?? told);
  return new DoorError('door', `The broker ${url} cannot be used. ${why}`);
}
