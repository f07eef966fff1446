/** `bench start|run|speed|hand|fault|state|stop`: a simulated tray to try things on. */
import { type Command, Option } from 'commander';
import { FAULT_NAMES, FAULTS, type FaultName } from '../../firmware/bench/faults';
import { HAND_ACTION_NAMES, HAND_ACTIONS } from '../../firmware/bench/hand-actions';
import { CROP_NAMES } from '../../firmware/bench/plant/crops';
import { FASTEST_TIMES, LONGEST_RUN_S } from '../../firmware/bench/server/door';
import { formatQuantity } from '../../shared/units';
import { choose } from '../arguments/choice';
import { given, quantity, typedText } from '../arguments/options';
import { plainNumber, quantityOf } from '../arguments/quantity';
import { ask, doorOf, stateText } from '../bench/ask';
import { handAction, handValue } from '../bench/hand';
import { START_OPTIONS, startBench } from '../bench/start';
import type { Act, Context } from '../context';
import { usage } from '../failure';
import { table } from '../terminal/output';

const TIME_EXAMPLE = 'Give a time such as 90 s, 2 h or 21 d.';

function faultName(text: string): FaultName {
  const none = `There is no fault "${text}".`;
  return choose(FAULT_NAMES, text, none, 'See `trayward bench fault` for the list.');
}

function listOf(entries: readonly (readonly [string, string])[], context: Context): string {
  return table([{ title: 'name' }, { title: 'what it does' }], entries, context.style);
}

const DRIVEN = { bench: typedText };
const FAULT = { ...DRIVEN, for: quantity('duration', TIME_EXAMPLE), off: given };

/** Every verb that drives a running bench can be told which. */
function driven(command: Command): Command {
  return command.addOption(
    new Option('--bench <name>', 'which bench, as `bench start` calls it (default: the only one)'),
  );
}

function registerStart(noun: Command, act: Act): void {
  noun
    .command('start')
    .description('start a bench and keep it running until Ctrl-C or `bench stop`')
    .option('--listen <port>', 'TCP port of the link; 0: any free one', '4180')
    .option('--door <port>', 'TCP port that drives the bench; 0: any free one', '0')
    .option('--pty <path>', 'also make a serial device at this path (needs socat)')
    .option('--image <file>', 'run this flash image (.uf2) in an emulated board')
    .option('--listen-uart <port>', 'TCP port of the second door, UART0; 0: any free one')
    .addOption(
      new Option(
        '--pty-uart <path>',
        'a serial device for UART0 at this path, instead of TCP (needs socat)',
      ).conflicts('listenUart'),
    )
    .option('--drive <folder>', 'where the boot drive of its board appears: for `board update`')
    .option('--speed <times>', 'simulated seconds a second; 0: only `bench run` moves time', '1')
    .option(
      '--seed <number>',
      'which tray, cell, pump, weather and board: the same seed, the same run (default: 1, on a board of its own)',
    )
    .option(
      '--profile <file>',
      'with the wool, matting, blocks, reservoir and crop of this profile',
    )
    .addOption(
      new Option(
        '--crop <name>',
        'what is sown (default: the crop of the profile, or pepper)',
      ).choices(CROP_NAMES),
    )
    .option('--room <temperature>', 'mean temperature of the room', '18 C')
    .option('--swing <difference>', 'how far the room goes above and below it in a day', '2 K')
    .option('--warmest <hour>', 'hour of the day at which the room is warmest', '15')
    .option('--cell <mass>', 'rated capacity of the load cell', '10 kg')
    .option('--pump-flow <volume>', 'what the pump really gives in a second (default: by seed)')
    .option('--ntc <R25/B>', 'both probes are this NTC, such as 10k/3435 (default: the reference)')
    .option(
      '--until-stdin-closes',
      'stop when standard input ends: for programs that start a bench',
    )
    .action(act(START_OPTIONS, async (context, options) => startBench(context, options)));
}

