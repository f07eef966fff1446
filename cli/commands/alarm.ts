/** `alarm list|accept|clear|shelve`. */
import type { Command } from 'commander';
import { ADVICE } from '../../shared/alarms/advice';
import { ALARM_NAMES, type AlarmName } from '../../shared/alarms/catalogue';
import { ALARM_PRIORITY, byPriority } from '../../shared/alarms/priority';
import type { AlarmReport } from '../../shared/link/methods';
import { parseQuantity } from '../../shared/units';
import type { Act, Context } from '../context';
import { usage } from '../failure';
import { indented, wrap } from '../output';

function alarmName(text: string | undefined): AlarmName {
  const alarm = ALARM_NAMES.find((name) => name === text);
  if (alarm !== undefined) return alarm;
  throw usage(
    `There is no alarm '${text ?? ''}'.`,
    'See `trayward alarm list` for those that stand.',
  );
}

function describe(report: AlarmReport, context: Context): string {
  const advice = ADVICE[report.alarm];
  const shelved = report.shelvedS > 0 ? `, shelved for ${Math.ceil(report.shelvedS / 60)} min` : '';
  const head = `${context.style.strong(advice.title)} (${report.alarm}, ${ALARM_PRIORITY[report.alarm]}): ${report.state}${shelved}`;
  const body = [advice.meaning, ...advice.next.map((step) => `- ${step}`)].join('\n');
  return `${head}\n${indented(wrap(body, context.style.width - 4), 2)}`;
}

export function register(noun: Command, act: Act): void {
  noun
    .command('list')
    .description('alarms that stand, most urgent first, what they mean and what to do')
    .action(
      act(async (context) => {
        const { alarms } = await (await context.client()).call('alarm.list', {});
        const sorted = [...alarms].sort(byPriority);
        const text = sorted.map((report) => describe(report, context)).join('\n\n');
        return { result: { alarms: sorted }, text: text === '' ? 'No alarm.' : text };
      }),
    );
  for (const [verb, method, says] of [
    ['accept', 'alarm.accept', 'accepted: it no longer sounds'],
    ['clear', 'alarm.clear', 'cleared'],
  ] as const) {
    noun
      .command(verb)
      .argument('<alarm>', 'name, as `alarm list` shows it')
      .description(verb === 'accept' ? 'say that you have seen it' : 'take a latched alarm back')
      .action(
        act(async (context, _flags, [name]) => {
          const alarm = alarmName(name);
          const report = await (await context.client()).call(method, { alarm });
          return { result: report, text: `${ADVICE[alarm].title}: ${says}.` };
        }),
      );
  }
  noun
    .command('shelve')
    .argument('<alarm>', 'name, as `alarm list` shows it')
    .requiredOption('--for <time>', 'how long, such as 2h; a day at most')
    .description('keep it quiet for a while; what it holds off stays off')
    .action(
      act(async (context, flags, [name]) => {
        const alarm = alarmName(name);
        const time = parseQuantity('duration', flags.text('for') ?? '');
        if (!time.ok) throw usage(time.why, 'Give a time such as 30min or 2h.');
        const forS = Math.round(time.value);
        const report = await (await context.client()).call('alarm.shelve', { alarm, forS });
        return { result: report, text: `${ADVICE[alarm].title}: quiet for ${flags.text('for')}.` };
      }),
    );
}
