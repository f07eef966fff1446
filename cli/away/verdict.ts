/** The answer in its first words: a plain yes or no, and what it hangs on. Pure but for the zone of time. */
import { type DueOptions, onDayText, spanText, untilText } from './due';
import type { Away, HandsLimit, Limit } from './model';
import { HANDS_FOR } from './tasks';

export function verdictText(away: Away, options: DueOptions): string {
  const asked = spanText(away.askedH);
  const sure = `with ${Math.round(away.certainty * 100)} % certainty`;
  switch (away.verdict) {
    case 'yes':
      return `Yes, ${asked}: by itself the tray is held ${untilText(away.holdsH, options)}, ${sure}${handsText(away, options)}.`;
    case 'with-help':
      return `Only if ${helpText(away, options)}. Water and heat go on by themselves for ${asked}, ${sure}.`;
    case 'no':
      return `Not for ${asked}: ${endText(away, sure, options)}`;
    case 'not-now':
      return 'Not now: something is to be put right first.';
  }
}

const isHands = (limit: Limit): limit is HandsLimit => limit.by === 'hands';

/** What ends it, and for what somebody comes before that. */
function endText(away: Away, sure: string, options: DueOptions): string {
  const end = away.limits.find(({ by }) => by === 'tray');
  if (end === undefined || end.inH === 0) return `${end?.says ?? 'the tray is not held'} already.`;
  return `by itself the tray is held ${untilText(end.inH, options)}, ${sure}; then ${end.says}${handsText(away, options)}.`;
}

/** The first task before the tray itself ends, that would be overlooked behind a far date. */
function handsText({ limits, holdsH }: Away, options: DueOptions): string {
  const task = limits.filter(isHands).find(({ inH }) => inH < holdsH);
  if (task === undefined) return '';
  const when = task.inH === 0 ? 'now' : onDayText(task, options);
  return `. Somebody is wanted ${when} (${workOf([task])})`;
}

/** `somebody comes on Wednesday (the transplant is due)`; what is due now is done before anybody leaves. */
function helpText({ limits, askedH }: Away, options: DueOptions): string {
  const tasks = limits.filter(isHands).filter(({ inH }) => inH < askedH);
  const due = tasks.filter(({ inH }) => inH === 0);
  const later = tasks.filter(({ inH }) => inH > 0);
  const days = [...new Set(later.map((task) => onDayText(task, options)))];
  const comes = days.map((day) => {
    const here = later.filter((task) => onDayText(task, options) === day);
    return `${day} (${workOf(here)})`;
  });
  return [
    ...(due.length === 0 ? [] : [`what is due now is done first (${workOf(due)})`]),
    ...(comes.length === 0 ? [] : [`somebody comes ${comes.join(' and ')}`]),
  ].join(', and ');
}

const workOf = (tasks: readonly HandsLimit[]): string =>
  [...new Set(tasks.map(({ kind }) => HANDS_FOR[kind]))].join(', ');
