/** Water that came into the tray without a dose or a hand: it runs in by itself, or the pump does not stop. Pure. */

import { WEIGHT_LIMITS } from '../../firmware/limits';
import type { AlarmName } from '../../shared/alarms/catalogue';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { AlarmSpan } from './alarm-spans';
import { type CauseRule, claim, type Finding, piece, rank } from './finding';
import { WATER_EVIDENCE as LIMITS } from './limits';
import { between, type Reading } from './record';
import type { Stand } from './stand';

const ALARMS_OF: readonly AlarmName[] = ['weight-rising', 'pump-stuck-on'];
/** The rise began, and may go on, so long before and after the alarm. */
const BEFORE_MS = 15 * MINUTE_MS;
const AFTER_MS = 10 * HOUR_MS;

interface Facts {
  readonly span: AlarmSpan;
  readonly also: readonly AlarmSpan[];
  readonly gPerS: number;
  readonly rising: readonly Reading[];
}

const RULES: readonly CauseRule<Facts>[] = [
  {
    cause: 'pump-stuck-on',
    weigh: ({ also, gPerS }) => [
      ...also.map((span) =>
        piece(span.alarm === 'pump-stuck-on', 2.5, 'the tray rose as fast as the pump gives', [
          span.raised,
        ]),
      ),
      piece(
        gPerS >= LIMITS.pumpGPerS,
        1,
        ({ value }) => `the tray gained ${value('mass', gPerS * 60)} a minute`,
        also.map(({ raised }) => raised),
      ),
      piece(
        gPerS < LIMITS.pumpGPerS * 0.75,
        -1,
        ({ value }) => `the tray gained only ${value('mass', gPerS * 60)} a minute`,
        also.map(({ raised }) => raised),
      ),
    ],
  },
  {
    cause: 'siphon',
    weigh: ({ also, gPerS }) => [
      ...also.map((span) =>
        piece(span.alarm === 'weight-rising', 1.5, 'the tray gained weight with the pump off', [
          span.raised,
        ]),
      ),
      piece(
        gPerS < LIMITS.pumpGPerS,
        1,
        ({ value }) => `slowly, ${value('mass', gPerS * 60)} a minute`,
        also.map(({ raised }) => raised),
      ),
      piece(
        gPerS >= LIMITS.pumpGPerS,
        -1,
        'as fast as a pump',
        also.map(({ raised }) => raised),
      ),
    ],
  },
  {
    cause: 'hand-water',
    weigh: ({ span, rising }) => [
      piece(span.alarm === 'weight-rising' && rising.length <= 3, 0.6, 'the rise was short', [
        span.raised,
      ]),
    ],
  },
];

export function inflows({ record, spans, aways }: Stand): readonly Finding[] {
  const found: Finding[] = [];
  let untilMs = Number.NEGATIVE_INFINITY;
  for (const span of spans) {
    if (!ALARMS_OF.includes(span.alarm) || span.fromMs <= untilMs) continue;
    if (
      aways.some(({ fromMs, toMs }) => span.fromMs >= fromMs && span.fromMs <= toMs + 5 * MINUTE_MS)
    )
      continue;
    const rising = risingFrom(
      between(record.readings, span.fromMs - BEFORE_MS, span.fromMs + AFTER_MS),
      span.fromMs,
    );
    const endMs = rising.at(-1)?.atMs ?? span.fromMs;
    untilMs = endMs + HOUR_MS;
    const also = spans.filter(
      (one) =>
        ALARMS_OF.includes(one.alarm) &&
        one.fromMs >= span.fromMs - MINUTE_MS &&
        one.fromMs <= untilMs,
    );
    found.push(finding({ span, also, gPerS: paceOf(span, rising), rising }, endMs));
  }
  return found;
}

/** The readings over which the weight rose, from its lowest before the alarm on, as far as known. */
function risingFrom(readings: readonly Reading[], atMs: number): readonly Reading[] {
  const known = readings.filter(({ trayG }) => Number.isFinite(trayG));
  const before = known.filter((reading) => reading.atMs <= atMs);
  const [start = known[0]] = before;
  if (start === undefined) return [];
  const lowest = before.reduce((low, one) => (one.trayG < low.trayG ? one : low), start);
  const rising = [lowest];
  let calmMs = 0;
  for (const one of known) {
    const last = rising.at(-1) ?? lowest;
    if (one.atMs <= lowest.atMs) continue;
    if (one.trayG >= last.trayG + 1) {
      rising.push(one);
      calmMs = one.atMs;
    } else if (one.atMs - Math.max(calmMs, last.atMs) > 20 * MINUTE_MS) break;
  }
  return rising;
}

/** The steepest pace of the rise over some minutes, g/s; what the guard measured where readings are too few. */
function paceOf({ raised, alarm }: AlarmSpan, rising: readonly Reading[]): number {
  if (alarm === 'pump-stuck-on' && raised.entry.value > 0) return raised.entry.value;
  let most = Number.NaN;
  for (const [i, to] of rising.entries()) {
    const from = rising
      .slice(0, i)
      .filter((one) => to.atMs - one.atMs >= 2 * MINUTE_MS)
      .at(-1);
    if (from === undefined) continue;
    const gPerS = (to.trayG - from.trayG) / ((to.atMs - from.atMs) / 1000);
    most = Number.isNaN(most) ? gPerS : Math.max(most, gPerS);
  }
  if (!Number.isNaN(most)) return most;
  return raised.entry.value / ((WEIGHT_LIMITS.inflowStepMs * WEIGHT_LIMITS.inflowSteps) / 1000);
}

function finding(facts: Facts, endMs: number): Finding {
  const { span, also, rising } = facts;
  const [first] = rising;
  const last = rising.at(-1);
  const gainedG = first && last ? Math.max(0, last.trayG - first.trayG) : span.raised.entry.value;
  const standing = also.some((one) => one.standing);
  const heldMs = Math.max(...also.map(({ toMs }) => toMs));
  return {
    kind: 'inflow',
    fromMs: first?.atMs ?? span.fromMs,
    toMs: Math.max(endMs, heldMs),
    open: standing,
    what: claim(
      ({ value, time }) =>
        `Water ran into the tray without a dose: ${value('mass', gainedG)} from ${time(first?.atMs ?? span.fromMs)}`,
      [...(first ? [first.note] : []), span.raised, ...(last ? [last.note] : [])],
    ),
    causes: rank(RULES, facts),
    did: [
      claim(
        ({ time }) =>
          `It gave no water from ${time(span.fromMs)}, until somebody says that it is mended`,
        [span.raised],
      ),
    ],
    crop: [
      claim(
        ({ value }) =>
          `The plugs had ${value('mass', gainedG)} more than was meant for them; what they cannot hold drains`,
        last ? [last.note] : [],
      ),
    ],
    measures: { gainedG },
    alarms: [
      ...ALARMS_OF,
      ...([
        'dose-too-large',
        'thing-on-tray',
        'weight-falling',
        'drying-fast',
        'too-dry',
        'pump-off',
        'water-held',
        'feed-late',
        'dose-not-seen',
        'reservoir-low',
        'mat-no-effect',
        'too-cold',
        'band-out-of-reach',
      ] as const),
    ],
    weight: 6 + (standing ? 4 : 0),
  };
}
