/**
 * A keeper that is killed at any instant, on a disk that keeps what it was made to keep and any part of the rest, with a
 * network that comes and goes: every alarm arrives, and nothing again that a door has acknowledged.
 */
import { describe, expect, it } from 'vitest';
import type { KeepPlan } from '../../cli/keep/config/plan';
import { type Door, DoorError } from '../../cli/keep/doors/door';
import { Keeper } from '../../cli/keep/keeper';
import type { OutboxDisk } from '../../cli/keep/outbox/disk';
import { Outbox } from '../../cli/keep/outbox/outbox';
import { Postman } from '../../cli/keep/postman';
import type { Live } from '../../cli/keep/tray/watch';
import { ADVICE } from '../../shared/alarms/advice';
import type { AlarmName } from '../../shared/alarms/catalogue';
import type { JournalEntry } from '../../shared/journal/kinds';
import type { AlarmReport, Status } from '../../shared/link/status';
import { MINUTE_MS } from '../../shared/units/time';
import { SEEDS } from '../properties';
import { Grower } from '../simulation/grower';
import { tell } from './room';

const KILLS = 500;
const START_MS = Date.UTC(2026, 2, 1);
const ALARMS: readonly AlarmName[] = ['probe-open', 'too-cold', 'dose-not-seen', 'reservoir-low'];

/** The process is gone. It has no `code`: a disk's own errors have one. */
class Killed extends Error {}

/** Numbers that a seed repeats. */
function randomOf(seed: number): (below: number) => number {
  let state = seed >>> 0 || 1;
  return (below) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return state % below;
  };
}

/** The life of one process: it ends at its so many-eth step. */
class Life {
  dead = false;

  constructor(private steps: number) {}

  /** A step at which it may be killed; `during` is what is half done then. */
  step(during: () => void = () => {}): void {
    if (this.dead) throw new Killed();
    this.steps -= 1;
    if (this.steps > 0) return;
    this.dead = true;
    during();
    throw new Killed();
  }
}

/** Journal and alarms of a tray that lives on whatever becomes of the keeper. */
class World {
  nowMs = START_MS;
  readonly entries: JournalEntry[] = [];
  readonly standing = new Map<AlarmName, number>();
  readonly raises: { readonly alarm: AlarmName; readonly atMs: number }[] = [];
  networkIsUp = true;

  constructor(
    private readonly random: (below: number) => number,
    private readonly status: Status,
  ) {
    this.#write({ kind: 'clock', unixMs: START_MS, outageS: 0 });
  }

  minute(): void {
    this.nowMs += MINUTE_MS;
    if (this.random(12) === 0) this.networkIsUp = !this.networkIsUp;
    const alarm = ALARMS[this.random(ALARMS.length)];
    if (alarm === undefined || this.random(6) > 0) return;
    const stands = this.standing.has(alarm);
    if (stands) this.standing.delete(alarm);
    else {
      this.standing.set(alarm, this.nowMs);
      this.raises.push({ alarm, atMs: this.nowMs });
    }
    const change = stands ? 'returned' : 'raised';
    this.#write({ kind: 'alarm', alarm, change, value: Number.NaN, limit: Number.NaN, forS: 0 });
  }

  live(): Live {
    const alarms = [...this.standing].map(
      ([alarm, sinceMs]): AlarmReport => ({
        ...{ alarm, state: 'unaccepted', shelvedS: 0, endedS: null, atLeast: false },
        ...{ ageS: (this.nowMs - sinceMs) / 1000, value: null, limit: null },
      }),
    );
    return {
      ...{ port: 'p', boardId: 'b', heardMs: this.nowMs, trayMs: this.nowMs, lost: null },
      status: { ...this.status, alarms },
      life: { life: 1, entries: this.entries.slice(-40), damaged: 0 },
      ...{ profiles: { byId: new Map(), activeId: null }, diskFull: false },
    };
  }

  #write(body: object): void {
    const head = { sequence: this.entries.length + 1, boot: 1, uptimeMs: this.nowMs - START_MS };
    this.entries.push({ ...head, ...body } as JournalEntry);
  }
}

/** A disk on which a kill leaves any part of what was being written. */
function diskOf(
  life: Life,
  kept: { bytes: Uint8Array },
  random: (below: number) => number,
): OutboxDisk {
  const join = (more: Uint8Array): Uint8Array => new Uint8Array(Buffer.concat([kept.bytes, more]));
  return {
    read: () => kept.bytes,
    append(more) {
      life.step(() => {
        kept.bytes = join(more.subarray(0, random(more.length + 1)));
      });
      kept.bytes = join(more);
      life.step();
    },
    replace(all) {
      life.step();
      kept.bytes = all;
      life.step();
    },
  };
}

