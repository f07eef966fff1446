/** `keep start`: one process for all trays of a file, until it is told to stop. */
import { join } from 'node:path';
import type { Answer, Context } from '../context';
import { storeFolder } from '../journal/places';
import { localTime } from '../terminal/local-time';
import { Claims } from './claims';
import type { KeepPlan } from './config/plan';
import type { Door } from './doors/door';
import { openDoor } from './doors/open';
import { Heartbeat } from './heartbeat';
import { Keeper } from './keeper';
import { WATCH_LIMITS } from './limits';
import { OpenDoors } from './open/open-doors';
import { openOutboxDisk } from './outbox/disk';
import { Outbox } from './outbox/outbox';
import type { Perform } from './page/serve/acts';
import type { PageServer } from './page/serve/listen';
import { Postman } from './postman';
import { stateOf } from './state';
import { toldToStop } from './stop';
import { TrayWatch, type WatchAround } from './tray/watch';

/** What goes round beside the keeper needs of it. */
export interface Around {
  /** Folder of journals. */
  readonly store: string;
  /** Time that no setting of the clock moves, ms. */
  readonly steadyMs: () => number;
  readonly say: (text: string) => void;
}

/** Something that goes round beside the keeper, over its trays. */
export interface Beside {
  round(watches: readonly TrayWatch[]): void;
  close(): Promise<void>;
}

export interface StartOptions {
  readonly store: string | null;
  readonly untilStdinCloses: boolean;
  /** What does what the page is told, by the commands of the same names, with journals in a folder. */
  readonly actsIn: (store: string) => Perform;
  /** What else the file wants: journals sent to a fleet. */
  readonly besideOf: (plan: KeepPlan, around: Around) => readonly Beside[];
}

/** Every door of a file, by its name. */
export async function openMessageDoors({
  doors,
  name,
}: KeepPlan): Promise<ReadonlyMap<string, Door>> {
  const opened = await Promise.all(
    doors.map(async (door) => [door.name, await openDoor(door, name)] as const),
  );
  return new Map(opened);
}

/** A line with its time, for the journal of the system or a terminal. */
function sayer({ world, quiet }: Context): (text: string) => void {
  return (text) => {
    if (!quiet) world.stderr.write(`${localTime(world.now())}  ${text}\n`);
  };
}

const steadyMs = (): number => performance.now();

/** What waits for somebody who is no longer in the file would wait for ever. */
function forgetStrangers(
  outbox: Outbox,
  { tells }: KeepPlan,
  nowMs: number,
  say: (text: string) => void,
): void {
  const lost = outbox.pending.filter(({ tell }) => !tells.some(({ id }) => id === tell));
  if (lost.length === 0) return;
  say(`${lost.length} messages for people or doors that are no longer in the file are dropped.`);
  outbox.decided(
    outbox.memory,
    [],
    lost.map(({ id }) => id),
    nowMs,
  );
}

/** The outbox in `folder`, with what is still to be sent. */
function openOutbox(
  folder: string,
  plan: KeepPlan,
  nowMs: number,
  say: (text: string) => void,
): Outbox {
  const outbox = Outbox.open(openOutboxDisk(folder), nowMs);
  if (outbox.damaged > 0) {
    say(
      `${outbox.damaged} lines of the outbox cannot be read any more: this disk has changed them.`,
    );
  }
  forgetStrangers(outbox, plan, nowMs, say);
  return outbox;
}

/** Keeps the trays of `plan` until Ctrl-C, SIGTERM, or the end of standard input where that is wanted. */
export async function startKeeping(
  context: Context,
  plan: KeepPlan,
  options: StartOptions,
): Promise<Answer> {
  const { world } = context;
  const store = storeFolder(options.store, world.env);
  const say = sayer(context);
  const now = (): number => world.now();
  const claims = new Claims();
  context.atEnd(() => claims.release());
  claims.takeName(plan.name);
  const folder = join(store, 'keep', plan.name);
  const outbox = openOutbox(folder, plan, now(), say);
  const doors = await openMessageDoors(plan);
  const postman = new Postman(doors, plan.tells, outbox, { from: plan.name, now, steadyMs, say });
  context.atEnd(() => postman.close());
  const watches = watchesOf(plan, claims, { world, store, say, steadyMs });
  context.atEnd(async () => void (await Promise.all(watches.map((watch) => watch.close()))));
  const beside = options.besideOf(plan, { store, steadyMs, say });
  context.atEnd(async () => void (await Promise.all(beside.map((one) => one.close()))));
  const keeper = new Keeper({ plan, watches, outbox, postman, now, steadyMs, say });
  const perform = options.actsIn(store);
  const page = await openPage(context, plan, { watches, perform, keeper, outbox, postman, say });
  const open = await OpenDoors.open({
    ...{ plan, watches, outbox, now, steadyMs, say, folder },
    ...{ doors: () => postman.states, startedMs: () => keeper.times.startedMs },
  });
  context.atEnd(() => open.close());
  await answerState(claims, { plan, keeper, watches, outbox, postman, open, page, now });
  const round = async (): Promise<void> => {
    await keeper.round();
    open.round();
    for (const one of beside) one.round(watches);
  };
  await round();
  tellStarted(context, plan);
  const heartbeat = plan.heartbeat === null ? null : new Heartbeat(plan.heartbeat, say);
  const rounds = await goRound(context, round, heartbeat, options.untilStdinCloses);
  return { result: { event: 'stopped', rounds }, text: 'The keeper has stopped.' };
}

