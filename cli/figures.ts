/**
 * `npm run bench`: speed and size, measured now on this machine, then whole seasons, as tables. Nothing is
 * asserted. `npm run bench -- --help` says which of them run alone.
 */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { Argument, Command, InvalidArgumentError } from 'commander';
import { type Bench, createBench } from '../firmware/bench/bench';
import { askBench } from '../firmware/bench/server/ask';
import { bundleScript } from '../firmware/image/bundle';
import { encodeLine } from '../shared/link/framing';
import { LINK_LIMITS } from '../shared/link/methods';
import { cropFileText } from '../shared/profile/host/crops';
import { DAY_MS, HOUR_MS } from '../shared/units/time';
import { TRAY_DAYS_PER_S } from '../tests/swarm/figures';
import { ANNOYED_WEEKS, printAnnoyances } from './annoyance-figures';
import { AWAY_SEASONS, printAway } from './away-figures';
import { circuitFigures } from './circuit-figures';
import type { Row } from './figure-rows';
import { inService } from './figures-scene';
import { watchAlarms } from './fleet/bench/alarms';
import { FLEET_KILLS, FLEET_TRAYS, printFleet } from './fleet-figures';
import { imageRows } from './image-figures';
import { pullJournal } from './journal/pull';
import { openStore } from './journal/store';
import type { Client } from './link/client';
import { connect } from './link/connect';
import { MODEL_TRAYS, printModel } from './model-figures';
import { printNights } from './night-figures';
import { printSeasons } from './season-figures';

const PROGRAM = join(__dirname, 'trayward.mjs');
const SWARM = join(__dirname, 'swarm.cjs');
/** Long enough for the ring to be full of readings. */
const PULL_DAYS = 106;
const PULL_ENTRIES = 30_000;

const DAYS = 30;
const STARTS = 7;
const REHEARSALS = 100;
const SWARM_SEEDS = 200;

function median(values: number[]): number {
  return values.sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
}

function startMs(args: readonly string[]): number {
  const times = Array.from({ length: STARTS }, () => {
    const from = performance.now();
    spawnSync(process.execPath, args, { stdio: 'ignore' });
    return performance.now() - from;
  });
  return median(times);
}

/** A month of `bench`, whose tray is `what`. The reservoir is filled each week. */
function month(what: string, bench: Bench): Row {
  const from = performance.now();
  for (let day = 0; day < DAYS; day++) {
    if (day % 7 === 0) bench.hand.refill();
    bench.run(DAY_MS);
  }
  const s = (performance.now() - from) / 1000;
  const times = Math.round((DAYS * 86_400) / s / 1000);
  return {
    what: `${DAYS} simulated days at 1 s ticks, ${what}`,
    value: `${s.toFixed(2)} s (${times},000 times real time)`,
    goal: 'under 3 s',
  };
}

/** Firmware and plant together, in this process. */
function simulation(): Row[] {
  const idle = createBench({ seed: 1 });
  idle.hand.putTray();
  idle.run(HOUR_MS);
  return [month('idle tray', idle), month('tray with heat and doses', inService())];
}

function start(): Row {
  const bare = startMs(['-e', '0']);
  const help = startMs([PROGRAM, '--help']);
  return {
    what: 'start of the program (--help), against `node -e 0`',
    value: `${(help / bare).toFixed(2)} times (${help.toFixed(0)} ms, ${bare.toFixed(0)} ms)`,
    goal: 'at most 2 times',
  };
}

