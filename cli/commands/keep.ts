/** `keep check|start|test|status|install`: the keeper of a room. */
import type { Command } from 'commander';
import { problemText } from '../../shared/profile/host/problem';
import { given, type OptionsOf, typedText } from '../arguments/options';
import type { Act, Context } from '../context';
import { sendersOf } from '../fleet/sending/of-keeper';
import { readKeep } from '../keep/config/check';
import { EXAMPLE } from '../keep/config/example';
import { keeperNameOf } from '../keep/config/name';
import { wrap } from '../terminal/output';
import { install } from './keep-install';
import { testDoors } from './keep-test';

const FILE = "the keeper's file, such as room.yaml";
const STORE = 'where journals and the outbox are kept';

const CHECK = { example: given };
const START = { store: typedText, untilStdinCloses: given };
const INSTALL = { out: typedText, store: typedText, force: given };

async function check(context: Context, options: OptionsOf<typeof CHECK>, file?: string) {
  if (options.example) return { result: { example: EXAMPLE }, text: EXAMPLE.trimEnd() };
  const { plan, warnings } = readKeep(file, context.world.env);
  const { name, trays, doors, tells } = plan;
  const people = new Set(tells.map(({ who }) => who)).size;
  const count = (many: number, one: string, more: string): string =>
    `${many} ${many === 1 ? one : more}`;
  return {
    result: { name, trays: trays.length, doors: doors.length, people, warnings },
    text: [
      ...warnings.map(problemText),
      wrap(
        `${file} is in order: ${count(trays.length, 'tray', 'trays')}, ${count(doors.length, 'door', 'doors')}, ${count(people, 'person', 'people')} to tell. \`trayward keep test ${file}\` sends each a message.`,
        context.style.width,
      ),
    ].join('\n'),
  };
}

async function start(context: Context, options: OptionsOf<typeof START>, file?: string) {
  const { plan, warnings } = readKeep(file, context.world.env);
  for (const warning of warnings) context.caution(problemText(warning));
  const [{ startKeeping }, { actsOf }] = await Promise.all([
    import('../keep/start'),
    import('./page-acts'),
  ]);
  const { world } = context;
  const actsIn = (store: string) => actsOf({ world, store, units: plan.units });
  return startKeeping(context, plan, { ...options, actsIn, besideOf: sendersOf });
}

async function status(context: Context, file?: string) {
  const name = keeperNameOf(file);
  const { askKeeper } = await import('../keep/ask');
  const { stateText } = await import('../keep/words/state');
  const result = await askKeeper(name);
  return { result, text: stateText(result, context.style, context.units) };
}

export function register(noun: Command, act: Act): void {
  noun
    .command('check')
    .argument('[file]', FILE)
    .option('--example', 'print one to start from')
    .description('say everything that is wrong with a file, without starting anything')
    .action(act(CHECK, (context, options, [file]) => check(context, options, file)));
  noun
    .command('start')
    .argument('<file>', FILE)
    .option('--store <folder>', STORE)
    .option('--until-stdin-closes', 'end when standard input does, for programs')
    .description('keep the trays and tell people, until Ctrl-C')
    .action(act(START, (context, options, [file]) => start(context, options, file)));
  noun
    .command('test')
    .argument('<file>', FILE)
    .description('send one message to each person by each door')
    .action(act({}, (context, _options, [file]) => testDoors(context, file)));
  noun
    .command('status')
    .argument('<file>', FILE)
    .description('what the running keeper knows: trays, what stands, what waits to be sent')
    .action(act({}, (context, _options, [file]) => status(context, file)));
  noun
    .command('install')
    .argument('<file>', FILE)
    .option('--out <file>', "where the unit is written (default: your systemd's own folder)")
    .option('--store <folder>', STORE)
    .option('--force', 'write over a unit that is there')
    .description('have the keeper started with the computer')
    .action(act(INSTALL, (context, options, [file]) => install(context, options, file)));
}
