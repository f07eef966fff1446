/** The page of the one tray that answers, without a keeper: it watches and shows, and tells nobody. */
import type { Answer, Context } from '../../context';
import { CommandError, refused } from '../../failure';
import { Claims } from '../claims';
import type { PagePlan } from '../config/plan';
import { WATCH_LIMITS } from '../limits';
import { SteadyClock } from '../steady-clock';
import { toldToStop } from '../stop';
import { TrayWatch } from '../tray/watch';
import type { Perform } from './serve/acts';
import { pageServer } from './serve/listen';
import { PageRoom } from './serve/room';

export interface AloneOptions {
  readonly store: string;
  readonly perform: Perform;
  readonly untilStdinCloses: boolean;
}

const steadyMs = (): number => performance.now();

/** Holds the port and shares it with other commands; where a keeper has it already, that one shares it. */
async function shareOrBorrow(claims: Claims, port: string): Promise<void> {
  try {
    await claims.sharePort(port);
  } catch (error) {
    if (!(error instanceof CommandError) || error.reason !== 'kept-already') throw error;
  }
}

/** What the tray is called: its profile says it best. */
const nameOf = async (context: Context): Promise<{ name: string; port: string }> => {
  const client = await context.client();
  const { profile } = await client.call('status.read', {});
  await client.close();
  return { name: profile?.title ?? `Tray ${client.hello.boardId}`, port: client.port };
};

/** Shows it until Ctrl-C, SIGTERM, or the end of standard input where that is wanted. */
export async function showTray(
  context: Context,
  plan: PagePlan,
  { store, perform, untilStdinCloses }: AloneOptions,
): Promise<Answer> {
  const { world, units, json } = context;
  const { name, port } = await nameOf(context);
  const claims = new Claims();
  context.atEnd(() => claims.release());
  const say = (text: string): void => context.say(text);
  const watch = new TrayWatch(
    { name, port, controller: null },
    {
      ...{ world, store, say, steadyMs, claim: () => {} },
      share: (at) => shareOrBorrow(claims, at),
    },
  );
  context.atEnd(() => watch.close());
  await watch.look();
  const clock = new SteadyClock(() => world.now(), steadyMs);
  const startedMs = clock.nowMs;
  const room = new PageRoom({
    ...{ title: null, units, watches: [watch], keeper: () => null },
    times: () => ({ startedMs, nowMs: clock.nowMs }),
  });
  const server = await pageServer(plan, {
    ...{ room, keeper: 'tray', nowMs: () => world.now(), steadyMs, say },
    perform,
  });
  context.atEnd(() => server.close());
  await server.open();
  const { address, failing } = server.state;
  if (failing !== null)
    throw refused('page-port', failing, 'Give another one: --listen 127.0.0.1:4182');
  const started = { event: 'started', address, tray: name, port };
  world.stdout.write(
    json
      ? `${JSON.stringify({ ok: true, result: started })}\n`
      : `${name}: ${address}\nCtrl-C ends the page; the tray goes on by itself.\n`,
  );
  await lookUntilTold(context, watch, clock, untilStdinCloses);
  return { result: { event: 'stopped' }, text: 'The page is closed.' };
}

async function lookUntilTold(
  context: Context,
  watch: TrayWatch,
  clock: SteadyClock,
  untilStdinCloses: boolean,
): Promise<void> {
  const told = toldToStop(context, untilStdinCloses).then(() => true);
  for (;;) {
    const pause = context.world.pause(WATCH_LIMITS.lookEveryMs).then(() => false);
    if (await Promise.race([told, pause])) return;
    const movedMs = clock.movedMs();
    if (movedMs !== 0) watch.clockMoved(movedMs);
    await watch.look();
  }
}
