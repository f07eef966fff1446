/** `plan make|show|update|check`: from a date and a number of plants to dates, needs and tasks. */
import type { Command } from 'commander';
import { wrongOrder } from '../../shared/planning/dates';
import { PLAN_DEFAULTS, PLAN_LIMITS } from '../../shared/planning/limits';
import {
  type Aim,
  type Happened,
  NOTHING_YET,
  type PlanRequest,
} from '../../shared/planning/request';
import { SOWING_LIMITS } from '../../shared/statistics/binomial';
import { cropOf } from '../arguments/crop';
import { calendarDay } from '../arguments/day';
import { given, needed, type OptionsOf, shortened, typedText, whole } from '../arguments/options';
import { plugSize } from '../arguments/piece';
import { ppfd } from '../arguments/ppfd';
import { ROOM_HELP, roomAir } from '../arguments/room';
import { within } from '../arguments/within';
import type { Act, Context } from '../context';
import { refused, usage } from '../failure';
import { gainEc } from '../feed/strength';
import { writeOver } from '../files/atomic-write';
import { storeFolder } from '../journal/places';
import { type KeptPlan, NAME, NAME_RULE, openPlan, planText } from '../planning/plan-file';
import { reckoned, reckonedKept, todayOf } from '../planning/reckon';
import { NOWHERE, planResult, type WrittenTo } from '../planning/result';
import { TIME_OPTIONS, timeOfDay } from '../planning/time-of-day';
import { continued, type Places, planName, writeCalendar, writePlan } from '../planning/write';
import { planPage, type ToldPlan } from '../words/plan';
import { registerCheck } from './plan-check';

const EXAMPLE =
  'For example: trayward plan pepper --ready 2027-03-20 --plants 60 --germination 85% --room 18C';

const GERMINATION = within(
  'share',
  SOWING_LIMITS.germinationLeast,
  1,
  'Poorer seed cannot be planned with, and more than all of it does not come up.',
  EXAMPLE,
);
const CERTAINTY = within(
  'share',
  0.5,
  SOWING_LIMITS.certaintyMost,
  'Less is a guess, and nothing is wholly certain.',
  EXAMPLE,
);
const SPARE = within(
  'share',
  0,
  PLAN_LIMITS.spareMost,
  'With more than half again lost on the way, something else is to be put right.',
  EXAMPLE,
);
/** Weaker, no lamp is hung for plants. */
const PPFD = ppfd(10, EXAMPLE);

const MAKE = {
  ready: calendarDay,
  sow: calendarDay,
  plants: needed(
    whole(1, SOWING_LIMITS.plantsMost, 'It is how many are to stand when it is ready.', EXAMPLE),
    EXAMPLE,
  ),
  germination: GERMINATION,
  spare: needed(SPARE, EXAMPLE),
  certainty: needed(CERTAINTY, EXAMPLE),
  room: roomAir,
  trays: needed(
    whole(
      PLAN_LIMITS.cellsLeast,
      PLAN_LIMITS.cellsMost,
      'It is how many plugs one tray holds.',
      EXAMPLE,
    ),
    EXAMPLE,
  ),
  plug: plugSize,
  mat: typedText,
  unheated: given,
  light: typedText,
  ppfd: needed(PPFD, EXAMPLE),
  gain: needed(gainEc(EXAMPLE), EXAMPLE),
  keep: typedText,
  controller: typedText,
  out: typedText,
  ics: typedText,
  force: given,
  store: typedText,
  ...TIME_OPTIONS,
};

/** The one date. */
function aimOf(ready: number | null, sow: number | null): Aim {
  if (ready !== null && sow !== null) {
    throw usage('--ready and --sow are both given: one follows from the other.', EXAMPLE);
  }
  if (ready !== null) return { by: 'ready', day: ready };
  if (sow !== null) return { by: 'sow', day: sow };
  throw usage('--ready or --sow is missing: when is it to be ready, or sown?', EXAMPLE);
}

const PLACE_LETTERS_MOST = 40;
const place = (typed: string | null, flag: string, usual: string): string => {
  const name = (typed ?? usual).trim();
  if (name !== '' && name.length <= PLACE_LETTERS_MOST) return name;
  throw usage(
    `${flag} ${shortened(typed ?? '')} is no name: 1 to ${PLACE_LETTERS_MOST} letters, as you call it yourself.`,
    `Leave ${flag} out where there is but one. ${EXAMPLE}`,
  );
};

