/** `seed test`, `seed replicates` and `seed thermal`: what counts of emergence are worth. */
import type { Command } from 'commander';
import type { TimedAt } from '../../shared/physics/thermal-time';
import type { UnitSystem } from '../../shared/units';
import { DAY_S } from '../../shared/units/time';
import { crop } from '../arguments/crop';
import {
  needed,
  type OptionsOf,
  type Reader,
  shortened,
  typedText,
  whole,
} from '../arguments/options';
import { within } from '../arguments/within';
import type { Act } from '../context';
import { asKnown } from '../digits/known';
import { refused, usage } from '../failure';
import { storeFolder } from '../journal/places';
import { countedOf } from '../seed/counted';
import { heldSeed } from '../seed/held';
import {
  againstTable,
  comparedLots,
  type JudgedSeries,
  judgedSeries,
  type Lot,
} from '../seed/judged';
import { keptSowing, lotNamed, readSowings } from '../seed/kept';
import { SEED_LIMITS } from '../seed/limits';
import { csvSeries, type Series, seriesOf, typedSeries } from '../seed/series';
import { replicatesText, testText, thermalText } from '../seed/test-words';
import { replicatesResult, thermalResult } from '../seed/trials';
import { wrap } from '../terminal/output';

const EXAMPLE = 'For example: trayward seed test --of 50 --day 4=12 --day 5=31 --day 6=40';
const AGAINST = 'Write --against "80 of 100", or the name of a lot that was counted.';

/** An option that may be given several times, as the list of what was typed. */
const several: Reader<readonly string[]> = (typed) =>
  Array.isArray(typed) ? typed.map(String) : [];
const collect = (one: string, before: readonly string[] = []): readonly string[] => [
  ...before,
  one,
];

const OPTIONS = {
  lot: typedText,
  store: typedText,
  controller: typedText,
  day: several,
  csv: typedText,
  of: whole(1, SEED_LIMITS.seedsMost, 'It is how many seeds were sown.', EXAMPLE),
  against: typedText,
  crop,
  at: within('temperature', 0, 50, 'It is the temperature of the root zone.', EXAMPLE),
};
type Options = OptionsOf<typeof OPTIONS>;

interface Asked {
  readonly series: Series;
  /** Null for counts that were typed, or are in a table. */
  readonly kept: ReturnType<typeof keptSowing> | null;
}

/** The counts that are meant: typed, in a table, or kept. */
function askedSeries(options: Options, store: string): Asked {
  const { day, csv, of, lot, controller } = options;
  if (day.length > 0 && csv !== null) throw usage('Give --day or --csv, not both.', EXAMPLE);
  if (day.length === 0 && csv === null) {
    if (of !== null) throw usage('--of goes with --day or --csv.', EXAMPLE);
    const kept = keptSowing(store, lot, controller);
    return { series: seriesOf(kept.sowing), kept };
  }
  if (lot !== null || controller !== null) {
    throw usage(
      'Counts are typed here, or kept by --lot or --controller: not both.',
      `Leave out one of them. ${EXAMPLE}`,
    );
  }
  if (of === null) throw usage('How many were sown? --of is missing.', EXAMPLE);
  return { series: csv === null ? typedSeries(day, of) : csvSeries(csv, of), kept: null };
}

/** The other lot: a count as it is typed, or what was kept of a lot. */
function otherLot(against: string, store: string): Lot {
  if (/^\d+\s*(of|\/)/i.test(against.trim())) {
    const { standing, of } = countedOf(against, AGAINST);
    return { emerged: standing, of };
  }
  const sowing = readSowings(store, lotNamed(against, '--against')).at(-1);
  if (sowing !== undefined) {
    const { emerged, of } = judgedSeries(seriesOf(sowing));
    return { emerged, of };
  }
  throw refused('nothing-counted', `No counts of lot "${against}" are kept.`, AGAINST);
}

/** The crop’s table, for the tray that its own journal tells of; null where that is not known. */
function tableOfTray({ series, kept }: Asked, store: string): JudgedSeries['table'] {
  if (kept === null || kept.place.kind !== 'tray') return null;
  const { sownMs, counts } = kept.sowing;
  const held = heldSeed(store, kept.place.boardId, sownMs, counts.at(-1)?.unixMs ?? sownMs);
  const judged = held === null ? null : againstTable(series, held.crop, held.atC);
  return judged?.ok ? { ...judged.value, by: 'journal' } : null;
}

