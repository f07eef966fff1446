/** `seed count`: how many have come up, kept with its date. The rest of the noun is in the files beside this one. */
import type { Command } from 'commander';
import { DAY_MS } from '../../shared/units/time';
import { moment } from '../arguments/moment';
import { given, typedText } from '../arguments/options';
import type { Act, Answer, Context } from '../context';
import { CommandError, refused, usage } from '../failure';
import { storeFolder } from '../journal/places';
import { type Client, LinkError } from '../link/client';
import { type Counted, countedOf } from '../seed/counted';
import {
  isSameSowing,
  keepCount,
  keptSowing,
  lotNamed,
  placeText,
  readSowings,
  type SeedPlace,
  type Sowing,
  sowingResult,
} from '../seed/kept';
import { SEED_LIMITS } from '../seed/limits';
import { sownMsOf } from '../seed/sown';
import { countText, sowingText } from '../seed/words';
import { wrap } from '../terminal/output';
import { registerTest } from './seed-test';

const EXAMPLE = 'For example: trayward seed count 41 of 98';

const OPTIONS = {
  lot: typedText,
  sown: moment,
  at: moment,
  store: typedText,
  controller: typedText,
  instead: given,
};

/** When it was counted: now, unless it is told later. Refuses what has not come yet. */
function countedMs(atMs: number | null, nowMs: number): number {
  if (atMs === null || atMs <= nowMs) return atMs ?? nowMs;
  throw refused('not-yet', 'That time has not come yet.', 'Check --at, and the clock.');
}

/** The controller that the tray stands on; without one the grower may mean seed that is on no tray. */
async function trayOrLot(context: Context): Promise<Client> {
  try {
    return await context.client();
  } catch (error) {
    if (!(error instanceof CommandError) || error.kind !== 'no-controller') throw error;
    const next = `${error.next} For seed that is on no tray name its lot: --lot NAME.`;
    throw new CommandError(error.kind, error.reason, error.message, next, [], { cause: error });
  }
}

/** Where the count belongs, when it was made there, and when that was sown. */
async function placed(
  context: Context,
  store: string,
  options: { lot: string | null; at: number | null; sown: number | null },
): Promise<{ place: SeedPlace; unixMs: number; sownMs: number }> {
  const { world } = context;
  if (options.lot === null) {
    const client = await trayOrLot(context);
    const place: SeedPlace = { kind: 'tray', boardId: client.hello.boardId };
    const unixMs = countedMs(options.at, await world.nowAt(client.port));
    return { place, unixMs, sownMs: options.sown ?? (await sownMsOf(context, store)) };
  }
  const place = lotNamed(options.lot);
  const sownMs = options.sown ?? readSowings(store, place).at(-1)?.sownMs;
  if (sownMs !== undefined) return { place, unixMs: countedMs(options.at, world.now()), sownMs };
  throw usage(
    `When was ${placeText(place)} sown?`,
    'Say it with --sown once, such as --sown 2026-03-01.',
  );
}

/**
 * Tells the controller as well, so that its journal has the count in its place. False for a lot that is on no tray, for
 * a count that is told later (an entry has the time at which it is written), and for a firmware that knows no counts.
 */
async function toldBoard(
  context: Context,
  { standing, of }: Counted,
  isNow: boolean,
  place: SeedPlace,
): Promise<boolean> {
  if (place.kind === 'lot' || !isNow) return false;
  const client = await context.client();
  try {
    await client.call('count.write', { standing, of });
    return true;
  } catch (error) {
    if (error instanceof LinkError && error.kind === 'refused') return false;
    throw error;
  }
}

/** Refuses what cannot be beside the counts of the same sowing before. */
function refuseMisfit(
  counted: Counted,
  unixMs: number,
  sownMs: number,
  before: Sowing | undefined,
  insteadMs: number | null,
) {
  if (unixMs < sownMs) {
    throw refused('before-sowing', 'That is before it was sown.', 'Check --at and --sown.');
  }
  if (unixMs - sownMs > SEED_LIMITS.daysMost * DAY_MS) {
    throw refused(
      'too-old',
      `That is more than ${SEED_LIMITS.daysMost} days after it was sown.`,
      'Check --at and --sown.',
    );
  }
  // The only count so far may have been wrong in that, too.
  const isFirst = before?.counts.every((one) => one.unixMs === insteadMs);
  if (before === undefined || before.of === counted.of || isFirst) return;
  throw refused(
    'other-number-sown',
    `The counts before are of ${before.of} sown, and this one is of ${counted.of}.`,
    `Give it as so many of ${before.of}; where plants were moved on, count those that were sown all the same.`,
  );
}

