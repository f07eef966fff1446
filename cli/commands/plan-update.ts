/** `plan show|update`: a kept plan, and what really happened to it. */
import type { Command } from 'commander';
import { type Day, dayText } from '../../shared/planning/calendar-day';
import { wrongOrder } from '../../shared/planning/dates';
import { STEPS } from '../../shared/planning/limits';
import type { Happened } from '../../shared/planning/request';
import { SOWING_LIMITS } from '../../shared/statistics/binomial';
import { controllerId } from '../arguments/controller';
import { calendarDay } from '../arguments/day';
import { given, type OptionsOf, typedText, whole } from '../arguments/options';
import type { Act } from '../context';
import { refused, usage } from '../failure';
import { writeOver } from '../files/atomic-write';
import { storeFolder } from '../journal/places';
import { planAnswer } from '../planning/answer';
import { asMarked } from '../planning/as-marked';
import { pullLatest, traysIn } from '../planning/fresh-trays';
import { type KeptPlan, openPlan, planText } from '../planning/plan-file';
import { todayOf } from '../planning/reckon';
import { NOWHERE } from '../planning/result';
import { TIME_OPTIONS, timeOfDay } from '../planning/time-of-day';
import { writeCalendar } from '../planning/write';
import type { ToldPlan } from '../words/told-plan';

const SHOW = { ics: typedText, force: given, offline: given, store: typedText, ...TIME_OPTIONS };

/** The options of whatever tells a kept plan. */
const withShown = (command: Command): Command =>
  command
    .option('--ics <file>', 'write its tasks for a calendar program')
    .option('--at <time>', 'tasks at this time of day, such as 08:00')
    .option('--zone <zone>', 'of --at; else that of this laptop')
    .option('--force', 'write over what is there, whatever it is')
    .option('--offline', 'ask no controller')
    .option('--store <folder>', 'where plans and journals are kept');

export function registerShow(noun: Command, act: Act): void {
  const command = noun
    .command('show')
    .argument('<plan>', 'name of a kept plan, or its file')
    .description('a kept plan, after what has happened');
  withShown(command).action(
    act(SHOW, async (context, options, [typed = '']) => {
      const store = storeFolder(options.store, context.world.env);
      const { kept } = openPlan(store, typed);
      const time = timeOfDay(options);
      await pullLatest(context, store, options.offline);
      const tray = traysIn(store, [kept]).get(kept.id) ?? null;
      const told = asMarked(kept, tray, todayOf(context));
      const { ics, force } = options;
      if (ics !== null) writeCalendar(context, ics, kept, told, time, force);
      return planAnswer(context, kept, told, { ...NOWHERE, ics });
    }),
  );
}

const UPDATE = {
  sown: calendarDay,
  emerged: calendarDay,
  counted: whole(
    0,
    SOWING_LIMITS.plantsMost,
    'It is how many good plants stand.',
    'For example: trayward plan update pepper-north --counted 61',
  ),
  on: calendarDay,
  transplanted: calendarDay,
  controller: controllerId,
  ...SHOW,
};

/** What was known, and what is told now. Throws for days that cannot be. */
function happenedBy(
  options: OptionsOf<typeof UPDATE>,
  { happened }: KeptPlan,
  today: number,
): Happened {
  const { sown, emerged, counted, on, transplanted } = options;
  if (on !== null && counted === null) throw usage('--on is the day of --counted.', UPDATE_EXAMPLE);
  const now: Happened = {
    sown: sown ?? happened.sown,
    emerged: emerged ?? happened.emerged,
    counted: counted === null ? happened.counted : { day: on ?? today, plants: counted, of: null },
    transplanted: transplanted ?? happened.transplanted,
  };
  if (counted !== null) refuseStaleCount(on ?? today, now, happened);
  const wrong = wrongOrder(now, today);
  if (wrong === null) return now;
  throw refused('wrong-order', wrong, 'Nothing was changed. Look at the dates again.');
}
const UPDATE_EXAMPLE = 'For example: trayward plan update pepper-north --emerged 2027-02-05';

/** A count that is no news, or tells nothing yet, would put a better one out of mind. */
function refuseStaleCount(day: Day, { emerged }: Happened, before: Happened): void {
  const last = before.counted;
  if (last !== null && last.day > day) {
    throw refused(
      'older-count',
      `A later count is kept: ${last.plants} on ${dayText(last.day)}.`,
      'Nothing was changed: the later one tells more. Or count once more.',
    );
  }
  const tellsFrom = (emerged ?? Number.NEGATIVE_INFINITY) + STEPS.countAfterEmergence;
  if (day >= tellsFrom || emerged === null || day < emerged) return;
  throw refused(
    'too-early',
    `On ${dayText(day)} it does not show yet how many there will be: half was up on ${dayText(emerged)}.`,
    `Nothing was changed. Count again from ${dayText(tellsFrom)} on.`,
  );
}

/** More cannot stand than were sown. */
function refuseTooMany({ plan, happened }: ToldPlan): void {
  const { plants: stands = 0, of = null } = happened.counted ?? {};
  const sown = of ?? plan.seed.seeds;
  if (stands <= sown) return;
  throw refused(
    'too-many',
    `${stands} cannot stand: ${sown} were to be sown, one a plug.`,
    'Nothing was changed. Count once more, or plan it anew with more.',
  );
}

export function registerUpdate(noun: Command, act: Act): void {
  const command = noun
    .command('update')
    .argument('<plan>', 'name of a kept plan, or its file')
    .description('tell a kept plan what really happened: the rest is reckoned anew')
    .option('--sown <date>', 'when it was sown, or stuck')
    .option('--emerged <date>', 'when half of it was up, or the first roots were seen')
    .option('--counted <plants>', 'good plants that stand')
    .option('--on <date>', 'the day of --counted; else today')
    .option('--transplanted <date>', 'when it was transplanted')
    .option('--controller <id>', 'the controller that holds it');
  withShown(command).action(
    act(UPDATE, async (context, options, [typed = '']) => {
      const store = storeFolder(options.store, context.world.env);
      const { kept: before, file } = openPlan(store, typed);
      const today = todayOf(context);
      const happened = happenedBy(options, before, today);
      const controller = options.controller ?? before.controller;
      const kept = { ...before, happened, controller, revision: before.revision + 1 };
      const time = timeOfDay(options);
      await pullLatest(context, store, options.offline);
      const tray = traysIn(store, [kept]).get(kept.id) ?? null;
      const told = asMarked(kept, tray, today);
      refuseTooMany(told);
      const { ics, force } = options;
      if (ics !== null) writeCalendar(context, ics, kept, told, time, force);
      writeOver(file, planText(kept));
      return planAnswer(context, kept, told, { ...NOWHERE, out: file, ics });
    }),
  );
}
