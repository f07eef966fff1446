/** `alarm list|accept|clear|shelve`. */
import type { Command } from 'commander';
import { GUARD_LIMITS } from '../../firmware/limits';
import { ADVICE } from '../../shared/alarms/advice';
import { ALARM_NAMES, type AlarmName } from '../../shared/alarms/catalogue';
import { ALARM_PRIORITY, byPriority } from '../../shared/alarms/priority';
import type { AlarmReport } from '../../shared/link/methods';
import { formatQuantity } from '../../shared/units';
import { choose } from '../arguments/choice';
import { needed, quantity, type Reader } from '../arguments/options';
import type { Act, Context } from '../context';
import { usage } from '../failure';
import { wrap } from '../terminal/output';
import { measuredText, STATE_WORDS } from '../words/alarm';

const FOR_EXAMPLE = 'Give a time such as 30min or 2h.';

/** A time that an alarm may be kept quiet for. */
const quietTime: Reader<number> = (typed, flag) => {
  const forS = Math.round(needed(quantity('duration', FOR_EXAMPLE), FOR_EXAMPLE)(typed, flag));
  if (forS > 0 && forS <= GUARD_LIMITS.shelveMaxS) return forS;
  const most = formatQuantity('duration', GUARD_LIMITS.shelveMaxS, 'metric');
  throw usage(`An alarm is shelved for ${most} at most, and not for ${typed}.`, FOR_EXAMPLE);
};
const SHELVE = { for: quietTime };

function alarmName(text = ''): AlarmName {
  const none = `There is no alarm "${text}".`;
  return choose(ALARM_NAMES, text, none, 'See `trayward alarm list` for those that stand.');
}

function describe(report: AlarmReport, { style, units }: Context): string {
  const { alarm, state, ageS, shelvedS } = report;
  const { title, meaning, causes, next } = ADVICE[alarm];
  const measured = measuredText(report, units);
  const facts = [
    STATE_WORDS[state],
    `since ${formatQuantity('duration', ageS, units)}`,
    ...(measured === '' ? [] : [`measured ${measured}`]),
    ...(shelvedS > 0 ? [`shelved for ${formatQuantity('duration', shelvedS, units)} more`] : []),
  ].join('; ');
  const body = [
    meaning,
    ...(causes.length === 0 ? [] : [`Likely: ${causes.join('; ')}.`]),
    ...next.map((step) => `- ${step}`),
  ].map((line) => wrap(`  ${line}`, style.width, line.startsWith('- ') ? 2 : 0));
  const head = `${style.strong(title)} (${alarm}, ${ALARM_PRIORITY[alarm]})`;
  return [head, wrap(`  ${facts}`, style.width), ...body].join('\n');
}

/** What accepting has come to. */
function acceptedText({ state }: AlarmReport): string {
  if (state === 'normal') return 'accepted; it was over already';
  return state === 'accepted' ? 'accepted, it no longer sounds' : STATE_WORDS[state];
}

export function register(noun: Command, act: Act): void {
  noun
    .command('list')
    .description('alarms that stand, most urgent first, what they mean and what to do')
    .action(
      act({}, async (context) => {
        const { alarms } = await (await context.client()).call('alarm.list', {});
        const sorted = [...alarms].sort(byPriority);
        const text = sorted.map((report) => describe(report, context)).join('\n\n');
        return { result: { alarms: sorted }, text: text === '' ? 'No alarm.' : text };
      }),
    );
  for (const [verb, method, says] of [
    ['accept', 'alarm.accept', acceptedText],
    ['clear', 'alarm.clear', () => 'cleared'],
  ] as const) {
    noun
      .command(verb)
      .argument('<alarm>', 'name, as `alarm list` shows it')
      .description(verb === 'accept' ? 'say that you have seen it' : 'take a latched alarm back')
      .action(
        act({}, async (context, _options, [name]) => {
          const alarm = alarmName(name);
          const report = await (await context.client()).call(method, { alarm });
          return { result: report, text: `${ADVICE[alarm].title}: ${says(report)}.` };
        }),
      );
  }
  noun
    .command('shelve')
    .argument('<alarm>', 'name, as `alarm list` shows it')
    .requiredOption('--for <time>', 'how long, such as 2h; a day at most')
    .description('keep it quiet for a while; what it holds off stays off')
    .action(
      act(SHELVE, async (context, options, [name]) => {
        const alarm = alarmName(name);
        const forS = options.for;
        const report = await (await context.client()).call('alarm.shelve', { alarm, forS });
        return {
          result: report,
          text: `${ADVICE[alarm].title}: quiet for ${formatQuantity('duration', report.shelvedS, context.units)}.`,
        };
      }),
    );
}
