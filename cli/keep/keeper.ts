/** The keeper of a room: looks at its trays, decides what is due, and hands it to the outbox. One round after the other. */
import { within } from '../link/within';
import { deliveriesOf, hears, madeNeedless } from './address';
import type { KeepPlan } from './config/plan';
import { decide, moved } from './decide/decide';
import type { Decision, Due, Memory, Standing, TrayView } from './decide/model';
import { MESSAGE_LIMITS, WATCH_LIMITS } from './limits';
import type { Outbox } from './outbox/outbox';
import type { Delivery, Message } from './outbox/state';
import { withLink } from './page/address';
import type { DoorState, Postman } from './postman';
import { SteadyClock } from './steady-clock';
import { type Detail, dayOf, NO_DETAIL } from './tray/detail';
import { Details } from './tray/details';
import { type Viewed, viewOf } from './tray/view';
import type { Live, TrayWatch } from './tray/watch';
import { type MorningTray, morningOf } from './words/morning';
import { toldOf } from './words/told';

/** What a keeper wants of the watch of a tray. */
type Watched = Pick<TrayWatch, 'plan' | 'live' | 'look' | 'clockMoved'>;

export interface KeeperParts {
  readonly plan: KeepPlan;
  readonly watches: readonly Watched[];
  readonly outbox: Outbox;
  readonly postman: Postman;
  readonly now: () => number;
  /** Time that no setting of the clock moves, ms. */
  readonly steadyMs: () => number;
  readonly say: (text: string) => void;
}

/** Some tray has not answered in time. */
class Late extends Error {}

export class Keeper {
  #startedMs: number;
  #saidDisk = false;
  readonly #details = new Details();
  readonly #clock: SteadyClock;

  constructor(readonly parts: KeeperParts) {
    this.#startedMs = parts.now();
    this.#clock = new SteadyClock(parts.now, parts.steadyMs);
  }

  /** Name of the keeper's own troubles, among those of trays. */
  get ownName(): string {
    return `Keeper ${this.parts.plan.name}`;
  }

  /** When it started and what time it is, Unix ms, by the clock that its watches go by. */
  get times(): { readonly startedMs: number; readonly nowMs: number } {
    return { startedMs: this.#startedMs, nowMs: this.#clock.nowMs };
  }

  /** Looks, decides, and begins to send. Throws only where another keeper has one of the trays. */
  async round(): Promise<void> {
    const { watches, outbox, postman, now } = this.parts;
    const moves = this.#clock.movedMs();
    if (moves !== 0) this.#moveClock(moves);
    await this.#lookAtAll(watches);
    outbox.mend(now());
    this.#decide(moves === 0 ? outbox.memory : moved(outbox.memory, moves));
    this.#sayDisk();
    postman.round();
  }

  #moveClock(byMs: number): void {
    const { watches, say } = this.parts;
    this.#startedMs += byMs;
    for (const watch of watches) watch.clockMoved(byMs);
    say(
      `The clock of this computer moved by ${Math.round(byMs / 1000)} s; pauses go on as they were.`,
    );
  }

