/** `alarm list|seen|mended|shelve`. */
import type { Command } from 'commander';
import { GUARD_LIMITS } from '../../firmware/guard/limits';
import { ADVICE, nextSteps } from '../../shared/alarms/advice';
import {
  ALARM_NAMES,
  ALARMS,
  type AlarmName,
  type AlarmState,
} from '../../shared/alarms/catalogue';
import { ALARM_PRIORITY } from '../../shared/alarms/priority';
import { refusalSentence } from '../../shared/link/host/refusals';
import type { AlarmReport, Status } from '../../shared/link/status';
import { formatQuantity } from '../../shared/units';
import { choose } from '../arguments/choice';
import { needed, quantity, type Reader } from '../arguments/options';
import type { Act, Context } from '../context';
import { refused, usage } from '../failure';
import { mendAlarm } from '../link/mend';
import { timeAgo } from '../terminal/local-time';
import { wrap } from '../terminal/output';
import { keptOffText, measuredText, stateText } from '../words/alarm';
import { nowText } from '../words/alarm-now';
import { nextStep } from '../words/next-steps';

const FOR_EXAMPLE = 'Give a time such as 30min or 2h.';
const NAME = 'name, as `alarm list` shows it';

/** States in which nobody has seen it. */
const UNSEEN: readonly AlarmState[] = ['unaccepted', 'returned', 'latched-unaccepted'];

/** A time that an alarm may be kept quiet for. */
const quietTime: Reader<number> = (typed, flag, units) => {
  const forS = Math.round(
    needed(quantity('duration', FOR_EXAMPLE), FOR_EXAMPLE)(typed, flag, units),
  );
  if (forS > 0 && forS <= GUARD_LIMITS.shelveMaxS) return forS;
  const most = formatQuantity('duration', GUARD_LIMITS.shelveMaxS, 'metric');
  throw usage(`An alarm is shelved for ${most} at most, and not for ${typed}.`, FOR_EXAMPLE);
};
const SHELVE = { for: quietTime };

function alarmName(text = ''): AlarmName {
  const none = `There is no alarm "${text}".`;
  return choose(ALARM_NAMES, text, none, 'See `trayward alarm list` for those that stand.');
}

/** Time of day where the controller is. */
async function nowThere(context: Context): Promise<number> {
  return context.world.nowAt((await context.client()).port);
}

/** When it began, where its state tells only of its end. */
function begunText({ ageS, endedS }: AlarmReport, nowMs: number): string[] {
  return endedS === null || endedS === ageS ? [] : [`began ${timeAgo(ageS, nowMs)}`];
}

function describe(
  report: AlarmReport,
  status: Status,
  nowMs: number,
  { style, units }: Context,
): string {
  const { alarm, shelvedS } = report;
  const { title, meaning, causes, quantity } = ADVICE[alarm];
  const measured = measuredText(report, units);
  const facts = [
    stateText(report, nowMs),
    ...begunText(report, nowMs),
    ...(measured === '' ? [] : [`${quantity === 'held' ? 'held by:' : 'measured'} ${measured}`]),
    ...nowText(report, status, nowMs, units),
    ...(shelvedS > 0 ? [`shelved for ${formatQuantity('duration', shelvedS, units)} more`] : []),
  ].join('; ');
  const body = [
    meaning,
    ...(causes.length === 0 ? [] : [`Likely: ${causes.join('; ')}.`]),
    ...nextSteps(alarm).map((step) => `- ${step}`),
  ].map((line) => wrap(`  ${line}`, style.width));
  const head = `${style.strong(title)} (${alarm}, ${ALARM_PRIORITY[alarm]})`;
  return [head, wrap(`  ${facts}`, style.width), ...body].join('\n');
}

/** What has become of an alarm that somebody has seen. */
function seenText(before: AlarmReport, after: AlarmReport, nowMs: number): string {
  const { title } = ADVICE[after.alarm];
  const { endedS } = before;
  const now = stateText(after, nowMs);
  if (after.state === 'accepted') return `${title}: ${now}.`;
  if (after.state !== 'normal') return `${title}: seen; ${now}.`;
  return `${title}: over${endedS === null ? '' : ` since ${timeAgo(endedS, nowMs)}`}; no longer listed.`;
}

