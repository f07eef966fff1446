/** Who is let in, and what a browser may do with what it gets. Every route stands behind this. */

import { isIP } from 'node:net';
import { hostname } from 'node:os';
import type { Context, Hono, MiddlewareHandler } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { getCookie, setCookie } from 'hono/cookie';
import { secureHeaders } from 'hono/secure-headers';
import type { PagePlan } from '../../config/plan';
import { documentOf } from '../draw/document';
import { signInBody } from '../draw/sign-in';
import { PAGE_LIMITS, TOKEN_LIMITS } from '../limits';
import type { Assets } from './assets';
import { type Attempt, Guesses } from './guesses';
import { Sessions } from './session';

export interface GuardParts {
  readonly plan: PagePlan;
  /** Name of the keeper: cookies of two on one computer are told apart by it. */
  readonly keeper: string;
  readonly assets: Assets;
  readonly nowMs: () => number;
  /** Time that no setting of the clock moves, ms. */
  readonly steadyMs: () => number;
}

const headers = secureHeaders({
  contentSecurityPolicy: {
    ...{ defaultSrc: ["'none'"], scriptSrc: ["'self'"], styleSrc: ["'self'"], imgSrc: ["'self'"] },
    ...{ connectSrc: ["'self'"], formAction: ["'self'"], baseUri: ["'none'"] },
    frameAncestors: ["'none'"],
  },
  // With none at all a form would be sent without its origin.
  referrerPolicy: 'same-origin',
  xFrameOptions: 'DENY',
  // Whether this is reached by TLS is the matter of what stands in front of it.
  strictTransportSecurity: false,
});

const nameOf = (host: string): string =>
  host
    .replace(/:\d+$/, '')
    .replace(/^\[|\]$/g, '')
    .toLowerCase();

/** A page of anybody can have a name that leads to this computer; it cannot have an address for a name. */
function knownHosts({ url }: PagePlan): MiddlewareHandler {
  const own = hostname().toLowerCase();
  const names = [
    'localhost',
    own,
    `${own}.local`,
    ...(url === null ? [] : [new URL(url).hostname]),
  ];
  return async (context, next) => {
    const name = nameOf(context.req.header('host') ?? '');
    if (isIP(name) !== 0 || names.includes(name)) return next();
    return context.text(
      `This page is not known as ${name}. Its name stands in the keeper's file as page.url.`,
      421,
    );
  };
}

/** What changes anything is asked for by this page itself, and by no other one that happens to be open. */
function ownPagesOnly({ url }: PagePlan): MiddlewareHandler {
  return async (context, next) => {
    if (context.req.method === 'GET' || context.req.method === 'HEAD') return next();
    const origin = context.req.header('origin');
    const site = context.req.header('sec-fetch-site');
    const host = context.req.header('host') ?? '';
    const own = [
      `http://${host}`,
      `https://${host}`,
      ...(url === null ? [] : [new URL(url).origin]),
    ];
    const isOwn = origin === undefined ? site === 'same-origin' : own.includes(origin);
    if (isOwn && (site === undefined || site === 'same-origin')) return next();
    return context.text('This was not asked for by the page itself, so it was not done.', 403);
  };
}

/** A path of this page and of nothing else. */
const pathIn = (text: string): string => (/^\/(?![/\\])[\x21-\x7e]*$/.test(text) ? text : '/');

/** What was asked for, as it was written: names of trays have spaces and letters that only a decoded path shows. */
const pathOf = ({ req }: Context): string => pathIn(new URL(req.url).pathname);

/** From which address a request comes. */
const addressOf = ({ env }: Context): string =>
  String(Object(env).incoming?.socket?.remoteAddress ?? 'unknown');

class TokenDoor {
  readonly #guesses = new Guesses();
  readonly #cookie: string;

  constructor(
    private readonly sessions: Sessions,
    private readonly parts: GuardParts,
  ) {
    this.#cookie = `trayward-${parts.keeper}`;
  }

  /** By the cookie; or, for programs, by the token as a bearer's. */
  readonly letIn: MiddlewareHandler = async (context, next) => {
    const cookie = getCookie(context, this.#cookie);
    if (cookie !== undefined && this.sessions.holds(cookie, this.parts.nowMs())) return next();
    const [, bearer] = /^Bearer (\S+)$/.exec(context.req.header('authorization') ?? '') ?? [];
    if (bearer === undefined) return this.#ask(context, pathOf(context), '', 401);
    const attempt = this.#attempt(context, bearer);
    return attempt.is === 'right' ? next() : this.#refuse(context, '/', attempt);
  };

  readonly signIn = async (context: Context): Promise<Response> => {
    const { token, next } = await context.req.parseBody();
    const to = pathIn(typeof next === 'string' ? next : '/');
    const attempt = this.#attempt(context, typeof token === 'string' ? token.trim() : '');
    if (attempt.is !== 'right') return this.#refuse(context, to, attempt);
    setCookie(context, this.#cookie, this.sessions.made(this.parts.nowMs()), {
      // Lax, so that whoever comes by the link of a message is known; nothing is changed by a link.
      ...{ httpOnly: true, sameSite: 'Lax', path: '/', maxAge: TOKEN_LIMITS.sessionMs / 1000 },
      secure: this.parts.plan.url?.startsWith('https:') ?? false,
    });
    return context.redirect(to, 303);
  };

  #attempt(context: Context, token: string): Attempt {
    return this.#guesses.attempt(addressOf(context), this.parts.steadyMs(), () =>
      this.sessions.isToken(token),
    );
  }

  #refuse(context: Context, next: string, attempt: Attempt): Response | Promise<Response> {
    if (attempt.is !== 'wait') return this.#ask(context, next, 'That is not the token.', 401);
    const seconds = Math.ceil(attempt.ms / 1000);
    context.header('retry-after', String(seconds));
    const why = `Too many wrong tokens were tried. Wait ${seconds} s, then try again.`;
    return this.#ask(context, next, why, 429);
  }

  #ask(
    context: Context,
    next: string,
    why: string,
    status: 401 | 429,
  ): Response | Promise<Response> {
    const { assets, keeper } = this.parts;
    const options = { title: `Sign in: ${keeper}`, assets, script: null, live: null, acts: null };
    return context.html(documentOf(options, signInBody(keeper, next, why)), status);
  }
}

/** Puts the guard before all routes that are added later. */
export function guard(app: Hono, parts: GuardParts): void {
  const { plan, keeper } = parts;
  app.use(
    headers,
    knownHosts(plan),
    ownPagesOnly(plan),
    bodyLimit({ maxSize: PAGE_LIMITS.bodyBytes }),
  );
  app.use(async (context, next) => {
    await next();
    if (!context.res.headers.has('cache-control')) context.header('cache-control', 'no-store');
  });
  if (plan.token === null) return;
  const door = new TokenDoor(new Sessions(plan.token, keeper), parts);
  app.post('/sign-in', door.signIn);
  app.use((context, next) =>
    context.req.path.startsWith('/assets/') ? next() : door.letIn(context, next),
  );
}