  /** A tray that answers slowly is looked at in its own time: the others do not wait for it. */
  async #lookAtAll(watches: readonly Watched[]): Promise<void> {
    const looks = Promise.all(watches.map((watch) => watch.look()));
    try {
      const late = (): Error => new Late();
      await within(WATCH_LIMITS.lookMostMs, looks, late, () => undefined);
    } catch (error) {
      if (!(error instanceof Late)) throw error;
    }
  }

  #decide(memory: Memory): void {
    const { plan, outbox, now } = this.parts;
    const nowMs = now();
    const viewed = this.#viewed(memory, nowMs);
    const views = [...viewed.map(({ view }) => view), this.#ownView(nowMs)];
    const decision = decide(memory, views, plan, nowMs);
    const isNews =
      decision.due.length > 0 || decision.morning || changed(outbox.memory, decision.memory);
    if (!isNews) return;
    const added = [
      ...decision.due.flatMap((due) => this.#deliveries(due, decision, nowMs)),
      ...(decision.morning ? this.#morning(memory, decision, nowMs) : []),
    ];
    const withdrawn = madeNeedless(outbox.pending, added, nowMs);
    outbox.decided(decision.memory, added, withdrawn, nowMs);
  }

  #viewed(memory: Memory, nowMs: number): readonly Viewed[] {
    const { watches, plan } = this.parts;
    return watches.map(({ plan: { name }, live }) =>
      viewOf(live, {
        ...{ name, units: plan.units, nowMs, startedMs: this.#startedMs },
        cursor: memory.trays[name]?.cursor ?? null,
        detail: (kept) => this.#details.lately(name, kept),
      }),
    );
  }

  /** The keeper's own troubles, as those of a tray. */
  #ownView(nowMs: number): TrayView {
    const { outbox, watches } = this.parts;
    const { trouble } = outbox;
    const standing: Standing[] = [];
    const isFull = trouble !== null || watches.some(({ live }) => live.diskFull);
    if (isFull) {
      const sinceMs = trouble?.sinceMs ?? nowMs;
      standing.push({ trouble: 'disk-failing', sinceMs, seen: false, offK: 0 });
    }
    const since = this.#failing(nowMs).map(({ failingSinceMs }) => failingSinceMs ?? nowMs);
    if (since.length > 0) {
      standing.push({ trouble: 'door-failing', sinceMs: Math.min(...since), seen: false, offK: 0 });
    }
    return {
      ...{ tray: this.ownName, standing, unheardSinceMs: null, raised: [], cursor: null },
      causeOf: {},
    };
  }

  /** Doors that nothing goes out by, and something waits at. */
  #failing(nowMs: number): readonly DoorState[] {
    return this.parts.postman.states.filter(
      ({ failingSinceMs, waiting }) =>
        failingSinceMs !== null &&
        waiting > 0 &&
        nowMs - failingSinceMs >= MESSAGE_LIMITS.doorFailingMs,
    );
  }

  /** What its journal adds for a message, at whose end the tray may be well again. */
  #detailFor(tray: string, live: Live | undefined, nowMs: number): Detail {
    if (live === undefined || live.life === null) return NO_DETAIL;
    const { life, profiles, status } = live;
    const { units } = this.parts.plan;
    return this.#details.now(tray, { life, profiles, status, units, nowMs: nowAt(live, nowMs) });
  }

  #deliveries(due: Due, { memory }: Decision, nowMs: number): readonly Delivery[] {
    const { plan, watches } = this.parts;
    const isOwn = due.tray === this.ownName;
    const watch = watches.find((one) => one.plan.name === due.tray);
    const failing = this.#failing(nowMs);
    const isOfDoor = due.topic.troubles.includes('door-failing');
    const besides = isOwn
      ? failing.map(({ door, why }) => `${door}: ${why ?? ''}`).join('\n')
      : (watch?.live.lost?.message ?? '');
    const told = toldOf(due, {
      ...{ units: plan.units, nowMs: nowAt(watch?.live, nowMs), besides },
      status: watch?.live.status ?? null,
      detail: this.#detailFor(due.tray, watch?.live, nowMs),
      port: watches.length > 1 ? (watch?.live.port ?? null) : null,
    });
    const message: Message = {
      id: `${memory.keeper}-${due.number}`,
      ...{ kind: due.kind, priority: due.topic.priority, topic: due.topic.id, madeMs: nowMs },
      tray: isOwn ? null : due.tray,
      subject: told.subject,
      text: withLink(told.text, plan.page, isOwn ? null : due.tray),
    };
    return deliveriesOf(message, plan.tells, nowMs, isOfDoor ? (failing[0]?.door ?? null) : null);
  }

  /** A morning message for each who is told of mornings, about the trays of each. */
  #morning(before: Memory, { memory }: Decision, nowMs: number): readonly Delivery[] {
    const { plan } = this.parts;
    const trays = this.#morningTrays(before, memory, nowMs);
    return plan.tells.flatMap((tell) => {
      const mine = trays.filter(({ tray }) => tell.trays === null || tell.trays.includes(tray));
      const { subject, text } = morningOf(mine, { units: plan.units, nowMs });
      const message: Message = {
        id: `${memory.keeper}-morning-${memory.morningMs}`,
        ...{ kind: 'morning', priority: 'low', tray: null, topic: null, madeMs: nowMs },
        ...{ subject, text: withLink(text, plan.page, null) },
      };
      return mine.length > 0 && hears(tell, message) ? deliveriesOf(message, [tell], nowMs) : [];
    });
  }

  #morningTrays(before: Memory, after: Memory, nowMs: number): readonly MorningTray[] {
    const { watches, plan } = this.parts;
    return watches.map(({ plan: { name }, live }) => {
      const { life, profiles, status, trayMs, lost, heardMs } = live;
      const was = before.trays[name]?.topics ?? [];
      const topics = (after.trays[name]?.topics ?? []).map((topic) => ({
        ...topic,
        inMorning: was.find(({ id }) => id === topic.id)?.inMorning ?? false,
      }));
      const day =
        life === null
          ? null
          : dayOf({ life, profiles, status, units: plan.units, nowMs: trayMs ?? nowMs });
      return {
        ...{ tray: name, topics, day },
        silentSinceMs: lost === null && heardMs !== null ? null : (heardMs ?? this.#startedMs),
      };
    });
  }

  #sayDisk(): void {
    const { outbox, say } = this.parts;
    const { trouble } = outbox;
    if (trouble !== null && !this.#saidDisk) {
      say(
        `The outbox cannot be written (${trouble.code}). Messages go out all the same; after a restart some may come twice.`,
      );
    }
    if (trouble === null && this.#saidDisk) say('The outbox can be written again.');
    this.#saidDisk = trouble !== null;
  }
}

/** The time at a tray: on a bench it may be another than here, and while it is silent it goes on. */
function nowAt(live: Live | undefined, nowMs: number): number {
  const { trayMs = null, heardMs = null } = live ?? {};
  return trayMs === null || heardMs === null ? nowMs : trayMs + (nowMs - heardMs);
}

/** Whether there is anything to keep. */
function changed(before: Memory, after: Memory): boolean {
  if (before.morningMs !== after.morningMs) return true;
  return Object.entries(after.trays).some(([name, tray]) => before.trays[name] !== tray);
}
