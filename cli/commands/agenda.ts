/** `agenda`: the next tasks, of kept plans and of the tray that answers. */
import type { Command } from 'commander';
import { type Day, dayText, shortDay, weekday } from '../../shared/planning/calendar-day';
import { PLAN_LIMITS } from '../../shared/planning/limits';
import { given, needed, typedText, whole } from '../arguments/options';
import { asFailure } from '../as-failure';
import type { Act, Context, Units } from '../context';
import { CommandError } from '../failure';
import { storeFolder } from '../journal/places';
import { pullInto } from '../journal/pull-into';
import type { Client } from '../link/client';
import { asMarked } from '../planning/as-marked';
import { type DueTask, dueTasks, nextDue } from '../planning/due';
import { traysIn } from '../planning/fresh-trays';
import { keptNames, openPlan } from '../planning/plan-file';
import { todayOf } from '../planning/reckon';
import { table, wrap } from '../terminal/output';
import { dated, leftOutText, tellingOf } from '../words/plan';
import { taskWords } from '../words/plan-task';
import type { ToldPlan } from '../words/told-plan';
import { type TrayTask, trayTasks } from '../words/tray-task';

const OPTIONS = {
  days: needed(
    whole(
      1,
      PLAN_LIMITS.behindMostDays,
      'It is how many days ahead are shown, today among them.',
      'For example: trayward agenda --days 7',
    ),
  ),
  offline: given,
  store: typedText,
};

interface Batch {
  readonly told: ToldPlan;
  readonly due: readonly DueTask[];
  /** The first of all that is left to do; null where all is done. */
  readonly next: DueTask | null;
}

function batchOf(told: ToldPlan, today: Day, days: number): Batch {
  return { told, due: dueTasks(told, today, days), next: nextDue(told, today) };
}

interface Tray {
  readonly controller: string;
  readonly tasks: readonly TrayTask[];
}

/** What was marked and counted since the journal was pulled last; it is on its way already where another pull runs. */
async function pullMarks(context: Context, client: Client, store: string): Promise<void> {
  try {
    await pullInto(context, client, store, () => {});
  } catch (error) {
    if (asFailure(error, true).reason !== 'pull-under-way') throw error;
  }
}

/** The tray of the controller that answers, its journal pulled into `store` where that is named; or why there is none. */
async function trayNow(context: Context, store: string | null): Promise<Tray | CommandError> {
  try {
    const client = await context.client();
    if (store !== null) await pullMarks(context, client, store);
    const status = await client.call('status.read', {});
    const nowMs = status.unixMs ?? context.world.now();
    return { controller: client.hello.boardId, tasks: trayTasks(status, context.units, nowMs) };
  } catch (error) {
    const failure = asFailure(error, false);
    if (failure.kind === 'no-controller' || failure.reason === 'several-found') return failure;
    throw error;
  }
}

function batchRows({ told, due }: Batch, context: Context) {
  const telling = tellingOf(told, context.units);
  return due.map(({ task, day, isOverdue }) => ({
    plan: told.name,
    kind: task.kind,
    day,
    isOverdue,
    ...taskWords(telling, task),
  }));
}
type Row = ReturnType<typeof batchRows>[number];

function rowsText(rows: readonly Row[], today: Day, { style }: Context): string {
  const columns = [{ title: 'Day' }, { title: 'Plan' }, { title: 'What' }, { title: 'Why' }];
  const when = ({ day, isOverdue }: Row): string => {
    const text = `${weekday(day)} ${shortDay(day)}`;
    if (isOverdue) return style.warn(`${text} overdue`);
    return day === today ? style.strong('today') : text;
  };
  return table(
    columns,
    rows.map((row) => [when(row), row.plan, row.title, row.why]),
    style,
  );
}

function trayText({ controller, tasks }: Tray, { style }: Context): string {
  const rows = tasks.map(({ title, why }) => ['now', title, why]);
  return table([{ title: `Tray ${controller}` }, { title: 'What' }, { title: 'Why' }], rows, style);
}

