/** `clock set`: the controller's time of day. Every command that connects does it silently. */
import type { Command } from 'commander';
import type { Act } from '../context';
import { localTime } from '../terminal/local-time';

export function register(noun: Command, act: Act): void {
  noun
    .command('set')
    .description("set the controller's clock to this laptop's")
    .action(
      act({}, async (context) => {
        const client = await context.client();
        const unixMs = Math.round(await context.world.nowAt(client.port));
        await client.call('clock.set', { unixMs });
        return {
          result: { unixMs },
          text: `The clock is set: ${localTime(unixMs)}.`,
        };
      }),
    );
}
