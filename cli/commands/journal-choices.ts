/** Which of the stored entries a command is about: options that `show` and `export` share. */
import type { Command } from 'commander';
import { JOURNAL_KINDS } from '../../shared/journal/codec';
import type { JournalEntry, JournalKind } from '../../shared/journal/kinds';
import { PROFILE_LIMITS } from '../../shared/profile/limits';
import { choose } from '../arguments/choice';
import { moment } from '../arguments/moment';
import { given, type OptionsOf, type Reader, typedText, whole } from '../arguments/options';
import type { Context } from '../context';
import { type DatedEntry, dateEntries, within } from '../journal/dating';
import { wholeNotes } from '../journal/notes';
import { storeFolder } from '../journal/places';
import { readStore } from '../journal/store';
import { controllerOf, damagedText, refuseBackwards } from '../journal/stored';

/** More than any store holds. */
const LAST_MAX = 1_000_000;

const entryKind: Reader<JournalKind | null> = (typed) => {
  if (typeof typed !== 'string') return null;
  const none = `There is no kind of entry "${typed}".`;
  return choose(JOURNAL_KINDS, typed, none, `Kinds are: ${JOURNAL_KINDS.join(', ')}.`);
};

/** Which entries: see `withChoices`. */
export const CHOICES = {
  store: typedText,
  controller: typedText,
  since: moment,
  until: moment,
  kind: entryKind,
  alarms: given,
  stage: whole(1, PROFILE_LIMITS.stagesMax),
  last: whole(1, LAST_MAX),
};
export type Choices = OptionsOf<typeof CHOICES>;

export interface Chosen {
  readonly entries: readonly DatedEntry[];
  /** Entries left out because the disk has spoilt them, of the whole journal. */
  readonly damaged: number;
}

/** The stored entries that the options ask for, oldest first. `isMeant`: by the kind that was asked for, null for none. */
export function chosen(
  context: Context,
  options: Choices,
  isMeant: (entry: JournalEntry, kind: JournalKind | null) => boolean,
): Chosen {
  const { stage, last } = options;
  refuseBackwards(options, context.world.now());
  const kind = options.alarms ? 'alarm' : options.kind;
  const store = storeFolder(options.store, context.world.env);
  const lives = readStore(store, controllerOf(options.controller, store));
  const damaged = lives.reduce((sum, life) => sum + life.damaged, 0);
  if (damaged > 0) context.caution(damagedText(damaged, store));
  const dated = wholeNotes(lives.flatMap(({ life, entries: ofLife }) => dateEntries(ofLife, life)));
  // A bench's days may have run ahead of this laptop's: "yesterday" is one of the tray.
  const nowMs = Math.max(context.world.now(), dated.at(-1)?.unixMs ?? 0);
  const since = options.since?.(nowMs) ?? null;
  const until = options.until?.(nowMs) ?? null;
  const entries = dated
    .filter((one) => within(one, since, until))
    .filter(({ entry }) => isMeant(entry, kind))
    .filter(({ entry }) => stage === null || ('stage' in entry && entry.stage === stage - 1));
  return { entries: last === null ? entries : entries.slice(-last), damaged };
}

export function withChoices(command: Command): Command {
  return command
    .option('--store <folder>', 'where journals are kept')
    .option('--controller <id>', 'whose journal (default: the one pulled last)')
    .option(
      '--since <time>',
      'from this time on: 2026-03-01, 2026-03-01T14:30, yesterday, 12h or 2 weeks (ago)',
    )
    .option('--until <time>', 'up to this time')
    .option('--kind <kind>', 'only this kind, such as dose, alarm, stage, mark, trace')
    .option('--alarms', 'alarms only')
    .option('--stage <number>', 'only this stage')
    .option('--last <count>', 'only so many, the newest');
}
