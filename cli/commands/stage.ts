/** `stage next|stay`: the grower's hand on the stages. */
import type { Command } from 'commander';
import { given } from '../arguments/options';
import type { Act } from '../context';
import { refused } from '../failure';
import { lidText } from '../words/lid';

export function register(noun: Command, act: Act): void {
  noun
    .command('next')
    .description('go to the next stage now')
    .option('--yes', 'do not ask')
    .action(
      act({ yes: given }, async (context, { yes }) => {
        const client = await context.client();
        const { stage } = await client.call('status.read', {});
        const question = `Stage "${stage?.name}" is running. Go to the next stage?`;
        // Where no stage runs there is nothing to ask about: the controller says so itself.
        const asks = stage !== null && !yes;
        if (asks && !(await context.ask.confirm(question))) {
          throw refused('not-confirmed', 'The stage was left as it is.', 'Nothing changed.');
        }
        const moved = await client.call('stage.next', {});
        const now = (await client.call('status.read', {})).stage;
        const lid = now === null ? '' : `: lid ${lidText(now.lid)}`;
        return {
          result: { stage: moved.stage },
          text: `Now in stage "${now?.name ?? moved.stage + 1}"${lid}. See \`trayward status\`.`,
        };
      }),
    );

  noun
    .command('stay')
    .description('keep the running stage until `stage next` or a mark')
    .option('--off', 'let its run time end the stage again')
    .action(
      act({ off: given }, async (context, { off }) => {
        const client = await context.client();
        const { staying } = await client.call('stage.stay', { stay: !off });
        return {
          result: { staying },
          text: staying
            ? 'Staying in this stage until `trayward stage next` or a mark ends it.'
            : 'The stage ends by its run time again.',
        };
      }),
    );
}
