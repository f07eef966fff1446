/** `mark WHAT`: what the grower did or saw. */
import { type Command, Option } from 'commander';
import { markNoteSentence } from '../../shared/link/host/refusals';
import { MARKS, type Mark } from '../../shared/profile/profile';
import { parseQuantity } from '../../shared/units';
import type { Act, Flags } from '../context';
import { refused, usage } from '../failure';

function markName(text: string | undefined): Mark {
  const mark = MARKS.find((name) => name === text);
  if (mark !== undefined) return mark;
  throw usage(`There is no mark '${text ?? ''}'.`, `Marks are: ${MARKS.join(', ')}.`);
}

function statedWeight(flags: Flags): { trayG?: number } {
  const text = flags.text('weight');
  if (text === null) return {};
  const parsed = parseQuantity('mass', text);
  if (!parsed.ok) throw usage(parsed.why, 'Give a weight with its unit, such as 4420g.');
  return { trayG: parsed.value };
}

export function register(noun: Command, act: Act): void {
  noun
    .argument('<what>', MARKS.join(', '))
    .addOption(
      new Option('--weight <mass>', 'for dry and soaked: the weight, instead of the scale'),
    )
    .option('--yes', 'do not ask before sowing anew')
    .action(
      act(async (context, flags, [what]) => {
        const mark = markName(what);
        const weight = statedWeight(flags);
        const client = await context.client();
        if (mark === 'sown' && !flags.on('yes')) {
          const { stage } = await client.call('status.read', {});
          const anew = `Stage "${stage?.name}" is running. Start the profile from the beginning?`;
          if (stage !== null && !(await context.ask.confirm(anew, '--yes'))) {
            throw refused('not-confirmed', 'The stage was left as it is.', 'Nothing changed.');
          }
        }
        const marked = await client.call('mark.set', { mark, ...weight });
        const { note, dryG } = marked;
        const lines = [`Marked ${mark}.`, ...(note === null ? [] : [markNoteSentence(note, dryG)])];
        return { result: { mark, ...marked }, text: lines.join('\n') };
      }),
    );
}