/** Rehearsals by the program itself, on all processors of this machine. */
function rehearsals(): Row {
  const folder = mkdtempSync(join(tmpdir(), 'trayward-figures-'));
  try {
    const file = join(folder, 'pepper.yaml');
    writeFileSync(file, cropFileText('pepper', ''));
    const words = ['rehearse', file, '--seeds', String(REHEARSALS), '--days', `${DAYS}d`];
    const from = performance.now();
    const { status } = spawnSync(process.execPath, [PROGRAM, ...words], { stdio: 'ignore' });
    if (status !== 0) throw new Error(`rehearse ended with ${status}`);
    return {
      what: `${REHEARSALS} rehearsals of ${DAYS} days, on ${availableParallelism()} processors`,
      value: `${((performance.now() - from) / 1000).toFixed(1)} s`,
      goal: 'under 60 s on two',
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Plans of the swarm, by its own command. */
function swarm(): Row {
  const args = [SWARM, '--from', '1', '--seeds', String(SWARM_SEEDS)];
  const { stdout } = spawnSync(process.execPath, args, { encoding: 'utf8' });
  const perS = stdout
    .split('\n')
    .find((line) => line.includes(TRAY_DAYS_PER_S))
    ?.split('|')[2]
    ?.trim();
  return {
    what: `tray-days of the swarm a second of processor, ${SWARM_SEEDS} seeds`,
    value: perS ?? 'none: it ended otherwise',
    goal: 'at least 30',
  };
}

async function size(): Promise<Row> {
  const bytes = Buffer.byteLength(await bundleScript('firmware/image/entry.ts'));
  return {
    what: 'firmware bundle, minified',
    value: `${bytes} bytes`,
    goal: '-',
  };
}

interface BenchProcess {
  readonly link: string;
  readonly door: string;
  readonly child: ChildProcess;
}

function startBench(): Promise<BenchProcess> {
  const words = [
    '--json',
    'bench',
    'start',
    '--listen',
    '0',
    '--speed',
    '0',
    '--until-stdin-closes',
  ];
  const child = spawn(process.execPath, [PROGRAM, ...words], {
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    createInterface({ input: child.stdout }).once('line', (line) => {
      const { link, door } = JSON.parse(line).result;
      resolve({ link, door, child });
    });
  });
}

/** Bytes on the link, both ways, for one full page, over the entries in it. */
async function bytesPerEntry(client: Client, from: number): Promise<number> {
  const params = { from, count: LINK_LIMITS.pageEntries };
  const result = await client.call('journal.page', params);
  const id = 1_000_000_000;
  const bytes = [
    { jsonrpc: '2.0', id, method: 'journal.page', params },
    { jsonrpc: '2.0', id, result },
  ].reduce((sum, message) => sum + encodeLine(JSON.stringify(message)).length, 0);
  return bytes / result.count;
}

/** A whole ring of entries, pulled over TCP from a bench in another process into the store. */
async function pull(): Promise<Row[]> {
  const bench = await startBench();
  const folder = mkdtempSync(join(tmpdir(), 'trayward-figures-'));
  try {
    await askBench(bench.door, { do: 'run', forS: PULL_DAYS * 86_400 });
    const client = await connect(bench.link);
    const store = openStore(folder, client.hello.boardId);
    const from = performance.now();
    const { stored } = await pullJournal(client, store, () => {});
    const s = (performance.now() - from) / 1000;
    store.close();
    const { first } = await client.call('journal.info', {});
    const bytes = await bytesPerEntry(client, first);
    await client.close();
    return [
      {
        what: `journal pull over TCP, scaled from ${stored} to ${PULL_ENTRIES} entries`,
        value: `${((s * PULL_ENTRIES) / stored).toFixed(2)} s`,
        goal: 'under 2 s',
      },
      {
        what: 'bytes on the link for an entry, both ways',
        value: bytes.toFixed(1),
        goal: 'under 50',
      },
    ];
  } finally {
    bench.child.stdin?.end();
    rmSync(folder, { recursive: true, force: true });
  }
}

function print(rows: readonly Row[]): void {
  for (const { what, value, goal } of rows) {
    process.stdout.write(`${what.padEnd(64)} ${value.padEnd(36)} goal: ${goal}\n`);
  }
}

const DESCRIPTION =
  'Figures measured now, on this machine. Without a word all but the last two, which takes a quarter of an hour.';

/** Everything but what takes long by itself: the annoyances and the fleet. */
async function printAll(): Promise<void> {
  print([...simulation(), rehearsals(), swarm(), start(), await size(), ...(await pull())]);
  print(await imageRows());
  printNights();
  printAway();
  printModel();
  const circuit = circuitFigures();
  print(circuit.rows);
  process.stdout.write(`${circuit.table}\n`);
  printSeasons();
}

function fromZeroOn(text: string): number {
  const value = Number(text);
  if (!(value >= 0)) throw new InvalidArgumentError('It takes a number from 0 on.');
  return value;
}

const many = (name: string, usual: number): Argument =>
  new Argument(`[${name}]`).argParser(fromZeroOn).default(usual);

function commands(): Command {
  const figures = new Command('npm run bench --')
    .description(DESCRIPTION)
    .showHelpAfterError()
    .action(printAll);
  figures
    .command('seasons [crop] [room] [seeds]')
    .description('whole seasons of a crop in a room as warm as that; "all" for each of them')
    .action((crop?: string, room?: string, seeds?: string) => {
      printSeasons(crop, room, seeds);
    });
  figures
    .command('nights')
    .description('the nights that `explain` is judged by, or a share of them')
    .addArgument(many('share', 1))
    .action((share: number) => {
      printNights(share);
    });
  figures
    .command('away')
    .description('the absences that `away` is judged by')
    .addArgument(many('seasons', AWAY_SEASONS))
    .action((seasons: number) => {
      printAway(seasons);
    });
  figures
    .command('model')
    .description('the trays that `tray model` is judged by')
    .addArgument(many('trays', MODEL_TRAYS))
    .action(printModel);
  figures
    .command('annoyances')
    .description('alarms that ordinary weeks raise without a cause: half an hour')
    .addArgument(many('weeks', ANNOYED_WEEKS))
    .action((weeks: number) => {
      printAnnoyances(weeks);
    });
  figures
    .command('fleet')
    .description('a day of many trays, each part killed so often; wants a broker and a database')
    .addArgument(many('trays', FLEET_TRAYS))
    .addArgument(many('kills', FLEET_KILLS))
    .action(printFleet);
  // A process that the one above starts.
  figures
    .command('fleet-alarms <plan>', { hidden: true })
    .action((plan: string) => watchAlarms(JSON.parse(plan)));
  return figures;
}

void commands().parseAsync();