const PLAN: KeepPlan = {
  ...{ file: 'f', name: 'room', units: 'metric', morningMin: 420, heartbeat: null, doors: [] },
  ...{ page: null, sparkplug: null, metrics: null },
  trays: [{ name: 'Pepper', port: 'p', controller: null }],
  tells: [tell('Ann', 'hook'), tell('Ben', 'other')],
};

/** Servers, and what they have had. */
class Servers {
  readonly had: { readonly id: string; readonly text: string; readonly madeMs: number }[] = [];
  /** What must not be: a door takes an exception for a failure of the network. */
  readonly wrong: string[] = [];
  /** Acknowledged to a process that lived on: never again, by whichever process. */
  readonly #done = new Set<string>();
  /** Acknowledged to the process that runs. */
  #acknowledged = new Set<string>();

  /** A new process begins: what the one before had acknowledged and no time to write down may come again. */
  begin(): void {
    this.#acknowledged = new Set();
  }

  /** The process has lived on since: it has written down what was acknowledged. */
  livedOn(): void {
    for (const id of this.#acknowledged) this.#done.add(id);
  }

  door(life: Life, world: World): Door {
    return {
      send: async ({ id, message }) => {
        life.step();
        await Promise.resolve();
        if (!world.networkIsUp) throw new DoorError('door', 'no network');
        if (this.#done.has(id)) this.wrong.push(`${id} came again, written down as sent`);
        if (this.#acknowledged.has(id)) this.wrong.push(`${id} came again, acknowledged`);
        this.had.push({ id, text: message.text, madeMs: message.madeMs });
        life.step();
        this.#acknowledged.add(id);
      },
      close: async () => {},
    };
  }

  /** Whether both who are to be told of it have heard of an alarm at or after a time. */
  tellOf(alarm: AlarmName, sinceMs: number): boolean {
    const title = ADVICE[alarm].title.toLowerCase();
    const ids = this.had
      .filter(({ text, madeMs }) => madeMs >= sinceMs && text.toLowerCase().includes(title))
      .map(({ id }) => id);
    return new Set(ids).size >= PLAN.tells.length;
  }
}

async function live(
  life: Life,
  world: World,
  servers: Servers,
  kept: { bytes: Uint8Array },
  random: (below: number) => number,
) {
  const disk = diskOf(life, kept, random);
  const around = { now: () => world.nowMs, steadyMs: () => world.nowMs - START_MS, say: () => {} };
  const outbox = Outbox.open(disk, world.nowMs, () => 'keeper');
  const doors = new Map(['hook', 'other'].map((name) => [name, servers.door(life, world)]));
  const postman = new Postman(doors, PLAN.tells, outbox, { from: 'room', ...around });
  const watch = {
    plan: { name: 'Pepper', port: 'p', controller: null },
    get live() {
      return world.live();
    },
    look: async () => {
      life.step();
      servers.livedOn();
    },
    clockMoved: () => {},
  };
  const keeper = new Keeper({ plan: PLAN, watches: [watch], outbox, postman, ...around });
  return {
    outbox,
    async round() {
      await keeper.round();
      await postman.settled();
    },
  };
}

describe('an outbox', () => {
  it.each(SEEDS)(`outlives ${KILLS} kills at random points, seed %d`, async (seed) => {
    console.log(`${KILLS} kills: seed ${seed}`);
    const random = randomOf(seed);
    const grower = new Grower();
    const world = new World(random, grower.status());
    const servers = new Servers();
    const kept = { bytes: new Uint8Array() };
    let kills = 0;
    while (kills < KILLS) {
      const life = new Life(1 + random(80));
      servers.begin();
      let process: Awaited<ReturnType<typeof live>> | null = null;
      try {
        process = await live(life, world, servers, kept, random);
        for (;;) {
          world.minute();
          await process.round();
          if (life.dead) throw new Killed();
        }
      } catch (error) {
        if (!(error instanceof Killed)) throw error;
        kills += 1;
      }
    }
    world.networkIsUp = true;
    world.standing.clear();
    servers.begin();
    const last = await live(new Life(Number.POSITIVE_INFINITY), world, servers, kept, random);
    for (let minute = 0; minute < 180; minute++) {
      world.nowMs += MINUTE_MS;
      await last.round();
    }
    expect(last.outbox.pending).toEqual([]);
    expect(last.outbox.memory.trays.Pepper?.topics.every(({ closed }) => closed)).toBe(true);
    const untold = world.raises.filter(({ alarm, atMs }) => !servers.tellOf(alarm, atMs));
    expect(untold).toEqual([]);
    expect(servers.wrong).toEqual([]);
    const twice = servers.had.length - new Set(servers.had.map(({ id }) => id)).size;
    console.log(
      `${world.raises.length} alarms, ${servers.had.length} messages had, ${twice} of them again before they were written down as sent`,
    );
    expect(world.raises.length).toBeGreaterThan(20);
    expect(twice).toBeGreaterThan(0);
  });
});
