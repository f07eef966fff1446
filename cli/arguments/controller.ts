/** A controller by its id, as `trayward find` shows it. */
import { usage } from '../failure';
import { type Reader, shortened } from './options';

/** The id of a controller: sixteen hex digits; null when it was not given. Refuses anything else. */
export const controllerId: Reader<string | null> = (typed, flag) => {
  if (typeof typed !== 'string') return null;
  if (CONTROLLER_ID.test(typed)) return typed;
  throw usage(
    `${flag} ${shortened(typed)} is no controller.`,
    'Give its sixteen hex digits: `trayward find` shows them.',
    'not-a-controller',
  );
};
export const CONTROLLER_ID = /^[0-9a-f]{16}$/;
