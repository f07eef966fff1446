/** Whatever was thrown, as the failure of a command: from the link, from files, or our own mistake. */
import type { UnitSystem } from '../shared/units';
import { CommandError, type FailureKind, fileCodeOf, fileFailure } from './failure';
import { LinkError, type LinkErrorKind } from './link/client';
import { nextStep } from './words/next-steps';

interface LinkFailure {
  readonly kind: FailureKind;
  readonly next: string;
}

/** How each failure of the link ends a command. */
export const LINK_FAILURES: Readonly<Record<LinkErrorKind, LinkFailure>> = {
  refused: { kind: 'refused', next: nextStep(null) },
  busy: {
    kind: 'refused',
    next: 'Wait until it has finished (`trayward status`), then try again.',
  },
  restarted: {
    kind: 'failed',
    next: 'Look at `trayward status`; if all is well, run the command again.',
  },
  lost: { kind: 'failed', next: 'Check the cable and the power, then run the command again.' },
  silent: {
    kind: 'no-controller',
    next: 'Check the cable and the power, and that the port is the right one (`trayward find`).',
  },
  'not-ours': {
    kind: 'no-controller',
    next: 'Run `trayward find` and give the right port with --port.',
  },
  absent: {
    kind: 'no-controller',
    next: 'Check the cable, then run `trayward find` to see the ports that answer.',
  },
  'no-address': { kind: 'usage', next: 'Run `trayward find` to see the ports that answer.' },
  'in-use': {
    kind: 'no-controller',
    next: 'Close the other program (a second `trayward watch`?), then try again.',
  },
  denied: {
    kind: 'no-controller',
    next: 'Get the right to use serial ports as said above, log in anew, then try again.',
  },
  protocol: {
    kind: 'failed',
    next: 'Controller and laptop may differ in version: compare `trayward find` and `trayward --version`.',
  },
};

/** A line that fails before a controller has answered is one where none was reached, and the other way round. */
function shownKind(link: LinkErrorKind, kind: FailureKind, reached: boolean): FailureKind {
  if (kind === 'no-controller') return reached ? 'failed' : kind;
  return link === 'lost' && !reached ? 'no-controller' : kind;
}

/**
 * Turns whatever was thrown into a failure a grower can act on. `reached`: a controller had answered.
 * Quantities are told in `units`.
 */
export function asFailure(
  error: unknown,
  reached: boolean,
  units: UnitSystem = 'metric',
): CommandError {
  if (error instanceof CommandError) return error;
  if (error instanceof LinkError) {
    const { kind, next } = LINK_FAILURES[error.kind];
    const shown = shownKind(error.kind, kind, reached);
    const then = error.kind === 'refused' ? nextStep(error.reason) : next;
    return new CommandError(shown, error.reason ?? error.kind, error.messageIn(units), then, [], {
      cause: error,
    });
  }
  // What Node says of a path with a character of code zero in it.
  if (Object(error).code === 'ERR_INVALID_ARG_VALUE') {
    const what = 'That is no path: it has a character of code zero in it.';
    return new CommandError('invalid', 'no-such-path', what, 'Check the path.', [], {
      cause: error,
    });
  }
  const fileCode = error instanceof Error ? fileCodeOf(error) : null;
  if (fileCode !== null && error instanceof Error) return fileFailure(error, fileCode);
  return new CommandError(
    'internal',
    'internal',
    `Something went wrong inside the program: ${error instanceof Error ? error.message : String(error)}`,
    'Nothing more was sent to the controller. Run it again with TRAYWARD_DEBUG=1 to see where.',
    [],
    { cause: error },
  );
}
