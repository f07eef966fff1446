/** What a command sees of the link: typed calls, and errors that say what happened. */

import type { Hello, MethodName, Params, Result } from '../../shared/link/methods';
import type { UnitSystem } from '../../shared/units';

/** Parameters as a command gives them: the client adds the token itself. */
export type CallParams<M extends MethodName> = Omit<Params<M>, 'token'>;

export interface Client {
  readonly hello: Hello;
  /** Where it is connected, as the grower would write it after `--port`. */
  readonly port: string;
  /**
   * Calls a method; repeats it by itself when the reply is lost or damaged, which the token makes
   * safe. Throws `LinkError`.
   */
  call<M extends MethodName>(method: M, params: CallParams<M>): Promise<Result<M>>;
  close(): Promise<void>;
}

/**
 * Why a call or a connection failed. `refused`/`busy`: the board said no, and `message` is its
 * sentence. `restarted`: the board began a new boot meanwhile. `lost`: the line went away.
 * `silent`: no reply in time. `not-ours`: something answered that is no controller of ours.
 * `absent`: no such port. `no-address`: what was given cannot be one. `in-use`: another program holds it. `denied`: this user may not open it.
 */
export type LinkErrorKind =
  | 'refused'
  | 'busy'
  | 'restarted'
  | 'lost'
  | 'silent'
  | 'not-ours'
  | 'absent'
  | 'no-address'
  | 'in-use'
  | 'denied'
  | 'protocol';

export class LinkError extends Error {
  constructor(
    readonly kind: LinkErrorKind,
    message: string,
    /** Stable word for programs, for `refused` and `busy`. */
    readonly reason: string | null = null,
    /** `message` with its quantities in the grower's units. */
    readonly messageIn: (units: UnitSystem) => string = () => message,
  ) {
    super(message);
    this.name = 'LinkError';
  }
}