/** A plan with nothing to do in the days asked for: when there is. */
function quietText({ told, next }: Batch, units: Units): string {
  if (next === null) return `${told.name}: all of it is done.`;
  const { title } = taskWords(tellingOf(told, units), next.task);
  return `${told.name}: nothing in these days; next on ${dated(next.day)}: ${title}.`;
}

/** What has moved plans, and what is not known. */
function remarks(
  batches: readonly Batch[],
  tray: Tray | CommandError | null,
  { units }: Context,
): string[] {
  const moved = batches.flatMap(({ told: { name, datedBy } }) =>
    datedBy === null ? [] : [`${name} goes by the marks of controller ${datedBy}.`],
  );
  const quiet = batches.flatMap((batch) => (batch.due.length > 0 ? [] : [quietText(batch, units)]));
  const absent = tray instanceof CommandError ? [`${tray.message} ${tray.next}`] : [];
  const late = batches.some(({ due }) => due.some(({ isOverdue }) => isOverdue))
    ? ['What is overdue waits for a word: `trayward mark`, or `trayward plan update`.']
    : [];
  const odd = batches.flatMap(({ told: { name, leftOut } }) =>
    leftOut === null ? [] : [`${name}: ${leftOutText(leftOut)}`],
  );
  return [...moved, ...odd, ...quiet, ...late, ...absent];
}

/** For programs. */
const planOf = ({ told, next }: Batch, { units }: Context) => ({
  name: told.name,
  datedBy: told.datedBy,
  next:
    next === null
      ? null
      : {
          kind: next.task.kind,
          day: dayText(next.day),
          isOverdue: next.isOverdue,
          ...taskWords(tellingOf(told, units), next.task),
        },
});

export function register(noun: Command, act: Act): void {
  noun
    .argument('[plans...]', 'names of kept plans, or files; without any: all that are kept')
    .option('--days <count>', 'how far ahead', '14')
    .option('--offline', 'ask no controller')
    .option('--store <folder>', 'where plans and journals are kept')
    .action(
      act(OPTIONS, async (context, { days, offline, store: folder }, typed) => {
        const store = storeFolder(folder, context.world.env);
        const today = todayOf(context);
        const wanted = typed.length > 0 ? [...new Set(typed)] : keptNames(store);
        const tray = offline ? null : await trayNow(context, wanted.length > 0 ? store : null);
        const plans = wanted.map((one) => openPlan(store, one).kept);
        const trays = traysIn(store, plans);
        const batches = plans.map((kept) =>
          batchOf(asMarked(kept, trays.get(kept.id) ?? null, today), today, days),
        );
        if (batches.length === 0 && tray instanceof CommandError) {
          const { kind, reason, message, next } = tray;
          throw new CommandError(kind, reason, message, `${next} ${NONE_KEPT}`, [], {
            cause: tray,
          });
        }
        const rows = batches
          .flatMap((batch) => batchRows(batch, context))
          .sort((a, b) => a.day - b.day);
        const found = tray instanceof CommandError ? null : tray;
        const text = [
          ...(found === null ? [] : [trayText(found, context), '']),
          ...(rows.length === 0 ? [] : [rowsText(rows, today, context)]),
          ...(batches.length === 0 ? [NONE_KEPT] : []),
          ...remarks(batches, tray, context),
        ].map((part) => wrap(part, context.style.rowWidth));
        return {
          result: {
            today: dayText(today),
            days,
            plans: batches.map((batch) => planOf(batch, context)),
            tasks: rows.map((row) => ({ ...row, day: dayText(row.day) })),
            tray: found,
          },
          text: text.join('\n'),
        };
      }),
    );
}

const NONE_KEPT =
  'No plan is kept: `trayward plan pepper --ready DATE --plants 60 --keep NAME` keeps one.';
