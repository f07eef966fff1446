/** How broker and database fail a command. */
import { CommandError } from '../failure';
import { BrokerError } from './broker/refusal';
import { DatabaseError } from './database/connect';

/** Broker or database as the failure of a command. */
export function fleetFailure(error: unknown): unknown {
  if (error instanceof DatabaseError) {
    return new CommandError('failed', 'fleet-database', error.message, error.next, [], {
      cause: error,
    });
  }
  if (error instanceof BrokerError) {
    const next = 'See `broker:` in the file, and that the broker runs.';
    return new CommandError('failed', 'fleet-broker', error.message, next, [], { cause: error });
  }
  return error;
}

/** What `work` gives, or the failure of a command for what broker and database throw. */
export async function inPlainWords<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw fleetFailure(error);
  }
}