interface StateNeeds {
  readonly plan: KeepPlan;
  readonly keeper: Keeper;
  readonly watches: readonly TrayWatch[];
  readonly outbox: Outbox;
  readonly postman: Postman;
  readonly open: OpenDoors;
  readonly page: PageServer | null;
  readonly now: () => number;
}

/** From now on `keep status` is answered. */
const answerState = (
  claims: Claims,
  { plan: { name, file }, keeper, watches, outbox, postman, open, page, now }: StateNeeds,
): Promise<void> =>
  claims.answer(name, () =>
    stateOf({
      ...{ name, file, startedUnixMs: Math.round(keeper.times.startedMs), nowUnixMs: now() },
      ...{ watches, outbox, doors: postman.states, open: open.state, page: page?.state ?? null },
    }),
  );

/** A watch of each tray; one that another keeper has is refused as it is found. */
const watchesOf = (
  { trays }: KeepPlan,
  claims: Claims,
  around: Omit<WatchAround, 'share' | 'claim'>,
): readonly TrayWatch[] =>
  trays.map(
    (tray) =>
      new TrayWatch(tray, {
        ...around,
        share: (port) => claims.sharePort(port),
        claim: (name, hello) => claims.takeBoard(name, hello),
      }),
  );

/** The line by which people and programs know that all trays were looked at once. */
function tellStarted({ world, json }: Context, { name, file, trays }: KeepPlan): void {
  const started = { event: 'started', name, file, pid: process.pid, trays: trays.length };
  const kept = trays.length === 1 ? 'one tray' : `${trays.length} trays`;
  world.stdout.write(
    json
      ? `${JSON.stringify({ ok: true, result: started })}\n`
      : `Keeping ${kept} of ${name}. Ctrl-C ends it; the trays go on by themselves.\n`,
  );
}

interface PageNeeds {
  readonly watches: readonly TrayWatch[];
  readonly perform: Perform;
  readonly keeper: Keeper;
  readonly outbox: Outbox;
  readonly postman: Postman;
  readonly say: (text: string) => void;
}

/** The page, where the file wants one; it listens in the end, whoever has its port now. */
async function openPage(
  context: Context,
  plan: KeepPlan,
  needs: PageNeeds,
): Promise<PageServer | null> {
  if (plan.page === null) return null;
  const [{ pageServer }, { PageRoom }] = await Promise.all([
    import('./page/serve/listen'),
    import('./page/serve/room'),
  ]);
  const { watches, perform, keeper, outbox, postman, say } = needs;
  const { units, name } = plan;
  const room = new PageRoom({
    ...{ title: name, units, watches, times: () => keeper.times },
    keeper: () => ({ diskFailing: outbox.trouble?.code ?? null, doors: postman.states }),
  });
  const around = { keeper: name, nowMs: () => context.world.now(), steadyMs, say };
  const server = await pageServer(plan.page, { room, perform, ...around });
  context.atEnd(() => server.close());
  await server.openInTheEnd();
  return server;
}

/** Rounds until it is told to stop; how many. */
async function goRound(
  context: Context,
  round: () => Promise<void>,
  heartbeat: Heartbeat | null,
  untilStdinCloses: boolean,
): Promise<number> {
  const { world } = context;
  const told = toldToStop(context, untilStdinCloses).then(() => true);
  for (let rounds = 1; ; rounds++) {
    void heartbeat?.round(steadyMs());
    const pause = world.pause(WATCH_LIMITS.lookEveryMs).then(() => false);
    if (await Promise.race([told, pause])) return rounds;
    await round();
  }
}
