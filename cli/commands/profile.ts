/** `profile new|check|load|read|compare|schema`. */
import type { Command } from 'commander';
import { CROP_FILE_NAMES, type CropFileName } from '../../shared/profile/host/crops';
import { profileJsonSchema } from '../../shared/profile/host/schema';
import { profileIdText } from '../../shared/profile/image';
import type { Profile } from '../../shared/profile/profile';
import { choose } from '../arguments/choice';
import { given, type OptionsOf, typedText } from '../arguments/options';
import type { Act, Context } from '../context';
import { type CommandError, failed, refused } from '../failure';
import type { Client } from '../link/client';
import { type Compiled, compile } from '../profile/compile';
import { compareProfiles, profileRows } from '../profile/rows';
import { readActive, readImage, sendImage } from '../profile/transfer';
import { writeProfile } from '../profile/write';
import {
  asTyped,
  rehearsable,
  rehearseCommand,
  rehearseOnce,
  roomText,
  shortText,
  USUAL_AIR,
} from '../rehearse/once';
import { table, wrap } from '../terminal/output';
import { registerCheck } from './profile-check';

function cropName(text: string): CropFileName {
  return choose(
    CROP_FILE_NAMES,
    text.toLowerCase(),
    `There is no crop "${text}" to start from.`,
    `Crops are: ${CROP_FILE_NAMES.join(', ')}. For another one, start from the crop most like it.`,
    'no-such-crop',
  );
}

function registerNew(noun: Command, act: Act): void {
  noun
    .command('new')
    .argument('[crop]', CROP_FILE_NAMES.join(', '))
    .argument('[file]', 'profile file to write (default: CROP.yaml in this folder)')
    .description('write a profile to start from; without a crop: the list')
    .option('--force', 'write over a file that is there already')
    .action(
      act({ force: given }, async (context, { force }, [name, named]) => {
        if (name === undefined) {
          const text = `There is a profile to start from for ${CROP_FILE_NAMES.join(', ')}.
Write one to edit:  trayward profile new ${CROP_FILE_NAMES[0]}`;
          return { result: { crops: CROP_FILE_NAMES }, text };
        }
        const crop = cropName(name);
        const file = named ?? `${crop}.yaml`;
        const schema = writeProfile(crop, file, force);
        const typed = asTyped(file);
        const text = `${file} is written, and beside it ${schema}, by which an editor completes and checks it. Edit it for your tray, wool and room, then:
  trayward profile check ${typed}
  trayward profile load ${typed}`;
        return { result: { crop, file, schema }, text: wrap(text, context.style.width) };
      }),
    );
}

const LOAD = { stage: typedText, yes: given };

/** Where the tray goes on: null from the start, or the index of a stage of the new profile. */
async function chooseStage(
  context: Context,
  client: Client,
  options: OptionsOf<typeof LOAD>,
  profile: Profile,
): Promise<number | null> {
  const { stage } = await client.call('status.read', {});
  if (stage === null) return null;
  const wanted = options.stage ?? 'same';
  if (wanted === 'start') return 0;
  const name = wanted === 'same' ? stage.name : wanted;
  const index = profile.stages.findIndex((one) => one.name === name);
  if (index < 0) {
    throw refused(
      'no-such-stage',
      `The tray is in stage "${stage.name}", and the new profile has no stage "${name}".`,
      `Say where it goes on: --stage ${profile.stages.map((one) => one.name).join('|')}, or --stage start.`,
    );
  }
  const says = `The tray is in stage "${stage.name}". It goes on in stage "${name}" of the new profile. Load it?`;
  if (!options.yes && !(await context.ask.confirm(says, '--yes'))) {
    throw notLoaded();
  }
  return index;
}

/** Before anything is sent, a person at a terminal may look at what will be; a script is not asked. */
async function offerRehearsal(context: Context, compiled: Compiled, file: string): Promise<void> {
  const { ask, units } = context;
  const { crop } = compiled.profile;
  if (!ask.possible || rehearsable(crop) === null) return;
  const room = roomText(USUAL_AIR, units);
  const says = `Rehearse ${asTyped(file)} first, once in a room of ${room}? That takes a second, and nothing is loaded yet.`;
  if (!(await ask.confirm(says, '--yes'))) return;
  const short = await rehearseOnce(compiled, USUAL_AIR, units);
  context.instruct(shortText(short, file, units).join('\n'));
  if (!(await ask.confirm('Load it?', '--yes'))) throw notLoaded();
}

