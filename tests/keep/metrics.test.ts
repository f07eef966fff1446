/** `/metrics` of a keeper: what it tells, in which units, and to whom. */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { CommandError } from '../../cli/failure';
import { Forecasts, type Look, lookAt } from '../../cli/keep/open/look';
import { MEASURES } from '../../cli/keep/open/measures';
import { type Figures, formatFor, textOf } from '../../cli/keep/open/metrics/figures';
import { MetricsServer } from '../../cli/keep/open/metrics/server';
import { DAY_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower, TEST_PROFILE } from '../simulation/grower';
import { Room } from './room';

const LOOPBACK = { host: '127.0.0.1', port: 0 };
const PROMETHEUS = formatFor('text/plain');
const OPEN_METRICS = formatFor('application/openmetrics-text;version=1.0.0,text/plain;q=0.5');

let room: Room;
let looks: readonly Look[] = [];
let silent: readonly Look[] = [];

const figures = (changes: Partial<Figures> = {}): Figures => ({
  ...{ looks, startedMs: 1_772_000_000_000, waiting: 3 },
  doors: [{ door: 'mail', waiting: 3, failingSinceMs: 1_772_000_100_000, why: 'Nothing listens.' }],
  sparkplug: { state: 'up', why: null, kept: 0, dropped: 0 },
  ...changes,
});

/** Samples by their name and labels. */
function samplesOf(text: string): ReadonlyMap<string, number> {
  const lines = text.split('\n').filter((line) => line !== '' && !line.startsWith('#'));
  return new Map(
    lines.map((line) => {
      const at = line.lastIndexOf(' ');
      return [line.slice(0, at), Number(line.slice(at + 1))];
    }),
  );
}

beforeAll(async () => {
  const tray = new Grower({ seed: 3 });
  tray.commission(TEST_PROFILE);
  tray.call('mark.set', { mark: 'emerged' });
  tray.call('mark.set', { mark: 'refilled', volumeMl: 2500, feedEc: 0.8 });
  tray.bench.run(DAY_MS);
  room = new Room({ trays: { 'Pepper "1"': tray }, tells: [] });
  room.start(new Map());
  await room.run(MINUTE_MS);
  tray.bench.fault('probe-open', true);
  await room.run(MINUTE_MS);
  const forecasts = new Forecasts();
  const look = () => {
    forecasts.lookBegins();
    return room.watches.map((watch) => lookAt(watch, forecasts, room.nowMs));
  };
  looks = look();
  room.pulled.add('Pepper "1"');
  await room.run(MINUTE_MS);
  silent = look();
});
afterAll(() => room.end());

