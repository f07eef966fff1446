/** The open doors of a keeper: they tell others how the trays stand, round for round. */

import type { KeepPlan } from '../config/plan';
import type { Outbox } from '../outbox/outbox';
import type { DoorState } from '../postman';
import { SteadyClock } from '../steady-clock';
import type { TrayWatch } from '../tray/watch';
import { Forecasts, type Look, lookAt } from './look';
import type { Figures } from './metrics/figures';
import type { MetricsServer } from './metrics/server';
import { obey } from './obey';
import type { Sparkplug } from './sparkplug/sparkplug';

export interface OpenDoorsParts {
  readonly plan: KeepPlan;
  readonly watches: readonly Pick<TrayWatch, 'plan' | 'live' | 'act'>[];
  readonly outbox: Pick<Outbox, 'pending' | 'memory'>;
  readonly doors: () => readonly DoorState[];
  /** Folder of the keeper's own files. */
  readonly folder: string;
  /** When the keeper started, Unix ms, by the clock as it is set now. */
  readonly startedMs: () => number;
  readonly now: () => number;
  readonly steadyMs: () => number;
  readonly say: (text: string) => void;
}

export class OpenDoors {
  readonly #forecasts = new Forecasts();
  readonly #clock: SteadyClock;
  #sparkplug: Sparkplug | null = null;
  #metrics: MetricsServer | null = null;

  private constructor(private readonly parts: OpenDoorsParts) {
    this.#clock = new SteadyClock(parts.now, parts.steadyMs);
  }

  /** Opens those that the file has. Throws `CommandError` where `/metrics` cannot listen. */
  static async open(parts: OpenDoorsParts): Promise<OpenDoors> {
    const doors = new OpenDoors(parts);
    const { sparkplug, metrics } = parts.plan;
    if (sparkplug !== null) await doors.#openSparkplug(sparkplug);
    if (metrics !== null) {
      const { MetricsServer } = await import('./metrics/server');
      doors.#metrics = await MetricsServer.listen(metrics, () => doors.figures());
    }
    return doors;
  }

  /** After each round of the keeper. */
  round(): void {
    const sparkplug = this.#sparkplug;
    if (sparkplug === null) return;
    const movedMs = this.#clock.movedMs();
    if (movedMs !== 0) sparkplug.clockMoved(movedMs);
    const { now } = this.parts;
    sparkplug.round(
      this.#looks().map(({ tray, reading, heardMs }) => ({
        ...{ device: tray, reading, atMs: heardMs ?? now() },
      })),
    );
  }

  /** What `/metrics` tells. */
  figures(): Figures {
    const { outbox, doors, startedMs } = this.parts;
    return {
      ...{ looks: this.#looks(), startedMs: startedMs(), sparkplug: this.state.sparkplug },
      ...{ waiting: outbox.pending.length, doors: doors() },
    };
  }

  get state(): {
    readonly sparkplug: Sparkplug['state'] | null;
    readonly metrics: string | null;
  } {
    return { sparkplug: this.#sparkplug?.state ?? null, metrics: this.#metrics?.url ?? null };
  }

  async close(): Promise<void> {
    await Promise.all([this.#sparkplug?.close(), this.#metrics?.close()]);
  }

  #looks(): readonly Look[] {
    const { watches, now } = this.parts;
    this.#forecasts.lookBegins();
    return watches.map((watch) => lookAt(watch, this.#forecasts, now()));
  }

  async #openSparkplug(plan: NonNullable<KeepPlan['sparkplug']>): Promise<void> {
    const { watches, outbox, folder, now, steadyMs, say } = this.parts;
    const [{ Sparkplug }, { SessionNumber }] = await Promise.all([
      import('./sparkplug/sparkplug'),
      import('./sparkplug/session-number'),
    ]);
    this.#sparkplug = new Sparkplug({
      ...{ plan, now, steadyMs, say, session: new SessionNumber(folder) },
      identity: outbox.memory.keeper,
      devices: watches.map((watch) => watch.plan.name),
      obey: async (device, order) => {
        const watch = watches.find((one) => one.plan.name === device);
        return watch === undefined ? 'There is no such tray.' : obey(watch, order);
      },
    });
  }
}
