import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import type { Client } from '../../cli/link/client';
import { main } from '../../cli/main';
import { Grower, HOUR_MS } from '../simulation/grower';

/** Runs the program against a tray on the bench; returns its exit code and what it printed. */
async function trayward(grower: Grower, ...argv: string[]) {
  let stdout = '';
  let stderr = '';
  const client: Client = {
    port: 'bench',
    hello: grower.call('controller.hello', {}, false),
    call: async (method, params) =>
      grower.call(
        method,
        params,
        !/\.(hello|read|list|info|page|slots|state|measured)$/.test(method),
      ),
    close: async () => {},
  };
  const code = await main(argv, {
    stdout: { write: (text) => (stdout += text) },
    stderr: { write: (text) => (stderr += text) },
    stdin: new PassThrough(),
    env: {},
    now: () => grower.bench.unixMs,
    sleep: async () => {},
    connect: async () => client,
    findControllers: async () => [{ port: 'bench', hello: client.hello }],
    interrupt: new AbortController().signal,
  });
  return { code, stdout, stderr };
}

describe('the laptop tool on a running tray', () => {
  it('tells how the tray stands, in metric and in US units', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.run(HOUR_MS);
    const metric = await trayward(grower, 'status');
    expect(metric.code).toBe(0);
    expect(metric.stdout).toContain('germinate');
    expect((await trayward(grower, '--units', 'us', 'status')).stdout).toMatch(/°?F\b/);
    const json = JSON.parse((await trayward(grower, '--json', 'status')).stdout);
    expect(json.ok).toBe(true);
    expect(json.result.stage.name).toBe('germinate');
  });

  it('marks what the grower did, and refuses what makes no sense with the right exit code', async () => {
    const grower = new Grower();
    expect((await trayward(grower, 'mark', 'emerged')).code).toBe(1);
    expect((await trayward(grower, 'mark', 'watered')).code).toBe(2);
    grower.commission();
    expect((await trayward(grower, 'mark', 'emerged')).code).toBe(0);
    expect(grower.status().stage?.name).toBe('first feed');
  });

  it('lists an alarm with advice, and clears it only when its cause has gone', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.fault('probe-open');
    grower.bench.run(10_000);
    expect((await trayward(grower, 'alarm', 'list')).stdout).toContain('probe-open');
    expect((await trayward(grower, 'alarm', 'clear', 'probe-open')).code).toBe(1);
    grower.bench.fault('probe-open', false);
    grower.bench.run(10_000);
    expect((await trayward(grower, 'alarm', 'clear', 'probe-open')).code).toBe(0);
    expect(grower.alarms()).not.toContain('probe-open');
  });
});