/** Those named, or all that nobody has seen. Refuses, before anything is done, a name of which none stands. */
export async function seen(context: Context, names: readonly string[]) {
  const named = names.map((name) => alarmName(name));
  const client = await context.client();
  const { alarms } = await client.call('alarm.list', {});
  const absent = named.find((name) => !alarms.some(({ alarm }) => alarm === name));
  if (absent !== undefined) {
    const sentence = refusalSentence('alarm-normal', [absent]);
    throw refused('alarm-normal', sentence, nextStep('alarm-normal'));
  }
  const wanted = alarms.filter(({ alarm, state }) =>
    named.length > 0 ? named.includes(alarm) : UNSEEN.includes(state),
  );
  const nowMs = await nowThere(context);
  const told: { after: AlarmReport; text: string }[] = [];
  for (const before of wanted) {
    const after = await client.call('alarm.accept', { alarm: before.alarm });
    told.push({ after, text: seenText(before, after, nowMs) });
  }
  const nothing = alarms.length === 0 ? 'No alarm.' : 'No alarm is new.';
  return {
    result: { alarms: told.map(({ after }) => after) },
    text: told.map(({ text }) => wrap(text, context.style.width)).join('\n') || nothing,
  };
}

/** The refusal of one that is not mended: what was measured, what stays off, and what to do. */
function stillThere(report: AlarmReport, nowMs: number, { units }: Context) {
  const { alarm, ageS } = report;
  const measured = measuredText(report, units);
  const keptOff = keptOffText(alarm);
  return refused(
    'still-present',
    [
      `The cause of "${ADVICE[alarm].title}" is still there, or has not been gone for a minute.`,
      ...(measured === '' ? [] : [`Measured at ${timeAgo(ageS, nowMs)}: ${measured}.`]),
      ...(keptOff === '' ? [] : [`The controller keeps ${keptOff} off meanwhile.`]),
      'It counts as seen.',
    ].join(' '),
    [
      `Put right just now? In a minute: \`trayward alarm mended ${alarm}\`. Else:`,
      ...nextSteps(alarm).map((step) => `- ${step}`),
    ].join('\n'),
  );
}

/** Seen, and taken back where it latches: one act. */
export async function mended(context: Context, alarm: AlarmName) {
  const { mended: isMended, report } = await mendAlarm(await context.client(), alarm);
  if (!isMended) throw stillThere(report, await nowThere(context), context);
  const keptOff = keptOffText(alarm);
  const again =
    keptOff === '' || !ALARMS[alarm].latched ? '' : ` It no longer holds ${keptOff} off.`;
  return { result: report, text: `${ADVICE[alarm].title}: mended.${again}` };
}

export function register(noun: Command, act: Act): void {
  noun
    .command('list')
    .description('alarms that stand, most urgent first, what they mean and what to do')
    .action(
      act({}, async (context) => {
        const status = await (await context.client()).call('status.read', {});
        const { alarms } = status;
        const nowMs = await nowThere(context);
        const text = alarms.map((report) => describe(report, status, nowMs, context)).join('\n\n');
        return { result: { alarms }, text: text === '' ? 'No alarm.' : text };
      }),
    );
  noun
    .command('seen')
    .argument('[alarm...]', 'names, as `alarm list` shows them; without one, all that stand')
    .description('say that you have seen them: they are quiet, and what is over leaves the list')
    .action(act({}, (context, _options, names) => seen(context, names)));
  noun
    .command('mended')
    .argument('<alarm>', NAME)
    .description('say that it is put right: what it holds off goes on, unless its cause is there')
    .action(act({}, (context, _options, [name]) => mended(context, alarmName(name))));
  noun
    .command('shelve')
    .argument('<alarm>', NAME)
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