function requestOf(crop: string, options: OptionsOf<typeof MAKE>): PlanRequest {
  if (options.unheated && options.mat !== null) {
    throw usage('--mat and --unheated contradict each other.', EXAMPLE);
  }
  return {
    crop: cropOf(crop).name,
    aim: aimOf(options.ready, options.sow),
    plants: options.plants,
    germination: options.germination,
    spareShare: options.spare,
    certainty: options.certainty,
    room: options.room,
    mat: options.unheated ? null : place(options.mat, '--mat', 'the mat'),
    light: place(options.light, '--light', 'the light'),
    cellsPerTray: options.trays,
    plug: options.plug,
    ppfdUmol: options.ppfd,
    stock: { ...PLAN_DEFAULTS.stock, gainMsCm: options.gain },
  };
}

function placesOf(
  context: Context,
  options: Pick<OptionsOf<typeof MAKE>, 'keep' | 'out' | 'ics' | 'force' | 'store'>,
): Places {
  const { keep, out, ics, force } = options;
  if (keep !== null && !NAME.test(keep)) {
    throw usage(`--keep ${shortened(keep)} is no name for a plan.`, NAME_RULE, 'not-a-name');
  }
  return { keep, out, ics, force, store: storeFolder(options.store, context.world.env) };
}

function boardOf(typed: string | null): string | null {
  if (typed === null || /^[0-9a-f]{16}$/.test(typed)) return typed;
  throw usage(
    `--controller ${shortened(typed)} is no controller.`,
    'Give its sixteen hex digits: `trayward find` shows them.',
    'not-a-controller',
  );
}

function answer(context: Context, kept: KeptPlan, told: ToldPlan, written: WrittenTo) {
  const { units, style } = context;
  const said = Object.values(written).filter((file) => file !== null);
  const page = planPage(told, units, style);
  const text = said.length === 0 ? page : `${page}\nWritten: ${said.join(', ')}`;
  return { result: planResult(kept, told, written, units), text, isLong: true };
}

function registerMake(noun: Command, act: Act): void {
  noun
    .command('make', { isDefault: true })
    .argument('<crop>', 'one of `trayward crop list`')
    .description('plan a batch; `plan pepper ...` is the same as `plan make pepper ...`')
    .option('--ready <date>', 'when the plants are to be ready, such as 2027-03-20')
    .option('--sow <date>', 'or when it is sown')
    .option('--plants <count>', 'plants that are to stand then')
    .option('--germination <share>', 'by the packet, such as 85%; of cuttings: that root')
    .option('--spare <share>', 'plants raised beyond them, for those not good enough', '5%')
    .option('--certainty <share>', 'how sure so many are to stand', '95%')
    .option('--room <temperature>', ROOM_HELP)
    .option('--trays <cells>', 'cells or plugs of a tray', String(PLAN_DEFAULTS.cellsPerTray))
    .option('--plug <size>', 'of one plug: plug-25, plug-36, or 36x36x40mm; else as fills a tray')
    .option('--mat <name>', 'which mat it stands on, where there are several')
    .option('--unheated', 'it stands on none')
    .option('--light <name>', 'which light it stands under, where there are several')
    .option('--ppfd <light>', 'light at the leaves', `${PLAN_DEFAULTS.ppfdUmol}umol`)
    .option('--gain <ec>', 'what the stock adds at 1:100', `${PLAN_DEFAULTS.stock.gainMsCm}mS/cm`)
    .option('--keep <name>', 'keep the plan, for `agenda`, `plan show` and `plan update`')
    .option('--controller <id>', 'the controller that will hold it: its marks replan the rest')
    .option('--out <file>', 'or keep it in a file of yours')
    .option('--ics <file>', 'write its tasks for a calendar program')
    .option('--at <time>', 'tasks at this time of day, such as 08:00; else on the whole day')
    .option('--zone <zone>', 'of --at, such as Europe/Berlin; else that of this laptop')
    .option('--force', 'write over what is there, whatever it is')
    .option('--store <folder>', 'where plans and journals are kept')
    .action(
      act(MAKE, async (context, options, [crop = '']) => {
        const request = requestOf(crop, options);
        const places = placesOf(context, options);
        const controller = boardOf(options.controller);
        const time = timeOfDay(options);
        const name = planName(places, request.crop);
        const made = todayOf(context);
        const told = reckoned(name, request, NOTHING_YET, made);
        const fresh = { name, controller, request, made, happened: NOTHING_YET };
        const kept = continued(places, fresh);
        return answer(context, kept, told, writePlan(context, places, kept, told, time));
      }),
    );
}

