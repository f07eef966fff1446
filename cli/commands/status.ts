/** `status`: how the tray stands now. */
import type { Command } from 'commander';
import type { Status } from '../../shared/link/status';
import type { UnitSystem } from '../../shared/units';
import { typedText } from '../arguments/options';
import { aheadFacts, statusAhead } from '../away/status';
import type { Act } from '../context';
import { storeFolder } from '../journal/places';
import { keptProfiles } from '../journal/profiles';
import { readStore } from '../journal/store';
import { facts } from '../terminal/output';
import { statusFacts } from '../words/status';

/** By the journal that is kept here, where it is fresh: a status never waits for a pull, and never fails for a store. */
function aheadOf(status: Status, boardId: string, store: string, units: UnitSystem) {
  try {
    const profiles = { byId: keptProfiles(store, boardId), activeId: status.profile?.id ?? null };
    return statusAhead(readStore(store, boardId), profiles, status, units);
  } catch {
    return null;
  }
}

export function register(noun: Command, act: Act): void {
  noun.option('--store <folder>', 'where journals are kept').action(
    act({ store: typedText }, async (context, { store }) => {
      const { units, style, world } = context;
      const client = await context.client();
      const status = await client.call('status.read', {});
      const folder = storeFolder(store, world.env);
      const ahead = aheadOf(status, client.hello.boardId, folder, units);
      const nowMs = status.unixMs ?? world.now();
      const told = [
        ...statusFacts(status, units, nowMs),
        ...(ahead === null ? [] : aheadFacts(ahead, nowMs, units)),
      ];
      return { result: { ...status, ahead }, text: facts(told, style) };
    }),
  );
}
