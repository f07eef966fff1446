/** What a rehearsal came to, for a grower. */
import { type Fact, facts, type Style, table, wrap } from '../terminal/output';
import { type Rehearsed, tasksOf } from './tasks';
import {
  alarmSentences,
  bandSentences,
  plantFacts,
  STAGE_COLUMNS,
  stageRows,
  takesFacts,
  taskWhenText,
  whenFacts,
} from './words';

/** What your hands do, a line each, by the day. */
function taskFacts(rehearsed: Rehearsed): readonly Fact[] {
  const { all, summary } = rehearsed;
  return tasksOf(rehearsed).map((task) => {
    const { rehearsals, title } = task;
    const some =
      rehearsals > 0 && rehearsals < all.length ? ` (in ${rehearsals} of ${all.length})` : '';
    return { label: taskWhenText(task, summary), value: title + some };
  });
}

/** In 80 columns. `asked`: the room, the grower and the days, in words. */
export function rehearsalText(
  rehearsed: Rehearsed,
  asked: string,
  style: Style,
  pricePerKwh: number | null,
): string {
  const { summary, profile, units } = rehearsed;
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
    '',
    style.strong('What you do'),
    facts(taskFacts(rehearsed), style),
    ...(band.length === 0 ? [] : ['', ...band.map((text) => wrap(text, style.width, 2))]),
  ].join('\n');
}