function tableOf(asked: Asked, { crop: told, at }: Options, store: string): JudgedSeries['table'] {
  const { series } = asked;
  if (told === null && at === null) return tableOfTray(asked, store);
  if (told === null || at === null) {
    throw usage('--crop and --at go together: the table tells days by temperature.', EXAMPLE);
  }
  const judged = againstTable(series, told, at);
  if (judged.ok) return { ...judged.value, by: 'told' };
  throw refused(
    'not-in-the-table',
    judged.why,
    '`trayward crop show` has what is known of a crop.',
  );
}

function registerSeries(noun: Command, act: Act): void {
  noun
    .command('test')
    .description('how many, how fast and how evenly: of counts kept, typed, or in a table')
    .option('--lot <name>', 'the counts of this lot; else those of the tray counted last')
    .option('--controller <id>', 'the counts of this tray')
    .option('--day <day=standing>', 'a count, such as 4=12; several times', collect)
    .option('--csv <file>', 'counts as a table: day, then how many stand')
    .option('--of <number>', 'with --day and --csv: how many were sown')
    .option('--against <count>', 'another lot: "80 of 100", or its name')
    .option(
      '--crop <crop>',
      'hold it to this crop’s table of emergence, with --at; of a tray its journal tells both',
    )
    .option('--at <temperature>', 'the root zone it came up in')
    .option('--store <folder>', 'where journals and counts are kept')
    .action(
      act(OPTIONS, async (context, options) => {
        const store = storeFolder(options.store, context.world.env);
        const asked = askedSeries(options, store);
        const judged = judgedSeries(asked.series);
        const { against } = options;
        const result = {
          ...judged,
          against: against === null ? null : comparedLots(judged, otherLot(against, store)),
          table: tableOf(asked, options, store),
        };
        return { result, text: testText(result, context), isLong: true };
      }),
    );
}

/** A percentage of a hundred seeds. */
function hundred(text: string): number {
  const value = /^\d+$/.test(text) ? Number(text) : Number.NaN;
  if (value <= 100) return value;
  throw usage(
    `${shortened(text)} is no count of a hundred seeds: 0 to 100 of them came up.`,
    'For example: trayward seed replicates 91 88 94 90',
    'not-a-number',
  );
}

function registerReplicates(noun: Command, act: Act): void {
  noun
    .command('replicates')
    .argument('<counts...>', 'what came up of each hundred: two or four of them')
    .description('whether replicates of a hundred seeds agree, as official tests have it')
    .action(
      act({}, async (context, _, args) => {
        if (args.length !== 2 && args.length !== 4) {
          throw usage(
            `The table is for two or four replicates of a hundred seeds, not ${args.length}.`,
            'For example: trayward seed replicates 91 88 94 90',
          );
        }
        const result = replicatesResult(args.map(hundred));
        return { result, text: wrap(replicatesText(result), context.style.width) };
      }),
    );
}

const THERMAL_EXAMPLE = 'For example: trayward seed thermal 15C=14d 20C=8d 25C=6d --to 22C';

/** `20C=8d`: eight days at 20 C. */
function timedAt(text: string, units: UnitSystem): TimedAt {
  const [at = '', took = ''] = text.split('=', 2);
  const trial = `In "${shortened(text)}" the`;
  return {
    atC: TRIAL_AT(at, `${trial} temperature`, units),
    days: TRIAL_TOOK(took, `${trial} time`, units) / DAY_S,
  };
}

const TO = within(
  'temperature',
  SEED_LIMITS.trialLeastC,
  SEED_LIMITS.trialMostC,
  'Seed lives in between.',
  THERMAL_EXAMPLE,
);
const TRIAL_AT = needed(TO, THERMAL_EXAMPLE);
const TRIAL_TOOK = needed(
  within(
    'duration',
    SEED_LIMITS.trialLeastS,
    SEED_LIMITS.daysMost * DAY_S,
    'Nothing comes up sooner, and no trial goes on for longer.',
    THERMAL_EXAMPLE,
  ),
  THERMAL_EXAMPLE,
);
const THERMAL = { to: TO };

function registerThermal(noun: Command, act: Act): void {
  noun
    .command('thermal')
    .argument('<trials...>', 'how long it took at each temperature, such as 20C=8d')
    .description('base temperature and thermal time, from trials at several temperatures')
    .option('--to <temperature>', 'and how long it takes at this one')
    .action(
      act(THERMAL, async (context, { to }, args) => {
        const trials = args.map((one) => timedAt(one, context.units));
        const result = asKnown(thermalResult(trials, to, context.units));
        return { result, text: wrap(thermalText(result, context.units), context.style.width) };
      }),
    );
}

/** Gives `seed` the verbs that judge counts. */
export function registerTest(noun: Command, act: Act): void {
  registerSeries(noun, act);
  registerReplicates(noun, act);
  registerThermal(noun, act);
}
