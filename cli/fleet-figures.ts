/**
 * `npm run bench -- fleet [trays] [kills]`: a day of so many trays through Debian's Mosquitto and a collector into
 * PostgreSQL, how long an alarm takes meanwhile, and what is lost when each of them is killed so many times. With 0
 * the one or the other is left out.
 */
import { join } from 'node:path';
import { Load, sendDay } from './fleet/bench/load';
import { mosquittoProgram } from './fleet/bench/mosquitto';
import { postgresPrograms } from './fleet/bench/postgres';
import { pause } from './fleet/bench/server-process';

export const FLEET_TRAYS = 10_000;
export const FLEET_KILLS = 20;

const PROGRAM = join(__dirname, 'trayward.mjs');
/** Trays of the rooms in which alarms are raised, and of those that everything is killed under. */
const FIRST_ALARMED = 1_000_000;
const FIRST_KILLED = 2_000_000;
const KILLED_TRAYS = 2_000;
const LIVE_HOURS = 1;

const say = (what: string, value: string): void => {
  process.stdout.write(`${what.padEnd(64)} ${value}\n`);
};

function shareOf(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? Number.NaN;
}

async function day(load: Load, trays: number): Promise<void> {
  const rooms = load.rooms(0, trays);
  const watch = load.watchAlarms(join(__dirname, 'figures.cjs'), FIRST_ALARMED);
  const sinceMs = performance.now();
  const wanted = await sendDay(rooms, async () => undefined);
  const sentS = (performance.now() - sinceMs) / 1000;
  await load.until(rooms, 0, wanted);
  const s = (performance.now() - sinceMs) / 1000;
  const latenciesMs = await watch.end();
  const rows = await load.number('SELECT count(*) FROM fleet.entries');
  say(
    `a day of ${trays} trays, an hour a message`,
    `${wanted} entries in ${(s / 60).toFixed(1)} min`,
  );
  say('  rows a second', (wanted / s).toFixed(0));
  say('  all of it was with the broker after', `${sentS.toFixed(0)} s`);
  say('  rows there, those of alarms among them', String(rows));
  say(
    `  an alarm meanwhile (${latenciesMs.length}), from store to row`,
    `median ${shareOf(latenciesMs, 0.5).toFixed(0)} ms, p99 ${shareOf(latenciesMs, 0.99).toFixed(0)} ms, longest ${Math.max(...latenciesMs).toFixed(0)} ms (goal: p99 below 2 s)`,
  );
  const bytes = await load.number(`SELECT sum(pg_total_relation_size(inhrelid))
    FROM pg_inherits WHERE inhparent = 'fleet.entries'::regclass`);
  say('  bytes of a row with its index', (bytes / rows).toFixed(0));
  say('  trays that are not as their stores have them', String(await load.differing(rooms)));
  await Promise.all(rooms.map((room) => room.sender.close()));
}

/** Readings one by one, as they come in life: how much faster than life that can be. */
async function live(load: Load, trays: number): Promise<void> {
  const first = trays;
  const rooms = load.rooms(first, Math.min(trays, 2_000));
  let wanted = 0;
  for (const room of rooms) wanted += room.hour(LIVE_HOURS);
  await load.until(rooms, first, wanted);
  const sinceMs = performance.now();
  let more = 0;
  for (let step = 1; step <= 12; step++) {
    for (const room of rooms) more += room.hour(LIVE_HOURS + step / 12);
    for (const room of rooms) room.sender.round(room.trays);
    await Promise.all(rooms.map((room) => room.sender.settled()));
  }
  await load.until(rooms, first, wanted + more);
  const s = (performance.now() - sinceMs) / 1000;
  say('readings one by one, each a message of its own', `${(more / s).toFixed(0)} a second`);
  say('  so many trays would send so fast', ((more / s) * 300).toFixed(0));
  await Promise.all(rooms.map((room) => room.sender.close()));
}

/** Everything killed in turn, while a day goes through. */
async function killed(load: Load, trays: number, kills: number): Promise<void> {
  const rooms = load.rooms(FIRST_KILLED, trays);
  let isOver = false;
  let done = 0;
  const killing = (async () => {
    for (let i = 0; i < kills * 3; i++) {
      await pause(500 + Math.random() * 1500);
      if (i % 3 === 0) {
        await load.broker.kill();
        await load.broker.run();
      } else if (i % 3 === 1) {
        await load.postgres.kill();
        await load.postgres.run();
      } else {
        await load.killCollector();
        void load.collect();
      }
      done += 1;
    }
    isOver = true;
  })();
  const sinceMs = performance.now();
  let hours = 0;
  // The day lasts as long as the killing does.
  const wanted = await sendDay(rooms, async () => {
    hours += 1;
    while (!isOver && done < (hours / 26) * kills * 3) await pause(100);
  });
  await killing;
  await load.until(rooms, FIRST_KILLED, wanted);
  const s = (performance.now() - sinceMs) / 1000;
  say(
    `broker, database and collector killed ${kills} times each`,
    `${wanted} entries of ${trays} trays there after ${s.toFixed(0)} s`,
  );
  say('  trays that are not as their stores have them', String(await load.differing(rooms)));
  await Promise.all(rooms.map((room) => room.sender.close()));
}

export async function printFleet(trays = FLEET_TRAYS, kills = FLEET_KILLS): Promise<void> {
  if (mosquittoProgram() === null || postgresPrograms() === null) {
    say('the fleet', 'left out: install mosquitto and postgresql');
    return;
  }
  const load = await Load.start(PROGRAM);
  try {
    await load.collect();
    if (trays > 0) await day(load, trays);
    if (trays > 0) await live(load, trays);
    if (kills > 0) await killed(load, KILLED_TRAYS, kills);
  } finally {
    await load.end();
  }
}
