/** `plan check`: whether several batches go together in one room. */
import type { Command } from 'commander';
import { PLAN_LIMITS } from '../../shared/planning/limits';
import { checkRoom } from '../../shared/planning/room-check';
import { given, needed, typedText, whole } from '../arguments/options';
import type { Act } from '../context';
import { type CommandError, usage } from '../failure';
import { storeFolder } from '../journal/places';
import { asMarked } from '../planning/as-marked';
import { pullLatest, traysIn } from '../planning/fresh-trays';
import { keptNames, openPlan } from '../planning/plan-file';
import { todayOf } from '../planning/reckon';
import { checkResult } from '../planning/result';
import { wrap } from '../terminal/output';
import { checkText, namesRemark } from '../words/plan-check';

/** Trays on one mat, or under one lamp. */
const TRAYS_MOST = 100;
const HOLDS_EXAMPLE = 'For example: trayward plan check --mat-holds 2 --light-holds 4';
const OPTIONS = {
  matHolds: needed(whole(1, TRAYS_MOST, 'It is how many trays one mat warms.', HOLDS_EXAMPLE)),
  lightHolds: needed(
    whole(1, TRAYS_MOST, 'It is how many trays one light shines on.', HOLDS_EXAMPLE),
  ),
  offline: given,
  store: typedText,
};

const notSoMany = (given: string): CommandError =>
  usage(
    `A room is checked for 2 to ${PLAN_LIMITS.plansMost} plans: there is ${given}.`,
    '`trayward plan pepper ... --keep NAME` keeps one; `plan check NAME NAME` checks them.',
  );

export function registerCheck(noun: Command, act: Act): void {
  noun
    .command('check')
    .argument('[plans...]', 'names of kept plans, or files; without any: all that are kept')
    .description('what several batches in one room cannot share')
    .option('--mat-holds <trays>', 'trays that one mat warms', '1')
    .option('--light-holds <trays>', 'trays that one light shines on', '1')
    .option('--offline', 'ask no controller')
    .option('--store <folder>', 'where plans and journals are kept')
    .action(
      act(OPTIONS, async (context, options, typed) => {
        const store = storeFolder(options.store, context.world.env);
        const wanted = typed.length > 0 ? [...new Set(typed)] : keptNames(store);
        if (wanted.length > PLAN_LIMITS.plansMost) throw notSoMany(`${wanted.length} plans`);
        const plans = wanted.map((one) => openPlan(store, one).kept);
        if (plans.length < 2) throw notSoMany(plans.length === 0 ? 'no plan' : 'one plan alone');
        await pullLatest(context, store, options.offline);
        const trays = traysIn(store, plans);
        const batches = plans.map((kept) => {
          const { name, request, plan } = asMarked(
            kept,
            trays.get(kept.id) ?? null,
            todayOf(context),
          );
          return { name, request, plan };
        });
        const capacity = { matTrays: options.matHolds, lightTrays: options.lightHolds };
        const check = checkRoom(batches, capacity);
        const names = batches.map(({ name }) => name);
        const remarks = namesRemark(batches.map(({ request }) => request));
        const lines = [checkText(names, check, context.units), ...remarks];
        const text = wrap(lines.join('\n'), context.style.width);
        return { result: checkResult(names, check), text };
      }),
    );
}
