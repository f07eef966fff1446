/** `tray model`: what mat, tray, plants, pump and scale are like by the tray's own journal, and how sure that is. */
import type { Command } from 'commander';
import { type OptionsOf, typedText } from '../arguments/options';
import type { Act, Context } from '../context';
import { showIn, unixOf } from '../explain/show';
import { refused } from '../failure';
import { ASK_AGAIN, keptTray } from '../model/kept-tray';
import { modelFacts, notTold } from '../model/text';
import { facts } from '../terminal/output';

const OPTIONS = { store: typedText, controller: typedText };

async function model(context: Context, options: OptionsOf<typeof OPTIONS>) {
  const { units, style } = context;
  const { kept, record, model: made } = await keptTray(context, options);
  const { boardId, pulled, nowMs } = kept;
  const { mat, heat, hours, drying, growth, pump, scaleZero } = made;
  if (!mat.ok && !drying.ok && !growth.ok && !pump.ok) {
    throw refused('cannot-tell', mat.why, ASK_AGAIN);
  }
  const rounded = (atMs: number): number | null => {
    const unixMs = unixOf(record, atMs);
    return unixMs === null ? null : Math.round(unixMs);
  };
  const told = <Span extends { readonly fromMs: number; readonly toMs: number }>({
    fromMs,
    toMs,
    ...figures
  }: Span) => ({ fromUnixMs: rounded(fromMs), toUnixMs: rounded(toMs), ...figures });
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
      hours: hours.ok ? hours.value.hours : [],
      drying: drying.ok ? drying.value : [],
      growth: growth.ok ? told(growth.value) : null,
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
    .description(
      'what mat, tray, plants, pump and scale are like, by the journal, and how sure that is',
    )
    .option('--store <folder>', 'where journals are kept')
    .option(
      '--controller <id>',
      'whose journal (default: the one that answers, or was pulled last)',
    )
    .action(act(OPTIONS, model));
}
