/** What a running keeper knows, for `keep status`. Pure. */
import * as z from 'zod';
import { ALARM_PRIORITIES } from '../../shared/alarms/priority';
import { type Memory, TROUBLES } from './decide/model';
import { SPARKPLUG_WORDS } from './open/words';
import type { Outbox } from './outbox/outbox';
import type { DoorState } from './postman';
import type { TrayWatch } from './tray/watch';

/** `well`: nothing stands. `look`: something does. `silent`: not heard just now. `unheard`: so long that it is an alarm. */
export const TRAY_WORDS = ['well', 'look', 'silent', 'unheard'] as const;
export type TrayWord = (typeof TRAY_WORDS)[number];

const number = z.number();
const text = z.string();
const orNull = number.nullable();

const trouble = z.enum(TROUBLES).meta({ id: 'Trouble' });

/** As programs get it. */
export const keeperState = z.object({
  name: text,
  file: text,
  pid: number,
  startedUnixMs: number,
  nowUnixMs: number,
  trays: z.array(
    z.object({
      name: text,
      state: z.enum(TRAY_WORDS),
      port: text.nullable(),
      boardId: text.nullable(),
      heardUnixMs: orNull.describe('null: not since the keeper started'),
      rootZoneC: orNull,
      trayG: orNull,
      why: text.nullable().describe('it is not heard; null while it is'),
      standing: z.array(
        z.object({
          troubles: z.array(trouble).readonly(),
          priority: z.enum(ALARM_PRIORITIES),
          sinceUnixMs: number,
          messages: number.describe('told of it so far'),
        }),
      ),
    }),
  ),
  outbox: z.object({
    waiting: number,
    failing: text.nullable().describe("the system's code, where it cannot be written"),
  }),
  doors: z
    .array(
      z.object({
        door: text,
        waiting: number,
        failingSinceMs: orNull.describe('null while it works'),
        why: text.nullable(),
      }),
    )
    .readonly(),
  page: z
    .object({
      address: text.describe('as it is opened on this computer'),
      failing: text.nullable().describe('why it is not served; null while it is'),
    })
    .nullable()
    .describe('null: the file wants none'),
  open: z
    .object({
      sparkplug: z
        .object({
          state: z.enum(SPARKPLUG_WORDS),
          why: text.nullable(),
          kept: number.describe('values until a broker takes them'),
          dropped: number.describe('values given up since the start: too many were kept'),
        })
        .nullable()
        .describe('null where the file has none'),
      metrics: text.nullable().describe('address of `/metrics`; null where the file has none'),
    })
    .describe('its open doors'),
});

export type KeeperState = z.infer<typeof keeperState>;

export interface StateParts {
  readonly name: string;
  readonly file: string;
  readonly startedUnixMs: number;
  readonly nowUnixMs: number;
  readonly watches: readonly TrayWatch[];
  readonly outbox: Outbox;
  readonly doors: readonly DoorState[];
  readonly page: KeeperState['page'];
  readonly open: KeeperState['open'];
}

export function stateOf(parts: StateParts): KeeperState {
  const { name, file, startedUnixMs, nowUnixMs, watches, outbox, doors, page, open } = parts;
  const { memory, pending, trouble } = outbox;
  return {
    ...{ name, file, pid: process.pid, startedUnixMs, nowUnixMs, doors, page, open },
    trays: watches.map((watch) => trayOf(watch, memory)),
    outbox: { waiting: pending.length, failing: trouble?.code ?? null },
  };
}

function trayOf({ plan, live }: TrayWatch, memory: Memory): KeeperState['trays'][number] {
  const open = (memory.trays[plan.name]?.topics ?? []).filter(({ closed }) => !closed);
  const { port, boardId, heardMs, status, lost } = live;
  return {
    ...{ name: plan.name, state: wordOf(open, lost !== null || heardMs === null), port, boardId },
    heardUnixMs: heardMs,
    rootZoneC: status?.heat.rootZoneC ?? null,
    trayG: status?.water.trayG ?? null,
    why: lost?.message ?? null,
    standing: open.map(({ troubles, priority, sinceMs, told }) => ({
      ...{ troubles, priority, sinceUnixMs: sinceMs, messages: told },
    })),
  };
}

function wordOf(
  open: readonly { readonly troubles: readonly string[] }[],
  isLost: boolean,
): TrayWord {
  if (open.some(({ troubles }) => troubles.includes('unheard'))) return 'unheard';
  if (isLost) return 'silent';
  return open.length > 0 ? 'look' : 'well';
}
