/** The built program with its page: its port, its token, its address, the link in its messages. */
import type { ChildProcess } from 'node:child_process';
import { chmodSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:http';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { json, type ProcessBench, Program, unwrapped } from '../../cli/program';
import { Receiver } from '../servers';

const TOKEN = 'f2a61b0c9d7e4853';
let program: Program;
let bench: ProcessBench;
let receiver: Receiver;
beforeAll(async () => {
  program = await Program.built();
  bench = await program.startBench();
  receiver = await Receiver.start();
  await bench.wait(60);
  writeFileSync(join(program.home, 'secret'), 'hook-secret', { mode: 0o600 });
  writeFileSync(join(program.home, 'page-token'), `${TOKEN}\n`, { mode: 0o600 });
  writeFileSync(join(program.home, 'short'), 'sesame', { mode: 0o600 });
  writeFileSync(join(program.home, 'open'), TOKEN);
  chmodSync(join(program.home, 'open'), 0o644);
});
afterAll(async () => {
  await receiver.stop();
  await program.end();
});

const running: ChildProcess[] = [];
afterEach(() => {
  for (const child of running.splice(0)) child.kill('SIGKILL');
});

function fileOf(name: string, page: string): string {
  const path = join(program.home, `${name}.yaml`);
  const hook = `{ name: hook, kind: webhook, url: "${receiver.url}", secret: { file: secret } }`;
  writeFileSync(
    path,
    `trayward-keep: 1
name: ${name}
page: ${page}
trays:
  - { name: "Pepper north", port: "${bench.at.link}" }
doors:
  - ${hook}
tell:
  - { who: Ann, door: hook }
`,
  );
  return path;
}

/** The first line of a program that goes on. */
async function started(...words: string[]) {
  const child = program.spawn(['--json', ...words, '--until-stdin-closes']);
  running.push(child);
  let stderr = '';
  child.stderr?.on('data', (data: Buffer) => {
    stderr += data.toString();
  });
  const { result } = await new Promise<{ result: { address?: string } }>((resolve, reject) => {
    child.once('exit', (code) => reject(new Error(`ended with ${code}: ${stderr}`)));
    if (child.stdout !== null)
      createInterface({ input: child.stdout }).once('line', (line) => resolve(JSON.parse(line)));
  });
  return { child, result, said: () => stderr };
}

async function stopped(child: ChildProcess): Promise<number | null> {
  const gone = new Promise<number | null>((resolve) => child.once('exit', resolve));
  child.stdin?.end();
  return gone;
}

const stateOf = async (file: string) =>
  json(await program.runHere(['--json', 'keep', 'status', file])).result;

describe('a keeper with a page', () => {
  it('serves it at the address that its status tells, and its messages lead to the tray', async () => {
    const page = `{ listen: "127.0.0.1:0", url: "http://keeper.local:4181/", token: { file: page-token } }`;
    const file = fileOf('paged', page);
    // The keeper finds it at its first look; it looks every ten seconds.
    await bench.fault('probe-open', 60);
    await bench.wait(30);
    const { child } = await started('keep', 'start', file);
    const { address, failing } = (await stateOf(file)).page;
    expect(failing).toBeNull();
    expect((await fetch(address)).status).toBe(401);
    const authorization = `Bearer ${TOKEN}`;
    const shown = await (await fetch(address, { headers: { authorization } })).text();
    expect(shown).toContain('Pepper north');
    await expect.poll(() => receiver.posts.length, { timeout: 30_000 }).toBeGreaterThan(0);
    expect(JSON.parse(receiver.posts[0]?.body ?? '{}').data.text).toMatch(
      /\n\nThe page: http:\/\/keeper\.local:4181\/trays\/Pepper%20north$/,
    );
    expect((await program.runHere(['keep', 'status', file])).stdout).toContain(
      `The page: ${address}`,
    );
    expect(await stopped(child)).toBe(0);
  });

  it('keeps the trays when another program has the page’s port, and says so', async () => {
    const squatter = createServer();
    await new Promise<void>((resolve) => squatter.listen(0, '127.0.0.1', () => resolve()));
    const { port } = Object(squatter.address());
    const file = fileOf('squatted', `{ listen: "127.0.0.1:${port}" }`);
    const { child, said } = await started('keep', 'start', file);
    const why = `Another program listens at http://127.0.0.1:${port} already.`;
    const state = await stateOf(file);
    expect(state.page).toEqual({ address: `http://127.0.0.1:${port}`, failing: why });
    expect(state.trays[0]).toMatchObject({ name: 'Pepper north', why: null });
    expect(said()).toContain(why);
    squatter.close();
    expect(await stopped(child)).toBe(0);
  });

  it.each([
    ['{ listen: "0.0.0.0:0" }', /page\.listen.*Others can reach this page: it wants a token/],
    ['{ url: "https://trays.example.org" }', /page\.url.*Others can reach this page/],
    ['{ listen: "0.0.0.0:0", token: { file: short } }', /page\.token.*16 signs or more/],
    ['{ listen: "0.0.0.0:0", token: { file: open } }', /page\.token.*Others can read .*chmod 600/],
    ['{ listen: "0.0.0.0:0", token: sesame-tell-nobody }', /page\.token.*never written here/],
    ['{ listen: "here" }', /page\.listen.*Write where the page listens/],
    ['{ lisen: "127.0.0.1:0" }', /There is no key "lisen" here\. Did you mean "listen"\?/],
  ])('is refused with %s', async (page, why) => {
    const { code, stderr } = await program.runHere(['keep', 'check', fileOf('wrong', page)]);
    expect(code).toBe(2);
    expect(unwrapped(stderr)).toMatch(why);
    expect(stderr).not.toContain('tell-nobody');
  });

  it('is warned where no message could lead to its page', async () => {
    const { code, stdout } = await program.runHere(['keep', 'check', fileOf('local', '{}')]);
    expect(code).toBe(0);
    expect(unwrapped(stdout)).toContain('Messages will have no link to the page');
  });
});

describe('the page of one tray', () => {
  it('is served without a keeper, shares the port, and takes what is told', async () => {
    const { child, result } = await started(
      '--port',
      bench.at.link,
      'page',
      '--listen',
      '127.0.0.1:0',
    );
    const address = result.address ?? '';
    const { url, status } = await fetch(address);
    expect([status, new URL(url).pathname]).toEqual([200, expect.stringMatching(/^\/trays\//)]);
    const body = { id: '0123456789abcdef', sure: false, act: { act: 'note', text: 'by the page' } };
    const headers = { origin: address, 'content-type': 'application/json' };
    const told = await fetch(`${url}/acts`, {
      method: 'POST',
      headers,
      body: JSON.stringify(body),
    });
    expect(await told.json()).toEqual({ is: 'done', says: 'In the journal: by the page' });
    expect((await program.runHere(['--port', bench.at.link, 'status'])).code).toBe(0);
    expect(await stopped(child)).toBe(0);
  });

  it('is refused where others could reach it without a token, or another program has its port', async () => {
    const at = ['--port', bench.at.link, 'page', '--listen'];
    const open = await program.run([...at, '0.0.0.0:0']);
    expect([open.code, unwrapped(open.stderr)]).toEqual([
      2,
      expect.stringContaining('it wants a token'),
    ]);
    const loose = await program.run([
      ...at,
      '0.0.0.0:0',
      '--token-file',
      join(program.home, 'open'),
    ]);
    expect([loose.code, unwrapped(loose.stderr)]).toEqual([
      1,
      expect.stringContaining('chmod 600'),
    ]);
    const taken = await program.run([...at, new URL(receiver.url).host]);
    expect([taken.code, unwrapped(taken.stderr)]).toEqual([
      1,
      expect.stringMatching(/Another program listens at .* already\. Give another one: --listen/),
    ]);
  });
});