const notLoaded = (): CommandError =>
  refused('not-confirmed', 'The profile was not loaded.', 'The board stays as it was.');

function registerLoad(noun: Command, act: Act): void {
  noun
    .command('load')
    .argument('<file>', 'profile file (YAML)')
    .description('check, send, switch to it at once, and verify by reading back')
    .option('--stage <name>', 'stage to go on in: a name, same or start (default: same)')
    .option('--yes', 'do not ask')
    .action(
      act(LOAD, async (context, options, [file = '']) => {
        const compiled = compile(file);
        const { profile, image, id } = compiled;
        if (!options.yes) await offerRehearsal(context, compiled, file);
        const client = await context.client();
        const stage = await chooseStage(context, client, options, profile);
        const progress = await context.progress('Sending', image.length);
        const loaded = await sendImage(client, image, id, stage, (done) =>
          progress.update(done),
        ).finally(() => progress.stop());
        const back = await readImage(client, loaded.slot);
        if (!back.every((byte, i) => byte === image[i]) || back.length !== image.length) {
          throw failed(
            'verify-failed',
            'What was read back is not what was sent.',
            'Load it again.',
          );
        }
        const where =
          loaded.stage === null
            ? 'When seed is in, `trayward mark sown` starts it.'
            : `The tray goes on in stage "${profile.stages[loaded.stage]?.name}".`;
        const text = `${profile.title} (${profileIdText(id)}) is loaded and verified. ${where}\nHow it will go in your room: \`${rehearseCommand(file, USUAL_AIR, context.units)}\`.`;
        const result = { ...loaded, id: profileIdText(id) };
        return { result, text: wrap(text, context.style.width) };
      }),
    );
}

function registerRead(noun: Command, act: Act): void {
  noun
    .command('read')
    .description('the profile on the board, stage by stage')
    .action(
      act({}, async (context) => {
        const { profile, id } = await readActive(await context.client());
        const all = profileRows(profile, context.units);
        const rows = all.map(({ stage, what, value }, i) => [
          stage === all[i - 1]?.stage ? '' : stage,
          what,
          value,
        ]);
        const titles = ['stage', 'what', 'value'].map((title) => ({ title }));
        const heading = `${context.style.strong(profile.title)} (${profileIdText(id)})`;
        const text = `${heading}\n${table(titles, rows, context.style)}`;
        return { result: { id: profileIdText(id), profile }, text };
      }),
    );
}

function registerCompare(noun: Command, act: Act): void {
  noun
    .command('compare')
    .argument('<file>', 'profile file (YAML)')
    .description('a file against the board, stage by stage')
    .action(
      act({}, async (context, _options, [file]) => {
        const { profile } = compile(file);
        const board = await readActive(await context.client());
        const differences = compareProfiles(profile, board.profile, context.units);
        const same = differences.length === 0;
        const rows = differences.map((one) => [
          one.stage,
          one.what,
          one.file ?? '-',
          one.board ?? '-',
        ]);
        const titles = ['stage', 'what', 'file', 'board'].map((title) => ({ title }));
        const text = same ? 'File and board are the same.' : table(titles, rows, context.style);
        return { result: { same, differences }, text };
      }),
    );
}

function registerSchema(noun: Command, act: Act): void {
  noun
    .command('schema')
    .description('the JSON Schema that lets an editor complete and check profile files')
    .action(
      act({}, async () => {
        const schema = profileJsonSchema();
        return { result: { schema }, text: JSON.stringify(schema, null, 2) };
      }),
    );
}

export function register(noun: Command, act: Act): void {
  registerNew(noun, act);
  registerCheck(noun, act);
  registerLoad(noun, act);
  registerRead(noun, act);
  registerCompare(noun, act);
  registerSchema(noun, act);
}
