/** A message as a grower reads it on a phone: what, since when, how far, until when it can wait, what to do. Pure but for the zone of time. */

import { rankOf } from '../../../shared/alarms/priority';
import type { AlarmReport, Status } from '../../../shared/link/status';
import { formatQuantity, type UnitSystem } from '../../../shared/units';
import { MINUTE_MS } from '../../../shared/units/time';
import { whenText } from '../../away/when';
import { dayTime } from '../../explain/show';
import { keptOffText, measuredText } from '../../words/alarm';
import { nowText } from '../../words/alarm-now';
import { capitalised } from '../../words/capitalised';
import { type Due, type DueKind, isAlarm, priorityOf, type Trouble } from '../decide/model';
import { MESSAGE_LIMITS } from '../limits';
import type { Detail } from '../tray/detail';
import { likelyCauses, lowered, meaningOf, stepsOf, titleOf, withoutWater } from './trouble';

/** What a message is made of beside what is due. */
export interface Surroundings {
  readonly units: UnitSystem;
  readonly nowMs: number;
  /** The last status that was heard. */
  readonly status: Status | null;
  readonly detail: Detail;
  /** Where the tray is reached, where it has to be said: null for the keeper itself, and for the only tray. */
  readonly port: string | null;
  /** What is known besides, such as what a port says; or empty. */
  readonly besides: string;
}

export interface Told {
  readonly subject: string;
  readonly text: string;
}

const LEADS: Readonly<Record<DueKind, string>> = {
  new: '',
  again: 'again: ',
  worse: 'worse: ',
  still: 'still so: ',
  over: 'over: ',
  happened: 'was so, and is over: ',
};

/** Of what a message is about, the most urgent first. */
const byRank = (troubles: readonly Trouble[]): readonly Trouble[] =>
  [...troubles].sort((a, b) => rankOf(priorityOf(a)) - rankOf(priorityOf(b)));

/** The message for what is due. */
export function toldOf(due: Due, around: Surroundings): Told {
  const { kind, tray, topic, standing } = due;
  const isOver = kind === 'over' || kind === 'happened';
  const about = byRank(isOver ? topic.troubles : standing.map(({ trouble }) => trouble));
  const [main = topic.troubles[0] ?? 'unheard', ...others] = about;
  const title = lowered(titleOf(main));
  const reading = isOver ? '' : readingOf(main, around);
  return {
    subject: `${tray}: ${LEADS[kind]}${title}${reading === '' ? '' : `, ${reading}`}`,
    text: isOver ? overText(due, main, others, around) : standingText(due, main, others, around),
  };
}

const spanText = (ms: number): string =>
  ms < MINUTE_MS
    ? 'less than a minute'
    : formatQuantity('duration', Math.round(ms / MINUTE_MS) * 60, 'metric');

/** The one figure that says how bad it is now. */
function readingOf(trouble: Trouble, { status, units }: Surroundings): string {
  const rootZoneC = status?.heat.rootZoneC ?? null;
  if (!isHeat(trouble) || rootZoneC === null) return '';
  return formatQuantity('temperature', rootZoneC, units);
}

const HEAT: readonly Trouble[] = [
  ...(['too-cold', 'too-warm', 'root-zone-hot', 'mat-no-effect'] as const),
  ...(['band-out-of-reach', 'mat-stuck-on'] as const),
];
const isHeat = (trouble: Trouble): boolean => HEAT.includes(trouble);

function standingText(
  { kind, tray, topic, standing }: Due,
  main: Trouble,
  others: readonly Trouble[],
  around: Surroundings,
): string {
  const { detail, nowMs } = around;
  const sinceMs = standing.find(({ trouble }) => trouble === main)?.sinceMs ?? topic.sinceMs;
  const why = detail.whyOf(topic.troubles);
  const steps = why !== null && why.next.length > 0 ? why.next : stepsOf(main);
  return [
    `${tray}: ${LEADS[kind]}${lowered(titleOf(main))}.`,
    meaningOf(main),
    [
      `Since ${dayTime(sinceMs, nowMs)}, for ${spanText(nowMs - sinceMs)}.`,
      ...farText(main, around),
      ...(why === null ? likelyText(main) : whyText(why)),
      ...others.map((one) => `With it: ${lowered(titleOf(one))}.`),
      ...heldText([main, ...others]),
      ...safeText([main, ...others], around),
      ...(around.besides === '' ? [] : [around.besides]),
    ].join('\n'),
    `Do this:\n${numbered(steps, around.port)}`,
    ...lastText(main, topic.told, standing, around),
  ].join('\n\n');
}

/** Commands of advice that talk to a tray. */
const AT_TRAY =
  /`(trayward (?:status|alarm|probe|scale|pump|mark|stage|tray|explain|journal pull)\b[^`]*)`/g;

/** Advice with the tray named in its commands, so that they can be typed as they stand. */
const withPort = (text: string, port: string | null): string =>
  port === null
    ? text
    : text.replace(AT_TRAY, (_, command: string) => `\`${command} --port ${port}\``);

