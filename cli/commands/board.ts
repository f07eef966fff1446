/** `board check|image|update`: the image on to a controller, and its first hour, step by step. */
import type { Command } from 'commander';
import { BY_HAND_MAX_MS } from '../../shared/link/methods';
import {
  given,
  needed,
  type OptionsOf,
  quantity,
  type Reader,
  typedText,
} from '../arguments/options';
import { asFailure } from '../as-failure';
import { type Setup, Stopped } from '../board/bench';
import { type Finding, isGood, STEP_NAMES, type StepName } from '../board/finding';
import { putImage } from '../board/put-image';
import { reportLines, reportText } from '../board/report';
import { type Tried, tryAll } from '../board/steps';
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
  uart: typedText,
  yes: given,
  out: typedText,
  force: given,
};
type Options = OptionsOf<typeof OPTIONS>;
const IMAGE = { to: typedText, image: typedText };
const UPDATE = { ...IMAGE, again: given, yes: given };

function setupOf(options: Options, units: Units): Setup {
  const { weight: weightG, cell: cellG, ice, yes: sure, uart: uartPort } = options;
  if (!(cellG > 0))
    throw usage('A load cell of 0 g carries nothing.', 'Give its rating, such as --cell 10kg.');
  if (weightG !== null && !(weightG > 0 && weightG <= cellG))
    throw usage(
      `A known weight of ${weightText(weightG, units)} does not go with a cell of ${weightText(cellG, units)}: it must be more than nothing, and no more than the cell bears.`,
      'Give the weight and the rating of the cell: --weight 2kg --cell 10kg.',
    );
  return { weightG, cellG, ice, sure, uartPort };
}

async function check(context: Context, options: Options) {
  const { out, force, only } = options;
  const setup = setupOf(options, context.units);
  if (out !== null) {
    refuseTaken('--out', out, force);
    refuseHomeless('--out', out);
  }
  const client = await context.client();
  if (client.port === options.uart)
    throw usage(
      `--uart ${client.port} is the port that the board is reached at already.`,
      'Name the other one: `trayward find` shows both.',
    );
  const { stage } = await client.call('status.read', {});
  if (stage !== null)
    throw refused(
      'crop-stands',
      'A crop stands on the tray, and this check heats and pumps beside its profile.',
      'Check the board before anything is sown. What is wrong with a tray in use, `trayward explain` tells.',
    );
  const trial = { context, client, setup, units: context.units };
  const tried = await tryAll(trial, only, context.untilInterrupt());
  return answerOf(context, client.hello, tried, out, force);
}

type Hello = Parameters<typeof reportLines>[0];

function answerOf(
  context: Context,
  hello: Hello,
  { findings, end }: Tried,
  out: string | null,
  force: boolean,
) {
  const written = out === null ? '' : `\nWritten to ${out}.`;
  const complete = end === null;
  const text = reportText(findings, complete, context.style) + written;
  if (out !== null) write(out, reportLines(hello, findings, complete, context.world.now()), force);
  const { boardId, firmware } = hello;
  const result = { boardId, firmware, good: isGood(findings), complete, findings, out };
  if (result.good && complete) return { result, text };
  // The result all the same; what is wrong with it comes after.
  if (!context.json) context.world.stdout.write(`${text}\n`);
  throw complete ? boardWrong(result) : checkStopped(result, end, context.units);
}

type Result = {
  readonly findings: readonly Finding[];
};

const stepsOf = ({ findings }: Result, verdict: Finding['verdict']): readonly StepName[] =>
  STEP_NAMES.filter((name) =>
    findings.some((finding) => finding.step === name && finding.verdict === verdict),
  );

function boardWrong(result: Result): CommandError {
  const faults = stepsOf(result, 'wrong');
  return new CommandError(
    'refused',
    'board-wrong',
    `The board is not as it should be: ${faults.join(', ')}.`,
    `Put right what is said of each, unplugged; then check it again: trayward board check --only ${faults.join(',')}`,
    [result],
  );
}

/** Ended by somebody, or by the line: with what was found till then. */
function checkStopped(result: Result, end: NonNullable<Tried['end']>, units: Units): CommandError {
  const steps = stepsOf(result, 'untried').join(',');
  const next = `What was found is above. The rest: trayward board check --only ${steps}`;
  if (end instanceof Stopped)
    return new CommandError(
      'interrupted',
      'check-stopped',
      'Stopped by Ctrl-C; pump and mat are off.',
      next,
      [result],
    );
  const { kind, message } = asFailure(end, true, units);
  const off = `A mat that was heating is off ${BY_HAND_MAX_MS.mat / 1000} seconds after its last word from here.`;
  return new CommandError(kind, 'check-stopped', `${message} ${off}`, next, [result], {
    cause: end,
  });
}

export function register(noun: Command, act: Act): void {
  noun
    .command('check')
    .description('try a controller that was built: probes, scale, pump, mat, lamp and sounder')
    .option('--only <steps>', `these alone, with commas: ${STEP_NAMES.join(', ')}`)
    .option('--weight <mass>', 'the known weight for the scale, such as 2kg')
    .option('--cell <mass>', 'rated capacity of the load cell', '10kg')
    .option('--uart <port>', 'port of an adapter on its service header (default: the one found)')
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
