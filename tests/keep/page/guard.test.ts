/** Who is let in to the page, and what a browser may do with it. */
import { createServer } from 'node:http';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Secret } from '../../../cli/keep/config/secret';
import { TOKEN_LIMITS } from '../../../cli/keep/page/limits';
import { Guesses, guesserOf } from '../../../cli/keep/page/serve/guesses';
import { Sessions } from '../../../cli/keep/page/serve/session';
import { DAY_MS, MINUTE_MS } from '../../../shared/units/time';
import { Grower } from '../../simulation/grower';
import { House } from './house';

const TOKEN = 'f2a61b0c9d7e4853';
let open: House;
let locked: House;
beforeAll(async () => {
  const trays = { Pepper: new Grower({ seed: 1 }) };
  open = await House.open({ trays });
  locked = await House.open({ trays, page: { token: new Secret(TOKEN) } });
});
afterAll(() => {
  open.end();
  locked.end();
});

const get = (house: House, path: string, headers: Record<string, string> = {}) =>
  fetch(house.url + path, { headers, redirect: 'manual' });

const signIn = (token: string, next = '/') =>
  fetch(`${locked.url}/sign-in`, {
    method: 'POST',
    headers: { origin: locked.url, 'content-type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams({ token, next }),
    redirect: 'manual',
  });

const act = (house: House, headers: Record<string, string>, body: unknown = NOTE) =>
  fetch(`${house.url}/trays/Pepper/acts`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', ...headers },
    body: JSON.stringify(body),
  });
const NOTE = { id: '0123456789abcdef', sure: false, act: { act: 'note', text: 'a lamp' } };

describe('every answer of the page', () => {
  it('lets run, load and be sent only what is its own, and nothing that stands in the page itself', async () => {
    const { headers } = await get(open, '/');
    const policy = headers.get('content-security-policy') ?? '';
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy).not.toMatch(/unsafe|data:|\*|http/);
    expect(headers.get('x-content-type-options')).toBe('nosniff');
    expect(headers.get('cache-control')).toBe('no-store');
    const html = await (await get(open, '/')).text();
    expect(html).not.toMatch(/<script(?![^>]* src=)|<style|style=|\son[a-z]+=/i);
    expect(html).not.toMatch(/(?:src|href|action)="(?:https?:)?\/\//i);
  });

  it('is refused under a name that is none of this page: a stranger’s page could have given it', async () => {
    const app = (host: string) =>
      rawStatus(open, `GET / HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`);
    expect(await app('evil.example')).toBe(421);
    expect(await app('127.0.0.1')).toBe(200);
    expect(await app('localhost')).toBe(200);
  });
});

/** The status of a request that is written out, because no client sends such a one. */
async function rawStatus(house: House, request: string): Promise<number> {
  const { connect } = await import('node:net');
  const { port } = new URL(house.url);
  return new Promise((resolve, reject) => {
    const socket = connect(Number(port), '127.0.0.1', () => socket.write(request));
    socket.once('data', (data) => {
      resolve(Number(/^HTTP\/1\.1 (\d+)/.exec(data.toString())?.[1]));
      socket.destroy();
    });
    socket.once('error', reject);
  });
}

describe('what changes anything', () => {
  it('is done only where the page itself asked for it', async () => {
    const own = { origin: open.url };
    expect((await act(open, { origin: 'http://evil.example' })).status).toBe(403);
    expect((await act(open, { origin: 'null' })).status).toBe(403);
    expect((await act(open, {})).status).toBe(403);
    expect((await act(open, { ...own, 'sec-fetch-site': 'cross-site' })).status).toBe(403);
    expect((await act(open, { ...own, 'content-type': 'text/plain' })).status).toBe(422);
    expect((await act(open, own)).status).toBe(200);
  });

  it('is never done by a GET', async () => {
    expect((await get(open, '/trays/Pepper/acts')).status).toBe(404);
  });

  it('is none of what switches mat or pump, or changes a profile, whatever is sent', async () => {
    const own = { origin: open.url };
    for (const name of [
      'pump',
      'prime',
      'run',
      'heat',
      'mat',
      'stage',
      'profile',
      'shelve',
      'clock',
    ]) {
      const body = { ...NOTE, id: 'fedcba9876543210', act: { act: name } };
      expect((await act(open, own, body)).status).toBe(422);
    }
  });

  it('is done once, however often a phone sends it over a bad line', async () => {
    const body = { ...NOTE, id: '00112233445566778899' };
    const before = await notes();
    await Promise.all([
      act(open, { origin: open.url }, body),
      act(open, { origin: open.url }, body),
    ]);
    await act(open, { origin: open.url }, body);
    expect((await notes()) - before).toBe(1);
  });

  it('is no longer read than a form is long', async () => {
    const body = { ...NOTE, more: 'x'.repeat(10_000) };
    expect((await act(open, { origin: open.url }, body)).status).toBe(413);
  });
});

async function notes(): Promise<number> {
  await open.run(MINUTE_MS);
  const entries = open.pages.parts.watches[0]?.live.life?.entries ?? [];
  return entries.filter(({ kind }) => kind === 'note').length;
}

