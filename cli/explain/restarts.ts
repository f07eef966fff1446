/** Restarts that nobody asked for: by the watchdog, by low voltage, by an error. Pure. */
import type { ResetCause } from '../../shared/board/words';
import { HOUR_MS } from '../../shared/units/time';
import { startText } from '../words/board';
import type { AlarmSpan } from './alarm-spans';
import type { CauseName } from './causes';
import { claim, type Finding, piece, rank } from './finding';
import { STORY_LIMITS as LIMITS } from './limits';
import type { Stand } from './stand';
import { bootEntry, type Start } from './starts';

/** Causes of a start that a fault is behind. */
const BEHIND: Partial<Readonly<Record<ResetCause, CauseName>>> = {
  watchdog: 'controller-hung',
  'brown-out': 'supply-weak',
  fault: 'program-error',
  exception: 'program-error',
  abort: 'program-error',
};

interface Restart {
  readonly start: Start;
  readonly cause: CauseName;
  readonly fromMs: number;
  readonly toMs: number;
}

export function restarts({ record, spans }: Stand): readonly Finding[] {
  const groups: Restart[][] = [];
  record.boots.forEach((boot, i) => {
    const start = bootEntry(boot);
    const cause = start?.cause ? BEHIND[start.cause] : undefined;
    if (start === null || cause === undefined) return;
    // The board was silent from its last entry on.
    const fromMs = record.boots[i - 1]?.toMs ?? boot.fromMs;
    const last = groups.at(-1);
    const one = { start, cause, fromMs, toMs: boot.fromMs };
    if (last && fromMs - (last.at(-1)?.toMs ?? 0) <= LIMITS.restartsMs) last.push(one);
    else groups.push([one]);
  });
  return groups.flatMap((group) => {
    const [first] = group;
    const lockOut = spans.find(
      ({ alarm, fromMs, toMs }) =>
        alarm === 'restarting-often' &&
        toMs >= (first?.fromMs ?? 0) &&
        fromMs <= (group.at(-1)?.toMs ?? 0) + LIMITS.restartsMs,
    );
    return finding(group, lockOut ?? null);
  });
}

function finding(group: readonly Restart[], lockOut: AlarmSpan | null): readonly Finding[] {
  const [first] = group;
  const last = group.at(-1);
  if (first === undefined || last === undefined) return [];
  const by = [...new Set([first, last])].map(({ start }) => start.note);
  const hours = (last.toMs - first.fromMs) / HOUR_MS;
  return [
    {
      kind: 'restarts',
      fromMs: first.fromMs,
      toMs: Math.max(last.toMs, lockOut?.toMs ?? 0),
      open: lockOut?.standing ?? false,
      what: claim(({ time, span }) => {
        if (group.length === 1) return `The controller restarted by a fault, ${time(last.toMs)}`;
        return `The controller restarted ${group.length} times by a fault within ${span(last.toMs - first.fromMs)}, from ${time(first.fromMs)}`;
      }, by),
      causes: rank(
        [...new Set(group.map(({ cause }) => cause))].map((cause) => ({
          cause,
          weigh: (all: readonly Restart[]) => {
            const of = all.filter((one) => one.cause === cause);
            const start = of[0]?.start;
            const share = of.length / all.length;
            return [
              piece(
                start !== undefined,
                2 + 2 * share,
                `${of.length === 1 ? 'one start was' : `${of.length} starts were`} "${startText(start?.number ?? 0, start?.detail ?? 0)}"`,
                start === undefined ? [] : [start.note],
              ),
            ];
          },
        })),
        group,
      ),
      did: [
        claim(
          lockOut !== null
            ? 'After three of them within an hour it held mat and pump off until somebody has looked'
            : 'It went on by itself after each',
          by,
        ),
      ],
      crop: [],
      measures: {},
      alarms: ['restarting-often', 'too-cold', 'band-out-of-reach'],
      weight: Math.max(1, hours) + (lockOut !== null ? 6 : 0),
    },
  ];
}
