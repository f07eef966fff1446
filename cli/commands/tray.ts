/** `tray model`: what the mat under this tray gives, by its own journal, and how sure that is. */
import type { Command } from 'commander';
import { type OptionsOf, typedText } from '../arguments/options';
import type { Act, Context } from '../context';
import { recordOf } from '../explain/record';
import { showIn, unixOf } from '../explain/show';
import { withSoundTimes } from '../explain/time-line';
import { refused } from '../failure';
import { dateEntries } from '../journal/dating';
import { newestJournal } from '../journal/newest';
import { type MatHealth, type MatPower, matHealthOf } from '../model/mat';
import { type Fact, facts } from '../terminal/output';

const OPTIONS = { store: typedText, controller: typedText };

/** Weaker than it was by this for sure: worth a look. */
const WEAKER_SHARE = 0.03;
/** Less of its heat left in the coldest hours than this share is little. */
const SPARE_SHARE = 0.1;

async function model(context: Context, options: OptionsOf<typeof OPTIONS>) {
  const { units, style } = context;
  const { boardId, pulled, lives, profiles, nowMs } = await newestJournal(context, options);
  const life = lives.filter(({ entries }) => entries.length > 0).at(-1);
  const dated = life === undefined ? [] : dateEntries(life.entries, life.life);
  const record = recordOf(withSoundTimes(dated), profiles);
  const health = matHealthOf(record);
  if (!health.ok) {
    throw refused(
      'cannot-tell',
      health.why,
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
  const { now, first, change, mostDutyShare, spareW } = health.value;
  const show = showIn(record, units, nowMs);
  const range = (one: MatPower): string => show.range(one.fromMs, one.toMs);
  return {
    result: {
      ...{ boardId, pulled, now: told(now), first: first === null ? null : told(first) },
      ...{ change, mostDutyShare, spareW },
    },
    text: facts(modelFacts(health.value, range), style),
  };
}

const percent = (share: number): string => `${Math.round(Math.abs(share) * 100)} %`;
const wattsText = ({ watts, lowW, highW }: MatPower): string =>
  `${watts.toFixed(1)} W reach the tray (${lowW.toFixed(1)} to ${highW.toFixed(1)} W, nine times of ten)`;

function modelFacts(health: MatHealth, range: (one: MatPower) => string): readonly Fact[] {
  const { now, first, change, mostDutyShare, spareW } = health;
  const little = 1 - mostDutyShare < SPARE_SHARE;
  return [
    { label: 'Mat', value: wattsText(now), note: range(now) },
    ...(first === null ? [] : [{ label: 'At first', value: wattsText(first), note: range(first) }]),
    ...(change === null ? [] : [changeFact(change)]),
    {
      label: 'Coldest hours',
      value: little
        ? `the mat was on ${percent(mostDutyShare)} of the time: a colder night is too much for it`
        : `the mat was on ${percent(mostDutyShare)} of the time, with ${spareW.toFixed(0)} W to spare`,
      ...(little ? { tone: 'warn' as const } : {}),
    },
    {
      label: 'Not told',
      value: 'what tray and lid lose, and how cold the room is: no probe is in the room',
    },
  ];
}

function changeFact({ share, high }: NonNullable<MatHealth['change']>): Fact {
  if (high < -WEAKER_SHARE) {
    return {
      label: 'Health',
      value: `${percent(share)} weaker than at first: look at its plug, its cable and its supply`,
      tone: 'warn',
    };
  }
  return { label: 'Health', value: 'as at first, as far as readings can tell' };
}

export function register(noun: Command, act: Act): void {
  noun
    .command('model')
    .description('what the mat gives, by the journal, and how sure that is')
    .option('--store <folder>', 'where journals are kept')
    .option(
      '--controller <id>',
      'whose journal (default: the one that answers, or was pulled last)',
    )
    .action(act(OPTIONS, model));
}
