/** `board check` that does not come to its end: what was found till then is kept, and nothing stays on. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Client, LinkError } from '../../cli/link/client';
import { EVERY_TICK, Grower } from '../simulation/grower';
import { doing, json, unwrapped } from './program';
import { clientOf, runIn, worldAt } from './worlds';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'trayward-stopped-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

const newBoard = (): Grower => {
  const grower = new Grower({ seed: 5, room: { meanC: 20 }, ...EVERY_TICK });
  grower.bench.run(60_000);
  return grower;
};

const CHECK = ['board', 'check', '--only', 'flash,probes,mat,signals', '--yes'];
const verdicts = (said: Parameters<typeof json>[0]): string[] =>
  json(said).error.details[0].findings.map(
    ({ step, verdict }: Record<string, string>) => `${step} ${verdict}`,
  );

/** Waits as long as anything else would: what else happens meanwhile gets its turn. */
const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

/** A check that is stopped, by a hand or by the line, as soon as the mat heats. */
async function stopped(grower: Grower, words: readonly string[], by: 'interrupt' | 'cut') {
  const interrupt = new AbortController();
  let isCut = false;
  const client = clientOf(grower);
  const sleep = async (ms: number): Promise<void> => {
    grower.bench.run(ms);
    await turn();
    if (!grower.bench.state().outputs.mat) return;
    if (by === 'cut') isCut = true;
    else interrupt.abort();
  };
  const line: Client = {
    ...client,
    call: (method, params) =>
      isCut
        ? Promise.reject(new LinkError('lost', 'The line to the board was cut.'))
        : client.call(method, params),
  };
  return runIn(worldAt(grower, { interrupt: interrupt.signal, sleep }, line), words);
}

describe('a check that is stopped by Ctrl-C', () => {
  it('keeps what was found, says what was not done, and how that is done', async () => {
    const out = join(folder, 'board.txt');
    const said = await stopped(newBoard(), ['--json', ...CHECK, '--out', out], 'interrupt');
    expect(said.code).toBe(130);
    const { error } = json(said);
    expect(error).toMatchObject({ kind: 'interrupted', reason: 'check-stopped' });
    expect(error.next).toContain('--only mat,signals');
    expect(error.details[0]).toMatchObject({ complete: false });
    expect(verdicts(said)).toEqual(['flash good', 'probes good', 'mat untried', 'signals untried']);
    const report = readFileSync(out, 'utf8');
    expect(report).toContain('Flash: good.');
    expect(report).toContain('Mat: not tried. Not finished: the check was stopped.');
    expect(report).toContain('Lamp, sounder: not tried. Not done');
    expect(report).toContain('Stopped before its end. Nothing is wrong. 2 not tried.');
  });

  it('shows it as a result, and leaves the mat off', async () => {
    const grower = newBoard();
    const said = await stopped(grower, CHECK, 'interrupt');
    expect(unwrapped(said.stdout)).toContain('good: The journal takes a note');
    expect(unwrapped(said.stdout)).toContain('Not finished: the check was stopped.');
    expect(unwrapped(said.stderr)).toContain('Stopped by Ctrl-C');
    grower.bench.run(2000);
    expect(grower.bench.state().outputs.mat).toBe(false);
    // What was left behind asks for no heat again.
    for (let s = 0; s < 30; s++) {
      grower.bench.run(1000);
      await turn();
      expect(grower.bench.state().outputs.mat).toBe(false);
    }
  });

  it('before the first step has found nothing, and says so', async () => {
    const interrupt = new AbortController();
    const grower = newBoard();
    const world = worldAt(grower, { interrupt: interrupt.signal });
    const hear = doing({ 'Flash ...': () => interrupt.abort() });
    const said = await runIn(world, CHECK, hear);
    expect(said.code).toBe(130);
    expect(unwrapped(said.stdout)).toContain('not tried');
  });
});

describe('a check whose cable is pulled', () => {
  it('keeps what was found, and says when the mat is off', async () => {
    const grower = newBoard();
    const said = await stopped(grower, ['--json', ...CHECK], 'cut');
    expect(said.code).toBe(1);
    const { error } = json(said);
    expect(error).toMatchObject({ kind: 'failed', reason: 'check-stopped' });
    expect(error.message).toContain('was cut');
    expect(error.message).toContain('off 20 seconds after');
    expect(verdicts(said)).toEqual(['flash good', 'probes good', 'mat untried', 'signals untried']);
    expect(error.details[0].findings[2].says).toBe('Not finished: The line to the board was cut.');
    grower.bench.run(25_000);
    expect(grower.bench.state().outputs.mat).toBe(false);
  });
});
