/**
 * `trayward`: its global options, and how every command ends. Each noun's file is loaded only when it
 * is used, so that `--help` starts at once.
 */
import { Command, CommanderError, Help, InvalidArgumentError, Option } from 'commander';
import { version } from '../package.json';
import { nearest } from '../shared/text/nearest';
import { withMinus } from './arguments/minus';
import { given, oneOf, readOptions, typedText } from './arguments/options';
import { asFailure } from './as-failure';
import { COMPLETE } from './commands/completion';
import { candidates } from './complete';
import type { Act, Answer, Units, World } from './context';
import { asKnown } from './digits/known';
import { type CommandError, EXIT_CODES, usage } from './failure';
import { NOUNS } from './nouns';
import { type GlobalOptions, runInSession } from './session';
import { indented, styleFor, widthFor, wrap } from './terminal/output';

const FIRST_STEPS = `
First steps before anything is sown:
  trayward plan pepper --ready DATE --plants 60 --keep pepper
  trayward agenda                     (what is due next)
  trayward profile new pepper         (then edit pepper.yaml)
  trayward rehearse pepper.yaml --room "16..20 C"
Then with a new tray:
  trayward scale calibrate --weight 5kg --cell 10kg
  trayward pump prime
  trayward pump calibrate
  trayward profile load pepper.yaml
  trayward mark dry                   (then soaked, then sown, as you do it)
  trayward watch
No controller at hand? trayward bench start simulates a tray.`;

function parseUnits(text: string): Units {
  if (text === 'metric' || text === 'us') return text;
  throw new InvalidArgumentError('Use metric or us.');
}

const UNITS: readonly Units[] = ['metric', 'us'];
const GLOBAL_READERS = { json: given, quiet: given, units: oneOf(UNITS), port: typedText };

/** `reckons`: with the digits that are known of what was reckoned. */
type Finish = (answer: Answer, json: boolean, reckons: boolean) => Promise<void>;

function globalOptions(program: Command, world: World): GlobalOptions {
  const { json, quiet, port, units: asked } = readOptions(program, GLOBAL_READERS, 'metric');
  const units = asked ?? world.env.TRAYWARD_UNITS ?? '';
  if (units !== '' && units !== 'metric' && units !== 'us') {
    throw usage(`TRAYWARD_UNITS=${units} is not known.`, 'Set it to metric or us.');
  }
  return {
    json,
    quiet,
    units: units === 'us' ? 'us' : 'metric',
    port: port ?? (world.env.TRAYWARD_PORT || null),
  };
}

/** The program with its global options, and no noun yet. */
function bareProgram(world: World, json: boolean): Command {
  return new Command('trayward')
    .description(
      'Looks after a propagation tray: prepares its controller, and explains what happened.',
    )
    .version(version, '-V, --version', 'print the version')
    .helpOption('-h, --help', 'explain a command')
    .helpCommand(false)
    .option('--json', 'print one JSON object for programs')
    .option('--port <port>', 'serial port or tcp://HOST:PORT (default: the only controller found)')
    .addOption(new Option('--units <units>', 'metric or us').argParser(parseUnits))
    .option('--quiet', 'no progress, results only')
    .showSuggestionAfterError()
    .addHelpText('after', FIRST_STEPS)
    .configureHelp({
      showGlobalOptions: true,
      helpWidth: widthFor(world.stdout.columns),
      // Defaults as one would type them.
      optionDescription: (option) => new Help().optionDescription(option).replaceAll('"', ''),
    })
    .configureOutput({
      writeOut: (text) => world.stdout.write(text),
      // A program is told in its own way what a person reads here.
      writeErr: (text) => json || world.stderr.write(text),
      outputError: () => {},
    })
    .exitOverride();
}

/** Runs a verb's work in a session of its own, and hands its answer to `finish`. */
function actOf(program: Command, world: World, finish: Finish, reckons: boolean): Act {
  return (readers, work) =>
    async (...typed) => {
      const command = typed.pop();
      typed.pop();
      if (!(command instanceof Command)) throw new Error('commander called without its command');
      const args = typed.flat().filter((value): value is string => typeof value === 'string');
      const options = globalOptions(program, world);
      const answer = await runInSession(world, options, (context) =>
        work(context, readOptions(command, readers, options.units), args),
      );
      await finish(answer, options.json, reckons);
    };
}

/** Names the nouns; the verbs of one are added when it is used. */
function addNouns(program: Command, world: World, finish: Finish): void {
  for (const { name, summary } of NOUNS)
    program.command(name).summary(summary).description(summary).helpCommand(false);
  program.hook('preSubcommand', async (_, used) => {
    const noun = NOUNS.find(({ name }) => name === used.name());
    if (noun === undefined) return;
    const act = actOf(program, world, finish, noun.reckons === true);
    (await noun.load()).register(used, act);
  });
}

/** `help scale zero` is said as `scale zero --help`, so that the noun's file is loaded for it. */
function withHelpLast(args: readonly string[]): readonly string[] {
  return args[0] === 'help' ? [...args.slice(1), '--help'] : args;
}