/** When the count was made that is to be taken back: the newest, or the one nearest to `atMs`. */
function slipMs(before: Sowing | undefined, atMs: number | null, place: SeedPlace): number {
  const byTime = before?.counts.map(({ unixMs }) => unixMs) ?? [];
  const apart = (unixMs: number): number => Math.abs(unixMs - (atMs ?? Number.MAX_SAFE_INTEGER));
  const [nearest] = [...byTime].sort((a, b) => apart(a) - apart(b));
  if (nearest !== undefined) return nearest;
  throw refused(
    'nothing-counted',
    `No count of ${placeText(place)} is kept that could be taken back.`,
    'Leave --instead away.',
  );
}

async function keep(
  context: Context,
  store: string,
  counted: Counted,
  options: { lot: string | null; at: number | null; sown: number | null; instead: boolean },
) {
  const { place, unixMs: countedAtMs, sownMs } = await placed(context, store, options);
  const before = readSowings(store, place).find((one) => isSameSowing(one.sownMs, sownMs));
  const insteadMs = options.instead ? slipMs(before, options.at, place) : null;
  // A slip is put right for the time at which it was made.
  const unixMs = insteadMs ?? countedAtMs;
  refuseMisfit(counted, unixMs, sownMs, before, insteadMs);
  const kept = {
    unixMs,
    // The first count has said when it was sown: later ones belong to it.
    sownMs: before?.sownMs ?? sownMs,
    ...counted,
    ...(insteadMs === null ? {} : { insteadMs }),
  };
  keepCount(store, place, kept);
  const sowing = readSowings(store, place).find((one) => isSameSowing(one.sownMs, sownMs));
  if (sowing === undefined) throw new Error('a count that was kept is not there');
  const inJournal = await toldBoard(context, counted, options.at === null, place);
  return { place, sowing, kept, before, inJournal };
}

/** Keeps a count, on this computer and in the journal of the tray. */
export async function count(
  context: Context,
  store: string,
  counted: Counted,
  options: Parameters<typeof keep>[3],
): Promise<Answer> {
  const kept = await keep(context, store, counted, options);
  const { place, sowing, before, inJournal } = kept;
  const text = countText(kept.kept, before, place, place.kind === 'tray' && !inJournal);
  return {
    result: { ...sowingResult(place, sowing), inJournal },
    text: wrap(text, context.style.width),
  };
}

/** Gives its noun verbs. */
export function register(noun: Command, act: Act): void {
  noun
    .command('count')
    .argument('[count...]', 'how many stand, of how many sown: 41 of 98')
    .description('keep how many have come up; without a count, list those kept')
    .option('--lot <name>', 'a lot of seed that stands on no tray of ours, such as on paper')
    .option('--sown <time>', 'when it was sown; of a tray the journal knows')
    .option('--at <time>', 'when it was counted (default: now)')
    .option(
      '--instead',
      'a slip: this takes the place of the newest count, or of the one made about --at',
    )
    .option('--store <folder>', 'where journals and counts are kept')
    .option('--controller <id>', 'to list: which tray (default: the one counted last)')
    .action(
      act(OPTIONS, async (context, options, args) => {
        const { style, world } = context;
        const store = storeFolder(options.store, world.env);
        const nowMs = world.now();
        if (args.length === 0) {
          if (options.instead) throw usage('--instead needs the count as it should be.', EXAMPLE);
          const { place, sowing } = keptSowing(store, options.lot, options.controller);
          const result = sowingResult(place, sowing);
          return { result, text: sowingText(result, style), isLong: true };
        }
        return count(context, store, countedOf(args.join(' '), EXAMPLE), {
          lot: options.lot,
          at: options.at?.(nowMs) ?? null,
          sown: options.sown?.(nowMs) ?? null,
          instead: options.instead,
        });
      }),
    );
  registerTest(noun, act);
}
