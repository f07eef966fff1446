/** `plan make|show|update|check`: from a date and a number of plants to dates, needs and tasks. Here: make. */
import type { Command } from 'commander';
import { PLAN_DEFAULTS, PLAN_LIMITS } from '../../shared/planning/limits';
import { type Aim, NOTHING_YET, type PlanRequest } from '../../shared/planning/request';
import { SOWING_LIMITS } from '../../shared/statistics/binomial';
import { controllerId } from '../arguments/controller';
import { cropOf } from '../arguments/crop';
import { calendarDay } from '../arguments/day';
import { given, needed, type OptionsOf, shortened, typedText, whole } from '../arguments/options';
import { plugSize } from '../arguments/piece';
import { ppfd } from '../arguments/ppfd';
import { ROOM_HELP, roomAir } from '../arguments/room';
import { within } from '../arguments/within';
import type { Act, Context } from '../context';
import { usage } from '../failure';
import { gainEc } from '../feed/strength';
import { storeFolder } from '../journal/places';
import { planAnswer } from '../planning/answer';
import { NAME, NAME_RULE } from '../planning/plan-file';
import { reckoned, todayOf } from '../planning/reckon';
import { TIME_OPTIONS, timeOfDay } from '../planning/time-of-day';
import { continued, type Places, planName, writePlan } from '../planning/write';
import { registerCheck } from './plan-check';
import { registerShow, registerUpdate } from './plan-update';

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
    whole(1, PLAN_LIMITS.plantsMost, 'It is how many are to stand when it is ready.', EXAMPLE),
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
  controller: controllerId,
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
    mat: options.unheated ? null : place(options.mat, '--mat', PLAN_DEFAULTS.mat),
    light: place(options.light, '--light', PLAN_DEFAULTS.light),
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
        const { controller } = options;
        const time = timeOfDay(options);
        const name = planName(places, request.crop);
        const made = todayOf(context);
        const told = reckoned(name, request, NOTHING_YET, made);
        const fresh = { name, controller, request, made, happened: NOTHING_YET };
        const kept = continued(places, fresh);
        return planAnswer(context, kept, told, writePlan(context, places, kept, told, time));
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
