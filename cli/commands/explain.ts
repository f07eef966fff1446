/** `explain`: what went wrong, why, what it meant for the crop, and what to do now. */
import type { Command } from 'commander';
import { type Moment, moment } from '../arguments/moment';
import { given, needed, type OptionsOf, typedText } from '../arguments/options';
import type { Act, Context } from '../context';
import { accountOf } from '../explain/account';
import { accountText } from '../explain/text';
import { newestJournal } from '../journal/newest';
import { refuseBackwards } from '../journal/stored';

const OPTIONS = {
  since: needed<Moment>(moment),
  until: moment,
  evidence: given,
  store: typedText,
  controller: typedText,
};
type Options = OptionsOf<typeof OPTIONS>;

async function explain(context: Context, options: Options) {
  const { world, units, style } = context;
  refuseBackwards(options, world.now());
  const kept = await newestJournal(context, options);
  const { boardId, pulled, pulledMs, lives, profiles, damaged, nowMs } = kept;
  const sinceMs = options.since(nowMs);
  const untilMs = options.until?.(nowMs) ?? nowMs;
  const account = accountOf(lives, profiles, { sinceMs, untilMs, nowMs, units });
  const { quiet, notices, unknown, incidents } = account;
  return {
    result: {
      boardId,
      sinceUnixMs: Math.round(sinceMs),
      untilUnixMs: Math.round(untilMs),
      pulled,
      pulledUnixMs: pulledMs,
      incidents: options.evidence ? incidents : incidents.map((one) => ({ ...one, evidence: [] })),
      quiet,
      notices,
      unknown,
      damaged,
    },
    text: accountText(account, { style, units, nowMs, evidence: options.evidence }),
    isLong: true,
  };
}

export function register(noun: Command, act: Act): void {
  noun
    .option(
      '--since <time>',
      'from this time on: yesterday, 12h (ago), 2026-03-01T14:30',
      'yesterday',
    )
    .option('--until <time>', 'up to this time (default: now)')
    .option('--evidence', 'print the entries of the journal that each incident rests on')
    .option('--store <folder>', 'where journals are kept')
    .option(
      '--controller <id>',
      'whose journal (default: the one that answers, or was pulled last)',
    )
    .action(act(OPTIONS, explain));
}
