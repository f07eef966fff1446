/** `board check|image|update`: the image on to a controller, and its first hour, step by step. */
import type { Command } from 'commander';
import {
  given,
  needed,
  type OptionsOf,
  quantity,
  type Reader,
  typedText,
} from '../arguments/options';
import type { Setup } from '../board/bench';
import { type Finding, isGood, STEP_NAMES, type StepName } from '../board/finding';
import { putImage } from '../board/put-image';
import { reportLines, reportText } from '../board/report';
import { tryAll } from '../board/steps';
import { updateBoard } from '../board/update';
import { weightText } from '../calibration/words';
import type { Act, Context, Units } from '../context';
import { CommandError, refused, usage } from '../failure';
import { refuseHomeless, refuseTaken, write } from './report-files';

/** Steps by name, with commas between; all of them unless typed. */
const steps: Reader<readonly StepName[]> = (typed) => {
  if (typeof typed !== 'string') return STEP_NAMES;
  const names = typed.split(',').map((name) => name.trim().toLowerCase());
  const unknown = names.find((name) => !STEP_NAMES.some((step) => step === name));
  if (unknown !== undefined)
    throw usage(
      `There is no step ${JSON.stringify(unknown)}.`,
      `Steps are ${STEP_NAMES.join(', ')}.`,
    );
  return STEP_NAMES.filter((step) => names.includes(step));
};

const OPTIONS = {
  only: steps,
  weight: quantity('mass'),
  cell: needed(quantity('mass')),
  ice: given,
  yes: given,
  out: typedText,
  force: given,
};
type Options = OptionsOf<typeof OPTIONS>;
const IMAGE = { to: typedText, image: typedText };
const UPDATE = { ...IMAGE, again: given, yes: given };

function setupOf({ weight: weightG, cell: cellG, ice, yes: sure }: Options, units: Units): Setup {
  if (!(cellG > 0))
    throw usage('A load cell of 0 g carries nothing.', 'Give its rating, such as --cell 10kg.');
  if (weightG !== null && !(weightG > 0 && weightG <= cellG))
    throw usage(
      `A known weight of ${weightText(weightG, units)} does not go with a cell of ${weightText(cellG, units)}: it must be more than nothing, and no more than the cell bears.`,
      'Give the weight and the rating of the cell: --weight 2kg --cell 10kg.',
    );
  return { weightG, cellG, ice, sure };
}

async function check(context: Context, options: Options) {
  const { out, force, only } = options;
  const setup = setupOf(options, context.units);
  if (out !== null) {
    refuseTaken('--out', out, force);
    refuseHomeless('--out', out);
  }
  const client = await context.client();
  const { stage } = await client.call('status.read', {});
  if (stage !== null)
    throw refused(
      'crop-stands',
      'A crop stands on the tray, and this check heats and pumps beside its profile.',
      'Check the board before anything is sown. What is wrong with a tray in use, `trayward explain` tells.',
    );
  const findings = await tryAll({ context, client, setup, units: context.units }, only);
  return answerOf(context, client.hello, findings, out, force);
}

type Hello = Parameters<typeof reportLines>[0];

function answerOf(
  context: Context,
  hello: Hello,
  findings: readonly Finding[],
  out: string | null,
  force: boolean,
) {
  const written = out === null ? '' : `\nWritten to ${out}.`;
  const text = reportText(findings, context.style) + written;
  if (out !== null) write(out, reportLines(hello, findings, context.world.now()), force);
  const { boardId, firmware } = hello;
  const result = { boardId, firmware, good: isGood(findings), findings, out };
  if (result.good) return { result, text };
  // Said even where only results are wanted: it is what is wrong.
  if (!context.json) context.instruct(text);
  const faults = STEP_NAMES.filter((name) =>
    findings.some(({ step, verdict }) => step === name && verdict === 'wrong'),
  );
  throw new CommandError(
    'refused',
    'board-wrong',
    `The board is not as it should be: ${faults.join(', ')}.`,
    `Put right what is said of each, unplugged; then check it again: trayward board check --only ${faults.join(',')}`,
    [result],
  );
}

export function register(noun: Command, act: Act): void {
  noun
    .command('check')
    .description('try a controller that was built: probes, scale, pump, mat, lamp and sounder')
    .option('--only <steps>', `these alone, with commas: ${STEP_NAMES.join(', ')}`)
    .option('--weight <mass>', 'the known weight for the scale, such as 2kg')
    .option('--cell <mass>', 'rated capacity of the load cell', '10kg')
    .option('--ice', 'crushed ice and water are at hand for the root-zone probe')
    .option('--yes', 'run the pump and heat the mat without asking')
    .option('--out <file>', 'write what was found into a text file, to keep or to send')
    .option('--force', 'write over that file')
    .action(act(OPTIONS, (context, options) => check(context, options)));
  noun
    .command('image')
    .description('put the flash image on a board that was plugged in with BOOTSEL held')
    .option('--to <drive>', 'where its drive is (default: the only one found)')
    .option('--image <file>', 'another image than the one that comes with the program')
    .action(act(IMAGE, (context, { image, to }) => putImage(context, image, to)));
  noun
    .command('update')
    .description('put the flash image on the board that answers, without a button')
    .option('--to <drive>', 'where its drive will appear (default: where drives appear)')
    .option('--image <file>', 'another image than the one that comes with the program')
    .option('--again', 'also where the board runs that version already')
    .option('--yes', 'do not ask')
    .action(
      act(UPDATE, (context, { yes, ...wanted }) => updateBoard(context, { ...wanted, sure: yes })),
    );
}