function registerRun(noun: Command, act: Act): void {
  driven(noun.command('run <duration...>'))
    .description('let simulated time pass as fast as it goes, such as 90 s, 2 h or 21 d')
    .action(
      act(DRIVEN, async (context, { bench }, words) => {
        const forS = quantityOf('duration', words.join(' '), TIME_EXAMPLE);
        if (!(forS > 0 && forS <= LONGEST_RUN_S)) {
          const most = formatQuantity('duration', LONGEST_RUN_S, context.units);
          throw usage(
            `A run takes more than 0 s, and ${most} at most.`,
            'Give a time such as 2 h.',
          );
        }
        const result = await ask(doorOf(context, bench), { do: 'run', forS });
        return { result, text: stateText(result, context) };
      }),
    );
}

function registerSpeed(noun: Command, act: Act): void {
  driven(noun.command('speed <times>'))
    .description('simulated seconds a second; 0 stops time')
    .action(
      act(DRIVEN, async (context, { bench }, [text = '']) => {
        const times = plainNumber(text);
        if (!(times <= FASTEST_TIMES)) {
          throw usage(`"${text}" is no speed from 0 to ${FASTEST_TIMES}.`, 'Give one, such as 60.');
        }
        const result = await ask(doorOf(context, bench), { do: 'speed', times });
        return { result, text: stateText(result, context) };
      }),
    );
}

function registerHand(noun: Command, act: Act): void {
  driven(noun.command('hand [action] [value...]'))
    .description("the grower's hand; without an action: the list")
    .action(
      act(DRIVEN, async (context, { bench }, [name, ...words]) => {
        if (name === undefined) {
          const actions = HAND_ACTION_NAMES.map((one) => [one, HAND_ACTIONS[one].says] as const);
          return { result: { actions: HAND_ACTION_NAMES }, text: listOf(actions, context) };
        }
        const action = handAction(name);
        const value = handValue(action, words.join(' '), context.units);
        const result = await ask(doorOf(context, bench), { do: 'hand', action, value });
        return { result, text: stateText(result, context) };
      }),
    );
}

function registerFault(noun: Command, act: Act): void {
  driven(noun.command('fault [name]'))
    .description('let something go wrong; without a name: the list')
    .option('--for <duration>', 'ends by itself after so long; else by --off')
    .option('--off', 'put it right again')
    .action(
      act(FAULT, async (context, options, [name]) => {
        if (name === undefined) {
          const faults = FAULT_NAMES.map((one) => [one, FAULTS[one]] as const);
          return { result: { faults: FAULT_NAMES }, text: listOf(faults, context) };
        }
        const fault = faultName(name);
        const result = await ask(doorOf(context, options.bench), {
          do: 'fault',
          name: fault,
          on: !options.off,
          ...(options.for === null ? {} : { forS: options.for }),
        });
        return { result, text: stateText(result, context) };
      }),
    );
}

function registerState(noun: Command, act: Act): void {
  driven(noun.command('state'))
    .description('what is really so on the bench, whatever the controller believes')
    .action(
      act(DRIVEN, async (context, { bench }) => {
        const result = await ask(doorOf(context, bench), { do: 'state' });
        return { result, text: stateText(result, context) };
      }),
    );
}

function registerStop(noun: Command, act: Act): void {
  driven(noun.command('stop'))
    .description('end a running bench')
    .action(
      act(DRIVEN, async (context, { bench }) => {
        const result = await ask(doorOf(context, bench), { do: 'stop' });
        return { result, text: 'The bench has stopped.' };
      }),
    );
}

/** Gives its noun verbs. */
export function register(noun: Command, act: Act): void {
  registerStart(noun, act);
  registerRun(noun, act);
  registerSpeed(noun, act);
  registerHand(noun, act);
  registerFault(noun, act);
  registerState(noun, act);
  registerStop(noun, act);
}