/** Commander's own suggestion, where it is near enough to be a slip of the finger: two letters of four are none. */
function nearSuggestion(what: string, hint: string): string | null {
  const [, typed = ''] = /'-*([^']*)'/.exec(what) ?? [];
  const offered = [...hint.replace(/^.Did you mean (one of )?/, '').matchAll(/(-*)([\w-]+)/g)];
  const near = nearest(
    typed,
    offered.map(([, , word = '']) => word),
  );
  const [shown] = offered.find(([, , word]) => word === near) ?? [];
  return shown === undefined ? null : `Did you mean ${shown}?`;
}

const FILE_NAME = /\.[a-z]\w*$/i;

/** What the word too many, the last of `argv`, was to be: a file, where `command` takes one by an option; else a unit. */
function adviceOnExcess(command: Command | undefined, argv: readonly string[]): string {
  const options = command?.options.filter(({ flags }) => flags.includes('<file>')) ?? [];
  if (options.length > 0 && FILE_NAME.test(argv.at(-1) ?? ''))
    return `A file is given with ${options.map(({ long }) => long).join(' or ')}. See the command with --help.`;
  return 'A value and its unit are one word, 1.2mS/cm or "1.2 mS/cm". See the command with --help.';
}

/** What commander refused of `argv`, in the words of the others. */
function fromCommander(
  error: CommanderError,
  argv: readonly string[],
  program: Command,
): CommandError {
  const [what = '', hint = ''] = error.message.replace(/^error: /, '').split('\n');
  if (error.code === 'commander.help') {
    return usage('Say what to do.', 'See `trayward --help`, or `trayward NOUN --help`.', 'no-verb');
  }
  if (error.code === 'commander.excessArguments') {
    const [, verb = 'this command'] = /for '([^']*)'/.exec(what) ?? [];
    const word = argv.find((one) => NOUNS.some(({ name }) => name === one));
    const noun = program.commands.find((one) => one.name() === word);
    const isNoun = noun === undefined || noun.name() === verb;
    const command = isNoun ? noun : noun.commands.find((one) => one.name() === verb);
    const called = isNoun ? verb : `${noun.name()} ${verb}`;
    return usage(
      `There are more words than ${called} takes.`,
      adviceOnExcess(command, argv),
      'excessArguments',
    );
  }
  const sentence = what.charAt(0).toUpperCase() + what.slice(1).replace(/\.?$/, '.');
  return usage(
    sentence,
    nearSuggestion(what, hint) ?? 'See `trayward --help`, or add --help to the command.',
    error.code.replace(/^commander\./, ''),
  );
}

function report(failure: CommandError, json: boolean, world: World): number {
  if (json) {
    const { kind, reason, message, next, details } = failure;
    const error = { kind, reason, message, next, ...(details.length > 0 ? { details } : {}) };
    world.stdout.write(`${JSON.stringify({ ok: false, error })}\n`);
  } else {
    const style = styleFor(world.stderr, world.env);
    // A terminal has just shown "^C", maybe behind a question.
    const afterKey = world.stderr.isTTY === true ? '\n' : '';
    const lead = failure.kind === 'interrupted' ? afterKey : `${style.bad('Not done:')} `;
    world.stderr.write(`${wrap(lead + failure.message, style.width)}\n`);
    if (failure.next !== '')
      world.stderr.write(`${indented(wrap(failure.next, style.width - 2), 2)}\n`);
  }
  if ((world.env.TRAYWARD_DEBUG ?? '') !== '') {
    const origin = failure.cause instanceof Error ? failure.cause : failure;
    world.stderr.write(`${origin.stack}\n`);
  }
  return failure.exitCode;
}

/** Runs one command line (without `node` and the script) and returns its exit code. Never throws. */
export async function main(argv: readonly string[], world: World): Promise<number> {
  const json = argv.includes('--json');
  const program = bareProgram(world, json);
  const finish: Finish = async ({ result, text, isLong = false }, asJson, reckons) => {
    if (asJson) {
      const shown = reckons ? asKnown(result) : result;
      world.stdout.write(`${JSON.stringify({ ok: true, result: shown })}\n`);
    } else if (text !== '') {
      const paged = isLong && world.stdout.isTTY === true && (await world.page(`${text}\n`));
      if (!paged) world.stdout.write(`${text}\n`);
    }
  };
  addNouns(program, world, finish);
  try {
    if (argv[0] === COMPLETE) {
      const words = await candidates(program, NOUNS, argv.slice(1), world.env);
      world.stdout.write(words.map((word) => `${word}\n`).join(''));
      return EXIT_CODES.done;
    }
    await program.parseAsync(withHelpLast(withMinus(argv)), { from: 'user' });
    return EXIT_CODES.done;
  } catch (error) {
    if (error instanceof CommanderError) {
      if (error.exitCode === 0) return EXIT_CODES.done;
      if (error.code === 'commander.help' && !json) return EXIT_CODES.usage;
      return report(fromCommander(error, argv, program), json, world);
    }
    return report(asFailure(error, false), json, world);
  }
}
