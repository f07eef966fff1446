/** What a fleet's file asks for, read and found whole. */
import type { Secret } from '../keep/config/secret';

export interface Login {
  readonly user: string;
  readonly password: Secret;
}

export interface BrokerPlan {
  readonly url: string;
  readonly login: Login | null;
  /** Certificate of an authority that is trusted besides the usual ones, PEM. */
  readonly ca: string | null;
}

/** Who works in the database: `owner` changes tables, `collector` adds entries, `reader` reads. */
export const DATABASE_ROLES = ['owner', 'collector', 'reader'] as const;
export type DatabaseRole = (typeof DATABASE_ROLES)[number];

export interface DatabasePlan {
  /** A name, an address, or the folder of a socket. */
  readonly host: string;
  readonly port: number;
  readonly name: string;
  readonly ca: string | null;
  /** By role; null for those that this computer has no login of. A password is null where the server asks for none. */
  readonly logins: Readonly<
    Record<DatabaseRole, { readonly user: string; readonly password: Secret | null } | null>
  >;
}

export interface FleetPlan {
  /** Absolute path of the file. */
  readonly file: string;
  /** Topic that all of the fleet's begin with. */
  readonly topic: string;
  /** Collectors of one group divide the load. */
  readonly group: string;
  readonly broker: BrokerPlan;
  readonly database: DatabasePlan;
}