describe('/metrics', () => {
  it('tells each measure of a tray in base units, with its name as a label', async () => {
    const samples = samplesOf(await textOf(figures(), PROMETHEUS));
    const of = (metric: string): number | undefined =>
      samples.get(`trayward_tray_${metric}{tray="Pepper \\"1\\""}`);
    const [look] = looks;
    const { heat, water } = look?.reading?.status ?? {};
    expect(of('heard')).toBe(1);
    expect(of('mat_celsius')).toBe(heat?.matC);
    expect(of('mat_duty_ratio')).toBeCloseTo(heat?.dutyShare ?? Number.NaN, 9);
    expect(of('weight_grams')).toBe(water?.trayG);
    expect(of('reservoir_left_liters')).toBeCloseTo((water?.reservoirLeftMl ?? 0) / 1000, 9);
    expect(of('reservoir_conductivity_siemens_per_meter')).toBe(0.08);
    expect(of('drying_grams_per_second')).toBeCloseTo((water?.dryingGPerH ?? 0) / 3600, 9);
    expect(of('last_heard_timestamp_seconds')).toBe((look?.heardMs ?? 0) / 1000);
  });

  it('leaves out what nobody knows: the root zone of a probe that is open, and all of a silent tray', async () => {
    const text = await textOf(figures(), PROMETHEUS);
    expect(text).not.toMatch(/^trayward_tray_root_zone_celsius\{/m);
    const later = samplesOf(await textOf(figures({ looks: silent }), PROMETHEUS));
    const told = [...later.keys()].filter((name) => name.includes('tray='));
    expect(told.map((name) => name.replace(/\{.*/, ''))).toEqual([
      'trayward_tray_heard',
      'trayward_tray_last_heard_timestamp_seconds',
    ]);
    expect(later.get('trayward_tray_heard{tray="Pepper \\"1\\""}')).toBe(0);
  });

  it('tells of alarms: how many by urgency, and which', async () => {
    const text = await textOf(figures(), PROMETHEUS);
    expect(text).toContain('trayward_tray_alarms{tray="Pepper \\"1\\"",priority="high"} 1');
    expect(text).toContain('alarm="probe-open",priority="high",seen="no"} 1');
  });

  it('tells of the keeper: what waits, which door fails, and whether a broker has it', async () => {
    const samples = samplesOf(await textOf(figures(), PROMETHEUS));
    expect(samples.get('trayward_keeper_waiting_messages')).toBe(3);
    expect(samples.get('trayward_keeper_door_failing{door="mail"}')).toBe(1);
    expect(samples.get('trayward_keeper_sparkplug_up')).toBe(1);
    const without = await textOf(figures({ sparkplug: null }), PROMETHEUS);
    expect(without).not.toContain('sparkplug');
  });

  it('names units as Prometheus does: base units, in plural, at the end', async () => {
    const text = await textOf(figures(), PROMETHEUS);
    const names = [...text.matchAll(/^# TYPE (\S+) gauge$/gm)].map(([, name = '']) => name);
    expect(names.length).toBeGreaterThan(25);
    for (const name of names) {
      expect(name).toMatch(/^trayward_(tray|keeper)_[a-z]+(_[a-z]+)*$/);
      expect(name).not.toMatch(/milli|kilo|percent|hour|minute|_total$|_ml$|_g$/);
      expect(text).toContain(`# HELP ${name} `);
    }
  });

  it('is OpenMetrics for whoever asks for it', async () => {
    const text = await textOf(figures(), OPEN_METRICS);
    expect(text.endsWith('# EOF\n')).toBe(true);
  });

  it('has each measure, and its name at a Sparkplug host, in the table of the README', async () => {
    const readme = readFileSync(new URL('../../cli/keep/README.md', import.meta.url), 'utf8');
    const text = await textOf(figures(), PROMETHEUS);
    const told = [...text.matchAll(/^# TYPE trayward_tray_(\S+)/gm)].map(([, name]) => name ?? '');
    for (const name of told.filter((one) => !/^(last_)?heard/.test(one))) {
      expect(readme).toMatch(new RegExp(`\`${name}[\`{]`));
    }
    for (const { name } of MEASURES) expect(readme).toContain(`| \`${name}\` `);
  });

  const promtool = spawnSync('promtool', ['--version']).status === 0;
  it.skipIf(!promtool)('passes the linter of Prometheus, where that is installed', async () => {
    const input = await textOf(figures(), PROMETHEUS);
    const { stdout, stderr, status } = spawnSync('promtool', ['check', 'metrics'], {
      ...{ input, encoding: 'utf8' },
    });
    expect([stdout, stderr, status]).toEqual(['', '', 0]);
  });
});

describe('a forecast of the next dose', () => {
  it('is reckoned for two trays at a time, and the others wait their turn', () => {
    const [watch] = room.watches;
    if (watch === undefined) throw new Error('no tray');
    const forecasts = new Forecasts();
    const look = (): readonly (number | null)[] => {
      forecasts.lookBegins();
      return ['a', 'b', 'c'].map((name) => forecasts.doseMs(name, watch.live));
    };
    const dose = expect.any(Number);
    expect(look()).toEqual([dose, dose, null]);
    expect(look()).toEqual([dose, dose, dose]);
  });
});

describe('the address of /metrics', () => {
  it('gives text in the format that is asked for, and nothing else', async () => {
    const server = await MetricsServer.listen(LOOPBACK, () => figures());
    const answer = await fetch(server.url);
    expect(answer.headers.get('content-type')).toBe('text/plain; version=0.0.4; charset=utf-8');
    expect(await answer.text()).toContain('# HELP trayward_tray_heard ');
    const open = await fetch(server.url, { headers: { accept: 'application/openmetrics-text' } });
    expect(open.headers.get('content-type')).toContain('application/openmetrics-text');
    expect((await fetch(server.url, { method: 'POST' })).status).toBe(405);
    expect((await fetch(server.url.replace('/metrics', '/'))).status).toBe(404);
    await server.close();
  });

  it('says what went wrong where figures cannot be had, and is there for the next who asks', async () => {
    let isBroken = true;
    const server = await MetricsServer.listen(LOOPBACK, () => {
      if (isBroken) throw new Error('no figures');
      return figures();
    });
    const answer = await fetch(server.url);
    expect([answer.status, await answer.text()]).toEqual([
      500,
      'Something went wrong inside the program (no figures).\n',
    ]);
    isBroken = false;
    expect((await fetch(server.url)).status).toBe(200);
    await server.close();
  });

  it('that another program has is told as such', async () => {
    const server = await MetricsServer.listen(LOOPBACK, () => figures());
    const port = Number(new URL(server.url).port);
    const second = MetricsServer.listen({ ...LOOPBACK, port }, () => figures());
    await expect(second).rejects.toThrow(CommandError);
    await expect(second).rejects.toThrow(/Another program listens there/);
    await server.close();
  });
});