const SHOW = { ics: typedText, force: given, store: typedText, ...TIME_OPTIONS };

function registerShow(noun: Command, act: Act): void {
  noun
    .command('show')
    .argument('<plan>', 'name of a kept plan, or its file')
    .description('a kept plan, after what has happened')
    .option('--ics <file>', 'write its tasks for a calendar program')
    .option('--at <time>', 'tasks at this time of day, such as 08:00')
    .option('--zone <zone>', 'of --at; else that of this laptop')
    .option('--force', 'write over what is there, whatever it is')
    .option('--store <folder>', 'where plans and journals are kept')
    .action(
      act(SHOW, async (context, options, [typed = '']) => {
        const { kept } = openPlan(storeFolder(options.store, context.world.env), typed);
        const told = reckonedKept(kept);
        const time = timeOfDay(options);
        const { ics, force } = options;
        if (ics !== null) writeCalendar(context, ics, kept, told, time, force);
        return answer(context, kept, told, { ...NOWHERE, ics });
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
  controller: typedText,
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
    counted: counted === null ? happened.counted : { day: on ?? today, plants: counted },
    transplanted: transplanted ?? happened.transplanted,
  };
  const wrong = wrongOrder(now, today);
  if (wrong === null) return now;
  throw refused('wrong-order', wrong, 'Nothing was changed. Look at the dates again.');
}
const UPDATE_EXAMPLE = 'For example: trayward plan update pepper-north --emerged 2027-02-05';

/** More cannot stand than were sown. */
function refuseTooMany({ plan, happened }: ToldPlan): void {
  const stands = happened.counted?.plants ?? 0;
  if (stands <= plan.seed.seeds) return;
  throw refused(
    'too-many',
    `${stands} cannot stand: ${plan.seed.seeds} were to be sown, one a plug.`,
    'Nothing was changed. Count once more, or plan it anew with more.',
  );
}

function registerUpdate(noun: Command, act: Act): void {
  noun
    .command('update')
    .argument('<plan>', 'name of a kept plan, or its file')
    .description('tell a kept plan what really happened: the rest is reckoned anew')
    .option('--sown <date>', 'when it was sown, or stuck')
    .option('--emerged <date>', 'when half of it was up, or the first roots were seen')
    .option('--counted <plants>', 'good plants that stand')
    .option('--on <date>', 'the day of --counted; else today')
    .option('--transplanted <date>', 'when it was transplanted')
    .option('--controller <id>', 'the controller that holds it')
    .option('--ics <file>', 'write its tasks for a calendar program')
    .option('--at <time>', 'tasks at this time of day, such as 08:00')
    .option('--zone <zone>', 'of --at; else that of this laptop')
    .option('--force', 'write over what is there, whatever it is')
    .option('--store <folder>', 'where plans and journals are kept')
    .action(
      act(UPDATE, async (context, options, [typed = '']) => {
        const { kept: before, file } = openPlan(
          storeFolder(options.store, context.world.env),
          typed,
        );
        const happened = happenedBy(options, before, todayOf(context));
        const controller = boardOf(options.controller) ?? before.controller;
        const kept = { ...before, happened, controller, revision: before.revision + 1 };
        const told = reckonedKept(kept);
        refuseTooMany(told);
        const time = timeOfDay(options);
        const { ics, force } = options;
        if (ics !== null) writeCalendar(context, ics, kept, told, time, force);
        writeOver(file, planText(kept));
        return answer(context, kept, told, { ...NOWHERE, out: file, ics });
      }),
    );
}

/** Gives its noun verbs. */
export function register(noun: Command, act: Act): void {
  registerMake(noun, act);
  registerShow(noun, act);
  registerUpdate(noun, act);
  registerCheck(noun, act);
}
