/** The morning message: a line a tray, what is wrong before what is well. Pure but for the zone of time. */

import { rankOf } from '../../../shared/alarms/priority';
import { formatQuantity, type UnitSystem } from '../../../shared/units';
import { dueText } from '../../away/due';
import { dayTime } from '../../explain/show';
import { capitalised } from '../../words/capitalised';
import { priorityOf, type Topic } from '../decide/model';
import type { Day } from '../tray/detail';
import type { Told } from './told';
import { lowered, stepsOf, titleOf } from './trouble';

/** A tray on the morning, as it is remembered and as its journal has it. */
export interface MorningTray {
  readonly tray: string;
  readonly topics: readonly Topic[];
  /** Null where no journal is kept of it. */
  readonly day: Day | null;
  /** When it was last heard, Unix ms; null while it is heard. */
  readonly silentSinceMs: number | null;
}

export interface MorningOptions {
  readonly units: UnitSystem;
  readonly nowMs: number;
}

interface Line {
  /** 0: somebody is wanted; 1: something was; 2: all is well. */
  readonly rank: 0 | 1 | 2;
  readonly text: string;
}

/** Of what happened, so much is told: `explain` has all of it. */
const PAST_MOST = 3;

export function morningOf(trays: readonly MorningTray[], options: MorningOptions): Told {
  const lines = trays.map((tray) => lineOf(tray, options));
  const wanted = lines.filter(({ rank }) => rank === 0).length;
  const all = trays.length === 1 ? 'the tray' : `all ${trays.length} trays`;
  return {
    subject:
      wanted === 0
        ? `Morning: all well with ${all}`
        : `Morning: ${wanted} of ${trays.length} tray${trays.length === 1 ? '' : 's'} to look at`,
    text: [...lines]
      .sort((a, b) => a.rank - b.rank)
      .map(({ text }) => text)
      .join('\n\n'),
  };
}

function lineOf({ tray, topics, day, silentSinceMs }: MorningTray, options: MorningOptions): Line {
  const { nowMs } = options;
  const open = topics.filter(({ closed }) => !closed).sort(byRank);
  const past = topics.filter(({ closed, inMorning }) => closed && !inMorning);
  const figures = day === null ? ['No journal of it yet'] : figuresOf(day, options);
  if (silentSinceMs !== null) {
    return {
      rank: 0,
      text: `${tray}: not heard since ${dayTime(silentSinceMs, nowMs)}. Go and look.`,
    };
  }
  const told = [
    ...open.map((topic) => openText(topic, nowMs)),
    ...past.map((topic) => pastText(topic, nowMs)),
    ...(day === null ? [] : alsoText(day, [...open, ...past])),
  ];
  const rank = open.length > 0 ? 0 : told.length > 0 ? 1 : 2;
  const verdict = { 0: 'to look at', 1: 'well now', 2: 'all well' }[rank];
  return {
    rank,
    text: [`${tray}: ${verdict}: ${figures.join(', ')}.`, ...told].join('\n'),
  };
}

const byRank = (a: Topic, b: Topic): number => rankOf(a.priority) - rankOf(b.priority);

/** The most urgent of a topic gives it its name. */
const mainOf = ({ troubles }: Topic) =>
  [...troubles].sort((a, b) => rankOf(priorityOf(a)) - rankOf(priorityOf(b)))[0] ?? 'unheard';

function openText(topic: Topic, nowMs: number): string {
  const main = mainOf(topic);
  const [first] = stepsOf(main);
  const since = `since ${dayTime(topic.sinceMs, nowMs)}`;
  return `- ${capitalised(lowered(titleOf(main)))}, ${since}.${first === undefined ? '' : ` ${first}`}`;
}

function pastText(topic: Topic, nowMs: number): string {
  const { sinceMs, goneMs } = topic;
  const to = goneMs === null ? '' : ` to ${dayTime(goneMs, nowMs)}`;
  return `- It is over: ${lowered(titleOf(mainOf(topic)))}, ${dayTime(sinceMs, nowMs)}${to}.`;
}

/** What the journal tells besides, where nothing of it was an alarm. */
const alsoText = ({ past }: Day, topics: readonly Topic[]): readonly string[] =>
  topics.length > 0 ? [] : past.slice(0, PAST_MOST).map((one) => `- Was: ${lowered(one)}.`);

/** `24.6 °C to 25.9 °C, fed 180 ml, next task: Friday: lid propped`. */
function figuresOf({ quiet, ahead }: Day, { units, nowMs }: MorningOptions): readonly string[] {
  const { coldestC, warmestC, givenMl } = quiet;
  const show = (celsius: number): string => formatQuantity('temperature', celsius, units);
  const task = ahead?.nextTask ?? null;
  const until = ahead?.reservoirUntil ?? null;
  return [
    coldestC === null || warmestC === null
      ? 'no readings in the last day'
      : `${show(coldestC)} to ${show(warmestC)}`,
    givenMl > 0 ? `fed ${formatQuantity('volume', givenMl, units)}` : 'not fed',
    ...(until === null ? [] : [`reservoir until ${dueText(until, { nowUnixMs: nowMs })}`]),
    ...(task === null
      ? []
      : [`next task: ${dueText({ ...task, by: 'hands' }, { nowUnixMs: nowMs })}: ${task.says}`]),
  ];
}
