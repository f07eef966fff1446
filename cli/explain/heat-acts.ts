/** What the controller did while the root zone was out of its band: heated, or held the mat off. Pure. */
import { RECORD_LIMITS } from '../../firmware/limits';
import { ALARMS } from '../../shared/alarms/catalogue';
import { type AlarmSpan, overlaps } from './alarm-spans';
import { type Claim, claim } from './finding';
import type { HeatFacts } from './heat-causes';
import { HEAT_EVIDENCE as LIMITS } from './limits';
import { raisedClaim } from './raised';
import type { Spell } from './root-zone';
import type { Stand } from './stand';

export function didClaims({ spans }: Stand, spell: Spell, facts: HeatFacts): readonly Claim[] {
  const { side, fromMs, toMs } = spell;
  const name = side === 'cold' ? 'too-cold' : 'too-warm';
  const raised = spans.find(
    ({ alarm, fromMs: atMs }) => alarm === name && atMs >= fromMs && atMs <= toMs,
  );
  const acts =
    side === 'warm'
      ? [claim('It kept the mat off; it cannot cool', facts.by)]
      : heatingClaims(spans, spell, facts);
  return [
    ...acts,
    ...(raised === undefined ? [] : [raisedClaim(raised, `that the root zone is too ${side}`)]),
  ];
}

/** No power cut lies in it: readings come every five minutes. */
const ranAllTheTime = ({ fromMs, points }: Spell): boolean =>
  points.every(
    ({ atMs }, i) => atMs - (points[i - 1]?.atMs ?? fromMs) <= 2 * RECORD_LIMITS.readingMs,
  );

/** As the readings have it: the mat on all the time, from some time on, or not at all because something held it off. */
function heatingClaims(
  spans: readonly AlarmSpan[],
  spell: Spell,
  { duty, by }: HeatFacts,
): readonly Claim[] {
  if (duty >= LIMITS.allDuty)
    return [
      claim(ranAllTheTime(spell) ? 'It kept the mat on' : 'It kept the mat on while it ran', by),
    ];
  const lock = spans.find((span) => ALARMS[span.alarm].dropsMat && overlaps(span, spell));
  const heats = spell.points.find(
    ({ reading: { matDutyShare }, atMs }) =>
      matDutyShare >= LIMITS.allDuty && !(lock !== undefined && atMs <= lock.toMs),
  );
  if (heats !== undefined)
    return [claim(({ time }) => `It heated from ${time(heats.atMs)} on`, [heats.reading.note])];
  if (lock === undefined) return [];
  return [
    claim(
      lock.standing
        ? 'It holds the mat off until somebody has looked'
        : 'It held the mat off all the time',
      [lock.raised],
    ),
  ];
}
