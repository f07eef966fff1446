/** The routes of the page. */
import { type Context, Hono } from 'hono';
import { compress } from 'hono/compress';
import { HTTPException } from 'hono/http-exception';
import { trayPath } from '../address';
import { documentOf } from '../draw/document';
import { roomBody, roomParts } from '../draw/room';
import { plainBody } from '../draw/sign-in';
import { trayBody, trayParts } from '../draw/tray';
import { PAGE_LIMITS } from '../limits';
import type { Outcome } from '../outcome';
import { type ActRequest, actRequest, type Perform } from './acts';
import type { Assets } from './assets';
import { type GuardParts, guard } from './guard';
import { LivePages } from './live';
import type { Watched } from './reckoner';
import type { PageRoom } from './room';

export interface AppParts extends GuardParts {
  readonly room: PageRoom;
  readonly perform: Perform;
  readonly say: (text: string) => void;
}

export interface PageApp {
  readonly app: Hono;
  readonly live: LivePages;
}

const STATUS: Readonly<Record<Outcome['is'], 200 | 409 | 422>> = {
  done: 200,
  asks: 409,
  refused: 422,
};

/** What was asked for by each id: one sent twice over a bad line happens once. */
class Acts {
  readonly #under = new Map<string, Promise<Outcome>>();

  once(id: string, work: () => Promise<Outcome>): Promise<Outcome> {
    const known = this.#under.get(id);
    if (known !== undefined) return known;
    const doing = work();
    this.#under.set(id, doing);
    const [oldest] = this.#under.keys();
    if (this.#under.size > PAGE_LIMITS.actsKept && oldest !== undefined) this.#under.delete(oldest);
    return doing;
  }
}

type Answered = Response | Promise<Response>;

/** The page with all its routes; whoever adds one stands behind the same guard. */
export function pageApp(parts: AppParts): PageApp {
  const { assets, say } = parts;
  const app = new Hono();
  const live = new LivePages();
  app.onError((error, context) => {
    if (error instanceof HTTPException) return error.getResponse();
    say(`page: something went wrong inside the program (${error.name}: ${error.message}).`);
    return context.text(
      'Something went wrong inside the program. The trays are kept all the same.',
      500,
    );
  });
  app.use(compress());
  guard(app, parts);
  app.get('/assets/:file', (context) => {
    const asset = assets.at(context.req.path);
    if (asset === null) return context.notFound();
    context.header('cache-control', 'public, max-age=31536000, immutable');
    return context.body(asset.text, 200, { 'content-type': asset.type });
  });
  roomRoutes(app, parts, live);
  trayRoutes(app, parts, live);
  app.notFound((context) =>
    notHere(context, assets, 'Not here', 'There is nothing at this address.'),
  );
  return { app, live };
}

function notHere(context: Context, assets: Assets, title: string, says: string): Answered {
  const options = { title, assets, script: null, live: null, acts: null };
  return context.html(documentOf(options, plainBody(title, says)), 404);
}

/** The first page. Where one tray is shown without a keeper, that is the tray's. */
function roomRoutes(app: Hono, { room, assets }: AppParts, live: LivePages): void {
  app.get('/', (context) => {
    const [only, ...others] = room.parts.watches;
    if (room.parts.title === null && only !== undefined && others.length === 0) {
      return context.redirect(trayPath(only.plan.name), 302);
    }
    const shown = room.room();
    const options = {
      ...({ title: shown.title, assets, script: 'room' } as const),
      ...{ live: '/live', acts: null },
    };
    return context.html(documentOf(options, roomBody(shown)));
  });
  app.get('/live', (context) =>
    live.open(context, () => {
      const shown = room.room();
      return { parts: roomParts(shown), at: shown.head.at };
    }),
  );
}

/** The pages of single trays: what is shown, its news, its plot, and what is told. */
function trayRoutes(app: Hono, parts: AppParts, live: LivePages): void {
  const { room, assets, perform } = parts;
  const acts = new Acts();
  const withTray = (context: Context, work: (watch: Watched) => Answered): Answered => {
    const name = context.req.param('tray') ?? '';
    const watch = room.watch(name);
    return watch === null
      ? notHere(context, assets, 'No such tray', `There is no tray "${name}" here.`)
      : work(watch);
  };
  app.get('/trays/:tray', (context) =>
    withTray(context, (watch) => {
      const shown = room.tray(watch);
      const path = trayPath(shown.line.name);
      const options = {
        ...({ title: `${shown.line.name}: ${shown.line.word}`, assets, script: 'tray' } as const),
        ...{ live: `${path}/live`, acts: `${path}/acts` },
      };
      return context.html(documentOf(options, trayBody(shown)));
    }),
  );
  app.get('/trays/:tray/live', (context) =>
    withTray(context, (watch) =>
      live.open(context, () => {
        const shown = room.tray(watch);
        return { parts: trayParts(shown), at: shown.at };
      }),
    ),
  );
  app.get('/trays/:tray/plot', (context) =>
    withTray(context, (watch) => context.json(room.plot(watch))),
  );
  app.post('/trays/:tray/acts', (context) =>
    withTray(context, async (watch) => {
      const asked = await requestOf(context);
      if (asked === null) return context.json(UNREADABLE, STATUS.refused);
      const outcome = await acts.once(asked.id, () => performAt(watch, asked, perform));
      live.poke();
      return context.json(outcome, STATUS[outcome.is]);
    }),
  );
}

const UNREADABLE: Outcome = {
  is: 'refused',
  says: 'That cannot be read.',
  next: 'Load the page again, and try again.',
};

async function requestOf(context: Context): Promise<ActRequest | null> {
  if (!/^application\/json\b/.test(context.req.header('content-type') ?? '')) return null;
  const parsed = actRequest.safeParse(await context.req.json().catch(() => null));
  return parsed.success ? parsed.data : null;
}

async function performAt(watch: Watched, asked: ActRequest, perform: Perform): Promise<Outcome> {
  const { port, boardId } = watch.live;
  if (port === null || boardId === null) {
    const says = `${watch.plan.name} has not been heard yet, so nothing can be told to it.`;
    return { is: 'refused', says, next: 'Look at the lamp of its controller, and at its cable.' };
  }
  const outcome = await perform(asked, { port, boardId });
  // What was done is to be seen at once. A look that fails is the keeper's to tell of.
  await watch.look().catch(() => undefined);
  return outcome;
}
