/**
 * How long an alarm takes from the store of a keeper to a row that a reader sees, while something else is done. In a
 * process of its own, as a keeper is: the others must not make it late, nor it them.
 */
import { createInterface } from 'node:readline';
import { Client } from 'pg';
import { FigureRoom, traysFrom } from './room';
import { pause } from './server-process';

const ALARM_EVERY_MS = 300;
const LOOK_EVERY_MS = 20;
const TRAYS = 20;

export interface AlarmWatchPlan {
  readonly url: string;
  readonly topic: string;
  readonly databasePort: number;
  readonly store: string;
  /** Number of its first tray. */
  readonly first: number;
}

const THERE = `SELECT 1 FROM fleet.alarms a JOIN fleet.controllers c ON c.id = a.controller
  WHERE c.board = $1 AND a.sequence = $2`;

/** Until standard input says something; then it prints the times that were seen, ms. */
export async function watchAlarms(plan: AlarmWatchPlan): Promise<void> {
  let isOver = false;
  const told = createInterface({ input: process.stdin });
  told.once('line', () => {
    isOver = true;
  });
  const trays = traysFrom(plan.first, TRAYS, () => new Uint8Array());
  const room = new FigureRoom(plan.store, 'alarms', trays, plan, () => undefined);
  const login = { user: 'look', password: 'look', database: 'trayward' };
  const client = new Client({ host: '127.0.0.1', port: plan.databasePort, ...login });
  await client.connect();
  const latenciesMs: number[] = [];
  for (let tray = 0; !isOver; tray++) {
    const sinceMs = performance.now();
    const { boardId, sequence } = room.alarm(tray);
    while ((await client.query(THERE, [boardId, sequence])).rowCount === 0) {
      await pause(LOOK_EVERY_MS);
      room.sender.round(trays);
    }
    latenciesMs.push(Math.round(performance.now() - sinceMs));
    await pause(ALARM_EVERY_MS);
  }
  await room.sender.close();
  await client.end();
  // Standard input that is still listened to would keep this process.
  told.close();
  process.stdout.write(`${JSON.stringify(latenciesMs)}\n`);
}
