/** `mark WHAT`: what the grower did or saw. */
import { type Command, Option } from 'commander';
import { changeByMark } from '../../firmware/control/stages';
import { markNoteSentence } from '../../shared/link/host/refusals';
import type { Status } from '../../shared/link/status';
import { PROFILE_LIMITS as LIMITS } from '../../shared/profile/limits';
import { MARKS, type Mark, type Profile } from '../../shared/profile/profile';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { choose } from '../arguments/choice';
import { given, type OptionsOf, quantity, whole } from '../arguments/options';
import type { Act, Answer, Context } from '../context';
import { invalid, refused, usage } from '../failure';
import { readEc } from '../feed/strength';
import { readActive } from '../profile/transfer';
import { wrap } from '../terminal/output';
import { feedWantedText, holdsText } from '../words/feed';
import { lidText } from '../words/lid';
import { isNoteWord, NOTE_WORDS, writeNote } from './mark-note';

const MARKS_HELP = `
What each means:
  dry           the tray stands on the scale with dry wool: its weight is taken
  soaked        soaked in dilute feed and drained: the weight is container capacity
  sown          seed is in: the profile begins with its first stage
  emerged       most seedlings are up
  vented        the lid's vents are open
  transplanted  moved on: the roots are left alone for some days
  moved         some plants were moved on, and --pieces stay: soak and drain them, mark them soaked
  refilled      the reservoir is filled: to the profile's volume, or to --volume, with feed of --ec
These are written into the journal, and change nothing:
  note TEXT     what you want to remember: mark note "leaned, lamp lowered"
  misted        the plants were misted
  lid PLACE     where the lid is now: mark lid propped
  light TEXT    what was done to the light: mark light "16 h, lamp 10 cm higher"`;

const OPTIONS = {
  weight: quantity('mass', 'Give a weight with its unit, such as 4420g.'),
  volume: quantity('volume', 'Give a volume with its unit, such as 4l.'),
  ec: readEc('Give the EC with its unit, such as 0.8mS/cm.'),
  pieces: whole(1, LIMITS.piecesMax),
  yes: given,
};

function markName(text = ''): Mark {
  const next = `Marks are: ${[...MARKS, ...NOTE_WORDS].join(', ')}.`;
  return choose(MARKS, text, `There is no mark "${text}".`, next);
}

function statedWeight(mark: Mark, trayG: number | null): { trayG?: number } {
  if (trayG === null) return {};
  if (mark !== 'dry' && mark !== 'soaked') {
    throw usage(
      `--weight goes with the marks dry and soaked, not with ${mark}.`,
      'Leave it away: the scale weighs by itself.',
    );
  }
  return { trayG };
}

function statedFeed(
  mark: Mark,
  volumeMl: number | null,
  feedEc: number | null,
  units: UnitSystem,
): { volumeMl?: number; feedEc?: number } {
  if (volumeMl === null && feedEc === null) return {};
  if (mark !== 'refilled') {
    throw usage(
      `--volume and --ec go with the mark refilled, not with ${mark}.`,
      'Leave them away, or mark refilled as well.',
    );
  }
  if (volumeMl !== null && !(volumeMl <= LIMITS.reservoirMaxMl)) {
    throw invalid(
      'reservoir-too-large',
      `A reservoir holds ${formatQuantity('volume', LIMITS.reservoirMaxMl, units)} at most, for the drip tray must catch it; ${formatQuantity('volume', volumeMl, units)} is more.`,
      'Check the volume and its unit.',
    );
  }
  if (feedEc !== null && !(feedEc <= LIMITS.feedEcMax)) {
    throw invalid(
      'feed-too-strong',
      `Feed of ${formatQuantity('ec', feedEc, units)} is stronger than any crop here is given; ${formatQuantity('ec', LIMITS.feedEcMax, units)} is the most.`,
      'Measure again, at 25 °C or with a meter that compensates; check the unit.',
    );
  }
  return { ...(volumeMl === null ? {} : { volumeMl }), ...(feedEc === null ? {} : { feedEc }) };
}

/** How many pieces stay: nobody else can tell what each of them was given. */
function statedPieces(mark: Mark, pieces: number | null): { pieces?: number } {
  if (mark === 'moved' && pieces === null) {
    throw usage(
      'How many stay?',
      'Say it with --pieces, such as `trayward mark moved --pieces 49`.',
    );
  }
  if (mark !== 'moved' && pieces !== null) {
    throw usage(
      `--pieces goes with the mark moved, not with ${mark}.`,
      'Leave it away: the profile says how many there are.',
    );
  }
  return pieces === null ? {} : { pieces };
}

/** The question to ask before a mark that does more than end the running stage; null when there is none. */
function questionBefore(
  mark: Mark,
  { stage, water }: Status,
  profile: Profile | null,
): string | null {
  if (stage === null || profile === null) return null;
  if (mark === 'sown') {
    return `Stage "${stage.name}" is running. Start the profile from the beginning?`;
  }
  const skips = skipText(mark, stage, profile);
  const forgets = mark === 'transplanted' ? forgetText(water) : [];
  return skips.length + forgets.length === 0 ? null : [...skips, ...forgets, 'Go on?'].join(' ');
}