const numbered = (steps: readonly string[], port: string | null): string =>
  steps.map((step, i) => `${i + 1}. ${withPort(step, port)}`).join('\n');

/** How far off it is now, and what was measured when it came. */
function farText(trouble: Trouble, around: Surroundings): readonly string[] {
  const { status, units, nowMs } = around;
  if (status === null || !isAlarm(trouble)) return [];
  const report = status.alarms.find(({ alarm }) => alarm === trouble);
  const measured = report === undefined ? '' : measuredText(report, units);
  const now = isHeat(trouble) ? heatText(status, units) : [];
  return [
    ...now,
    ...(measured === '' ? [] : [`Measured when it came: ${measured}.`]),
    ...nowFacts(report, status, nowMs, units),
  ];
}

const nowFacts = (
  report: AlarmReport | undefined,
  status: Status,
  nowMs: number,
  units: UnitSystem,
): readonly string[] =>
  report === undefined
    ? []
    : nowText(report, status, nowMs, units).map((one) => `${capitalised(one)}.`);

function heatText({ heat }: Status, units: UnitSystem): readonly string[] {
  const { rootZoneC, lowC, highC } = heat;
  if (rootZoneC === null) return [];
  const show = (celsius: number): string => formatQuantity('temperature', celsius, units);
  const band =
    lowC === null || highC === null ? '' : `; its band is ${show(lowC)} to ${show(highC)}`;
  return [`Root zone now: ${show(rootZoneC)}${band}.`];
}

const likelyText = (trouble: Trouble): readonly string[] => {
  const causes = likelyCauses(trouble);
  return causes.length === 0 ? [] : [`Likely: ${causes.join('; ')}.`];
};

const whyText = ({
  says,
  evidence,
}: NonNullable<ReturnType<Detail['whyOf']>>): readonly string[] => [
  `Likely: ${says}.`,
  ...(evidence.length === 0 ? [] : [`What speaks for it: ${evidence.map(lowered).join('; ')}.`]),
];

function heldText(troubles: readonly Trouble[]): readonly string[] {
  const held = [
    ...new Set(troubles.filter(isAlarm).flatMap((one) => keptOffText(one).split(' and '))),
  ];
  const kept = held.filter((one) => one !== '');
  return kept.length === 0 ? [] : [`Held off meanwhile: ${kept.join(' and ')}.`];
}

/** Until when the wool lasts without water. */
function safeText(
  troubles: readonly Trouble[],
  { detail, nowMs }: Surroundings,
): readonly string[] {
  const { dryAtMs } = detail;
  if (dryAtMs === null || !troubles.some(withoutWater)) return [];
  if (dryAtMs <= nowMs) return ['The wool is too dry for its stage already.'];
  if (troubles.includes('unheard')) {
    return [
      `If it is given no water its wool lasts until ${whenText(dryAtMs, nowMs)}, nine times of ten longer; how warm it stays nobody can say.`,
    ];
  }
  return [
    `Safe until ${whenText(dryAtMs, nowMs)}: if no water comes the wool is too dry then, nine times of ten later.`,
  ];
}

/** How to make it quiet, where that is possible. */
function lastText(
  main: Trouble,
  told: number,
  standing: Due['standing'],
  { port }: Surroundings,
): readonly string[] {
  if (priorityOf(main) !== 'high') return [];
  const { repeatMs } = MESSAGE_LIMITS;
  const next = spanText(repeatMs[Math.min(told, repeatMs.length) - 1] ?? 0);
  const unseen = standing.filter(({ seen, trouble }) => !seen && isAlarm(trouble));
  if (unseen.length === 0) return [`If it stays so this is told again in ${next}.`];
  const names = unseen.map(({ trouble }) => trouble).join(' ');
  return [
    `Once you have seen it: ${withPort(`\`trayward alarm seen ${names}\``, port)}. Until then this is told again, next in ${next}.`,
  ];
}

function overText(
  { kind, tray, topic }: Due,
  main: Trouble,
  others: readonly Trouble[],
  around: Surroundings,
): string {
  const { nowMs, detail, status, units } = around;
  const { sinceMs, goneMs } = topic;
  const endMs = goneMs ?? nowMs;
  const why = detail.whyOf(topic.troubles);
  const when =
    kind === 'happened'
      ? `It came ${dayTime(sinceMs, nowMs)} and was over before it could be told.`
      : `It was so from ${dayTime(sinceMs, nowMs)} to ${dayTime(endMs, nowMs)}, for ${spanText(endMs - sinceMs)}.`;
  return [
    `${tray}: ${LEADS[kind]}${lowered(titleOf(main))}.`,
    [
      when,
      ...others.map((one) => `With it: ${lowered(titleOf(one))}.`),
      ...(why === null ? [] : whyText(why)),
      ...(status === null ? [] : heatText(status, units)),
    ].join('\n'),
    ...(why === null || why.next.length === 0
      ? []
      : [`Left to do:\n${numbered(why.next, around.port)}`]),
  ].join('\n\n');
}
