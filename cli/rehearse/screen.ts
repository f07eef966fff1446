/** What a rehearsal came to, for a grower. */
import type { Profile } from '../../shared/profile/profile';
import type { UnitSystem } from '../../shared/units';
import { facts, type Style, table, wrap } from '../terminal/output';
import type { Summary } from './summary';
import {
  alarmSentences,
  bandSentences,
  plantFacts,
  STAGE_COLUMNS,
  stageRows,
  takesFacts,
  whenFacts,
} from './words';

/** One screen of 80 columns. `asked`: the room, the grower and the days, in words. */
export function rehearsalText(
  summary: Summary,
  profile: Profile,
  asked: string,
  units: UnitSystem,
  style: Style,
  pricePerKwh: number | null,
): string {
  const stages = table(STAGE_COLUMNS, stageRows(summary, profile, units), style);
  const band = bandSentences(summary, profile, units).map((text) => style.warn(text));
  const alarms = alarmSentences(summary);
  return [
    style.strong(profile.title),
    wrap(asked, style.width),
    '',
    facts(
      [
        ...whenFacts(summary),
        ...takesFacts(summary, units, pricePerKwh),
        ...plantFacts(summary),
        { label: 'Alarms', value: alarms.length === 0 ? 'none' : alarms.join('\n') },
      ],
      style,
    ),
    '',
    stages,
    ...(band.length === 0 ? [] : ['', ...band.map((text) => wrap(text, style.width, 2))]),
  ].join('\n');
}