describe('the port of the page', () => {
  it('that another program has is told of, and taken once it is free', async () => {
    const squatter = createServer();
    await new Promise<void>((resolve) => squatter.listen(0, '127.0.0.1', () => resolve()));
    const { port } = Object(squatter.address());
    const trays = { Pepper: new Grower({ seed: 1 }) };
    const house = await House.open({ trays, page: { listen: { host: '127.0.0.1', port } } });
    expect(house.server.state.failing).toMatch(/Another program listens at .* already/);
    await new Promise((resolve) => squatter.close(resolve));
    await house.server.open();
    expect(house.server.state.failing).toBeNull();
    expect((await get(house, '/')).status).toBe(200);
    house.end();
  });
});

describe('a page with a token', () => {
  it('shows nothing of the trays before it is signed in, at any address', async () => {
    for (const path of [
      '/',
      '/trays/Pepper',
      '/live',
      '/trays/Pepper/live',
      '/trays/Pepper/plot',
      '/x',
    ]) {
      const answer = await get(locked, path);
      expect(answer.status).toBe(401);
      expect(await answer.text()).not.toContain('°C');
    }
    expect((await act(locked, { origin: locked.url })).status).toBe(401);
  });

  it('knows a phone by a cookie that no script and no other site has, and leads it where it wanted', async () => {
    const answer = await signIn(TOKEN, '/trays/Pepper');
    expect([answer.status, answer.headers.get('location')]).toEqual([303, '/trays/Pepper']);
    const cookie = answer.headers.get('set-cookie') ?? '';
    expect(cookie).toMatch(/HttpOnly/i);
    expect(cookie).toMatch(/SameSite=Lax/i);
    expect(cookie).not.toContain(TOKEN);
    const [pair = ''] = cookie.split(';');
    expect((await get(locked, '/trays/Pepper', { cookie: pair })).status).toBe(200);
    expect((await get(locked, '/', { cookie: `${pair.slice(0, -2)}xx` })).status).toBe(401);
    expect((await get(locked, '/', { authorization: `Bearer ${TOKEN}` })).status).toBe(200);
  });

  it('leads to a tray whose name has a space or an umlaut, as the link of a message does', async () => {
    const path = '/trays/Linke%20K%C3%BCbel';
    const asked = await (await get(locked, path)).text();
    expect(asked).toContain(`name="next" value="${path}"`);
    expect((await signIn(TOKEN, path)).headers.get('location')).toBe(path);
  });

  it('leads nobody to another site', async () => {
    for (const next of [
      '//evil.example',
      'https://evil.example',
      '/\\evil.example',
      'javascript:1',
    ]) {
      expect((await signIn(TOKEN, next)).headers.get('location')).toBe('/');
    }
  });

  it('makes whoever guesses wait, says for how long, and lets in whoever is signed in meanwhile', async () => {
    const [pair = ''] = ((await signIn(TOKEN)).headers.get('set-cookie') ?? '').split(';');
    for (let i = 0; i < TOKEN_LIMITS.ofOneMost; i++) {
      expect((await signIn(`wrong-${i}`)).status).toBe(401);
    }
    const late = await signIn(TOKEN);
    expect(late.status).toBe(429);
    expect(Number(late.headers.get('retry-after'))).toBeGreaterThan(0);
    expect(await late.text()).toMatch(/Too many wrong tokens were tried\. Wait \d+ s/);
    expect((await get(locked, '/', { cookie: pair })).status).toBe(200);
    await locked.run(MINUTE_MS);
    expect((await signIn(TOKEN)).status).toBe(303);
  });
});

describe('a million guesses', () => {
  it('are not looked at when they come at once, from as many addresses as there are', () => {
    const guesses = new Guesses();
    let looked = 0;
    const look = (): boolean => {
      looked += 1;
      return false;
    };
    for (let i = 0; i < 1_000_000; i++) {
      guesses.attempt(`10.${i >> 16}.${(i >> 8) & 255}.${i & 255}`, 0, look);
    }
    expect(looked).toBe(TOKEN_LIMITS.ofAllMost);
  });

  it('take almost two years for whoever never sleeps, and have many addresses', () => {
    const guesses = new Guesses();
    let looked = 0;
    for (let ms = 0; ms < 30 * DAY_MS; ms += 20_000) {
      guesses.attempt(`10.0.${ms % 251}.${ms % 241}`, ms, () => {
        looked += 1;
        return false;
      });
    }
    const years = ((1_000_000 / looked) * 30) / 365;
    expect(years).toBeGreaterThan(1.8);
  });

  it('count for a whole network where addresses cost nothing', () => {
    expect(guesserOf('2001:db8:1:2:aaaa::1')).toBe(guesserOf('2001:db8:1:2:bbbb::2'));
    expect(guesserOf('2001:db8::1')).toBe('2001:db8:0:0');
    expect(guesserOf('::ffff:192.168.1.2')).toBe('192.168.1.2');
  });
});

describe('a cookie', () => {
  it('outlives the keeper, and neither its term nor its token', () => {
    const made = new Sessions(new Secret(TOKEN), 'room').made(0);
    const again = new Sessions(new Secret(TOKEN), 'room');
    expect(again.holds(made, DAY_MS)).toBe(true);
    expect(again.holds(made, TOKEN_LIMITS.sessionMs + 1)).toBe(false);
    const [until = '', signed = ''] = made.split('.');
    expect(again.holds(`${Number(until) + DAY_MS}.${signed}`, 0)).toBe(false);
    expect(new Sessions(new Secret(`${TOKEN}0`), 'room').holds(made, 0)).toBe(false);
    expect(new Sessions(new Secret(TOKEN), 'other').holds(made, 0)).toBe(false);
    expect(again.holds('', 0)).toBe(false);
  });
});