/** The weights of the tray belong to the pieces that stood on it: after a transplant they are weighed anew. */
function forgetText({ capacityG }: Status['water']): string[] {
  const weights = capacityG === null ? [] : ['forgets the weights of this tray'];
  const what = [...weights, 'gives no water for some days'].join(' and ');
  return [`Marking transplanted ${what}: other pieces must stand on the scale, or be about to.`];
}

/** Stages that the mark would jump, named. */
function skipText(mark: Mark, stage: NonNullable<Status['stage']>, profile: Profile): string[] {
  const { index, runS, staying } = stage;
  const change = changeByMark({ index, runMs: runS * 1000, staying }, profile, mark);
  const skipped = profile.stages.slice(index + 1, change?.state.index ?? index + 1);
  if (skipped.length === 0) return [];
  const names = skipped.map(({ name }) => `"${name}"`).join(', ');
  return [`Stage "${stage.name}" does not end by ${mark}: ${names} would be skipped.`];
}

function stageText({ index, name, lid }: NonNullable<Status['stage']>): string {
  return `Stage ${index + 1}, ${name}, has begun: lid ${lidText(lid)}.`;
}

/** What a sown tray still lacks for its doses: without it they never come, and nobody is asked for water. */
function waterlessText({ water }: Status): string[] {
  const lacks = [
    ...(water.scale === 'uncalibrated' ? ['calibrate the scale'] : []),
    ...(water.capacityG === null ? ['mark the tray soaked'] : []),
  ];
  if (lacks.length === 0) return [];
  return [`No water can be given yet: ${lacks.join(', and ')} before the hold is over.`];
}

/** As it was understood; and feed that the stage does not want, while the grower still stands there with the can. */
function refilledText(status: Status, units: UnitSystem): string {
  const wants =
    status.water.otherFeedWaitS === null ? '' : `; the ${feedWantedText(status, units)}`;
  return `The reservoir holds ${holdsText(status, units)}${wants}.`;
}

/** Asks, where the mark does more than it says; then tells the controller. */
export async function setMark(
  context: Context,
  mark: Mark,
  options: OptionsOf<typeof OPTIONS>,
): Promise<Answer> {
  const weight = statedWeight(mark, options.weight);
  const staying = statedPieces(mark, options.pieces);
  const client = await context.client();
  const before = await client.call('status.read', {});
  const { stage } = before;
  const feed = statedFeed(mark, options.volume, options.ec, context.units);
  const question = options.yes
    ? null
    : questionBefore(mark, before, stage === null ? null : (await readActive(client)).profile);
  if (question !== null && !(await context.ask.confirm(question, '--yes'))) {
    throw refused('not-confirmed', 'The stage was left as it is.', 'Nothing changed.');
  }
  // Hands have just been on the tray: a weight that still swings is none to keep in mind.
  const settled = options.weight !== null || (await client.call('scale.read', {})).stable;
  const marked = await client.call('mark.set', { mark, ...weight, ...feed, ...staying });
  const { trayG } = marked;
  const known = trayG !== null && settled;
  const weighed = known ? ` at ${formatQuantity('mass', trayG, context.units)}` : '';
  const { note, dryG } = marked;
  const told = note === null ? [] : [markNoteSentence(note, mark, dryG, context.units)];
  const after = await client.call('status.read', {});
  const moved = after.stage?.index === stage?.index ? null : after.stage;
  const lines = [
    `Marked ${mark}${weighed}.`,
    ...told,
    ...(moved === null ? [] : [stageText(moved)]),
    ...(mark === 'sown' ? waterlessText(after) : []),
    ...(mark === 'refilled' ? [refilledText(after, context.units)] : []),
  ];
  return { result: { mark, ...marked }, text: wrap(lines.join('\n'), context.style.width) };
}

export function register(noun: Command, act: Act): void {
  noun
    .argument('<what>', [...MARKS, ...NOTE_WORDS].join(', '))
    .argument('[text...]', 'for note, misted, lid and light')
    .addOption(
      new Option('--weight <mass>', 'for dry and soaked: the weight, instead of the scale'),
    )
    .option('--volume <volume>', 'for refilled: what is in the reservoir now')
    .option('--ec <ec>', 'for refilled: the EC of the feed, at 25 °C')
    .option('--pieces <number>', 'for moved: how many pieces stay on the scale')
    .option('--yes', 'do not ask before sowing anew, transplanting, or skipping stages')
    .addHelpText('after', MARKS_HELP)
    .action(
      act(OPTIONS, async (context, options, [what, ...said]) => {
        if (isNoteWord(what)) {
          const { weight, volume, ec, pieces } = options;
          if ([weight, volume, ec, pieces].some((one) => one !== null)) {
            throw usage(
              `${what} is written down as it is said: it takes no options.`,
              'Leave them away, or mark what they belong to.',
            );
          }
          return writeNote(context, what, said);
        }
        const mark = markName(what);
        if (said.length > 0) {
          throw usage(
            `The mark ${mark} takes no more words: "${said.join(' ')}".`,
            'To write something down: trayward mark note "leaned, lamp lowered"',
          );
        }
        return setMark(context, mark, options);
      }),
    );
}
