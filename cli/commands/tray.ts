/** `tray model`: what mat, tray, pump and scale are like by the tray's own journal, and how sure that is. */
import type { Command } from 'commander';
import { type OptionsOf, typedText } from '../arguments/options';
import type { Act, Context } from '../context';
import { recordOf } from '../explain/record';
import { showIn, unixOf } from '../explain/show';
import { withSoundTimes } from '../explain/time-line';
import { refused } from '../failure';
import { dateEntries } from '../journal/dating';
import { newestJournal } from '../journal/newest';
import type { MatPower } from '../model/mat';
import { modelFacts, notTold } from '../model/text';
import { trayModelOf } from '../model/tray';
import { facts } from '../terminal/output';

const OPTIONS = { store: typedText, controller: typedText };

async function model(context: Context, options: OptionsOf<typeof OPTIONS>) {
  const { units, style } = context;
  const { boardId, pulled, lives, profiles, nowMs } = await newestJournal(context, options);
  const life = lives.filter(({ entries }) => entries.length > 0).at(-1);
  const dated = life === undefined ? [] : dateEntries(life.entries, life.life);
  const record = recordOf(withSoundTimes(dated), profiles);
  const made = trayModelOf(record);
  const { mat, heat, drying, pump, scaleZero } = made;
  if (!mat.ok && !drying.ok && !pump.ok) {
    throw refused(
      'cannot-tell',
      mat.why,
      'Ask again after a day or two on the mat, in a room that is colder than the band.',
    );
  }
  const rounded = (atMs: number): number | null => {
    const unixMs = unixOf(record, atMs);
    return unixMs === null ? null : Math.round(unixMs);
  };
  const told = ({ fromMs, toMs, ...watts }: MatPower) => ({
    fromUnixMs: rounded(fromMs),
    toUnixMs: rounded(toMs),
    ...watts,
  });
  const show = showIn(record, units, nowMs);
  return {
    result: {
      ...{ boardId, pulled },
      mat: mat.ok
        ? {
            ...mat.value,
            now: told(mat.value.now),
            first: mat.value.first === null ? null : told(mat.value.first),
          }
        : null,
      heat: heat.ok ? heat.value : null,
      drying: drying.ok ? drying.value : [],
      pump: pump.ok ? pump.value : null,
      scaleZero: scaleZero.ok ? scaleZero.value : null,
      notTold: notTold(made),
    },
    text: facts(
      modelFacts(made, units, (one) => show.range(one.fromMs, one.toMs)),
      style,
    ),
  };
}

export function register(noun: Command, act: Act): void {
  noun
    .command('model')
    .description('what mat, tray, pump and scale are like, by the journal, and how sure that is')
    .option('--store <folder>', 'where journals are kept')
    .option(
      '--controller <id>',
      'whose journal (default: the one that answers, or was pulled last)',
    )
    .action(act(OPTIONS, model));
}
