/** `watch`: the status, live, in place, until Ctrl-C; plain lines where there is no terminal. */
import { clearScreenDown, cursorTo } from 'node:readline';
import type { Command } from 'commander';
import type { Act } from '../context';
import { facts } from '../output';
import { statusFacts } from './status';

const EVERY_MS = 1_000;

export function register(noun: Command, act: Act): void {
  noun.option('--times <count>', 'stop after so many readings').action(
    act(async (context, flags) => {
      const client = await context.client();
      const times = flags.whole('times', 1, 1_000_000) ?? Number.POSITIVE_INFINITY;
      const { stdout } = context.world;
      const inPlace = stdout.isTTY === true && !context.json;
      let stopped = false;
      void context.untilInterrupt().then(() => {
        stopped = true;
      });
      let readings = 0;
      while (!stopped && readings < times) {
        const status = await client.call('status.read', {});
        readings++;
        if (context.json) stdout.write(`${JSON.stringify(status)}\n`);
        else {
          if (inPlace && stdout instanceof process.stdout.constructor) {
            cursorTo(process.stdout, 0, 0);
            clearScreenDown(process.stdout);
          }
          stdout.write(`${facts(statusFacts(status, context), context.style)}\n\n`);
          if (inPlace)
            stdout.write(context.style.quiet('Ctrl-C ends the watch; the tray goes on.\n'));
        }
        if (readings < times && !stopped) await context.world.sleep(EVERY_MS);
      }
      return { result: { readings }, text: '' };
    }),
  );
}
