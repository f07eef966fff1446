/** `page`: one tray as a page for a phone or a browser, without a keeper. */
import { dirname, resolve } from 'node:path';
import type { Command } from 'commander';
import { given, type OptionsOf, typedText } from '../arguments/options';
import type { Act, Context } from '../context';
import { refused, usage } from '../failure';
import { storeFolder } from '../journal/places';
import { isHere } from '../keep/config/open-doors';
import { whyNoToken } from '../keep/config/page';
import type { PagePlan } from '../keep/config/plan';
import { listenAt } from '../keep/config/schema';
import { readSecret } from '../keep/config/secret';

const USUAL = '127.0.0.1:4181';
const EXAMPLE = 'For the phones in the house: --listen 0.0.0.0:4181 --token-file page-token';
const MAKE = '`openssl rand -hex 16 > page-token` makes one; then `chmod 600 page-token`.';

const OPTIONS = {
  listen: typedText,
  tokenFile: typedText,
  store: typedText,
  untilStdinCloses: given,
};
type Options = OptionsOf<typeof OPTIONS>;

/** Where the page listens, and who is let in. Refuses one that others can reach without a token. */
function planOf({ listen, tokenFile }: Options, env: Context['world']['env']): PagePlan {
  const at = listenAt.safeParse(listen ?? USUAL);
  if (!at.success) throw usage(`--listen ${listen} is no address with a port.`, EXAMPLE);
  if (tokenFile === null) {
    if (isHere(at.data.host)) return { listen: at.data, url: null, token: null };
    throw usage('Others can reach this page: it wants a token.', `${MAKE} ${EXAMPLE}`, 'no-token');
  }
  const path = resolve(tokenFile);
  const read = readSecret({ from: 'file', path }, dirname(path), env);
  const why = read.ok ? whyNoToken(read.secret.reveal()) : read.why;
  if (!read.ok || why !== null)
    throw refused('token-unusable', why ?? '', read.ok ? EXAMPLE : MAKE);
  return { listen: at.data, url: null, token: read.secret };
}

async function page(context: Context, options: Options) {
  const plan = planOf(options, context.world.env);
  const { showTray } = await import('../keep/page/alone');
  const { actsOf } = await import('./page-acts');
  const store = storeFolder(options.store, context.world.env);
  const { world, units } = context;
  const perform = actsOf({ world, store, units });
  return showTray(context, plan, { store, perform, untilStdinCloses: options.untilStdinCloses });
}

export function register(noun: Command, act: Act): void {
  noun
    .option('--listen <address>', `where it listens (default: ${USUAL}, this computer alone)`)
    .option('--token-file <file>', 'what phones are asked for once; wanted where others reach it')
    .option('--store <folder>', 'where journals are kept')
    .option('--until-stdin-closes', 'end when standard input does, for programs')
    .action(act(OPTIONS, page));
}
