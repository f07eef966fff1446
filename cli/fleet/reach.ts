/** Whether broker and database let us in, for `fleet check`. */
import { Receiver } from './broker/receiver';
import { connectAs, openDatabase } from './database/connect';
import { inPlainWords } from './failure';
import { DATABASE_ROLES, type DatabaseRole, type FleetPlan } from './plan';

export interface Reached {
  readonly broker: string;
  /** Roles that the file has logins of. */
  readonly roles: readonly DatabaseRole[];
}

/** Throws `CommandError` for the first that does not. */
export const reach = (plan: FleetPlan): Promise<Reached> =>
  inPlainWords(async () => {
    const { broker, topic, group, database } = plan;
    const receiver = await Receiver.open(broker, {
      ...{ clientId: `trayward-${group}-check-${process.pid}`, topics: [`${topic}/ends/+`] },
      // A look: nothing is kept for it, and nothing is taken from who collects.
      ...{ aheadMost: 1, sessionS: 0, take: () => undefined, lost: () => undefined },
    });
    await receiver.close();
    const roles = DATABASE_ROLES.filter((role) => database.logins[role] !== null);
    for (const role of roles) {
      const open = role === 'owner' ? connectAs : openDatabase;
      await (await open(database, role)).end();
    }
    return { broker: broker.url, roles };
  });
