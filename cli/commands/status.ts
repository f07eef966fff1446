/** `status`: how the tray stands now. */
import type { Command } from 'commander';
import { typedText } from '../arguments/options';
import { aheadFacts, statusAhead } from '../away/status';
import type { Act } from '../context';
import { storeFolder } from '../journal/places';
import { keptProfiles } from '../journal/profiles';
import { readStore } from '../journal/store';
import { facts } from '../terminal/output';
import { statusFacts } from '../words/status';

/** What is kept of a controller here: a status never waits for a pull, and never fails for a store. */
function keptOf(boardId: string, store: string, activeId: number | null) {
  try {
    const profiles = { byId: keptProfiles(store, boardId), activeId };
    return { lives: readStore(store, boardId), profiles };
  } catch {
    return { lives: [], profiles: { byId: new Map(), activeId } };
  }
}

export function register(noun: Command, act: Act): void {
  noun.option('--store <folder>', 'where journals are kept').action(
    act({ store: typedText }, async (context, { store }) => {
      const { units, style, world } = context;
      const client = await context.client();
      const status = await client.call('status.read', {});
      const folder = storeFolder(store, world.env);
      const nowUnixMs = status.unixMs ?? world.now();
      const answered = {
        ...keptOf(client.hello.boardId, folder, status.profile?.id ?? null),
        ...{ status, units, nowUnixMs },
      };
      const found = statusAhead(answered);
      const told = [...statusFacts(status, units, nowUnixMs), ...aheadFacts(found, answered)];
      const ahead = found.ok
        ? { ahead: found.ahead, noAhead: null }
        : { ahead: null, noAhead: found.why };
      return { result: { ...status, ...ahead }, text: facts(told, style) };
    }),
  );
}
