/** How a keeper does, for people. */
import { formatQuantity, type UnitSystem } from '../../../shared/units';
import { dayTime } from '../../explain/show';
import { type Style, table, wrap } from '../../terminal/output';
import { capitalised } from '../../words/capitalised';
import { TROUBLES, type Trouble } from '../decide/model';
import type { SparkplugWord } from '../open/words';
import type { KeeperState, TrayWord } from '../state';
import { lowered, titleOf } from './trouble';

type TrayState = KeeperState['trays'][number];

const WORDS: Readonly<Record<TrayWord, string>> = {
  well: 'well',
  look: 'to look at',
  silent: 'not heard just now',
  unheard: 'not heard',
};

const isTrouble = (word: string): word is Trouble => TROUBLES.some((one) => one === word);

export function stateText(state: KeeperState, style: Style, units: UnitSystem): string {
  const { trays, outbox, doors, page, open, name, startedUnixMs, nowUnixMs, pid } = state;
  const time = (unixMs: number): string => dayTime(unixMs, nowUnixMs);
  const columns = [
    ...[{ title: 'tray' }, { title: 'is' }, { title: 'last heard' }],
    ...([
      { title: 'root zone', align: 'right' },
      { title: 'tray', align: 'right' },
    ] as const),
  ];
  const rows = trays.map(({ name: tray, state: word, heardUnixMs, rootZoneC, trayG }) => [
    ...[tray, WORDS[word], heardUnixMs === null ? 'never' : time(heardUnixMs)],
    formatQuantity('temperature', rootZoneC ?? Number.NaN, units),
    formatQuantity('mass', trayG ?? Number.NaN, units),
  ]);
  const says = (text: string): string => wrap(text, style.width);
  return [
    says(`Keeper of ${name}, process ${pid}, since ${time(startedUnixMs)}.`),
    table(columns, rows, style),
    ...trays.flatMap((tray) => standingText(tray, time)).map((one) => style.warn(says(one))),
    says(
      outbox.waiting === 0
        ? 'Nothing waits to be sent.'
        : `${outbox.waiting} message${outbox.waiting === 1 ? ' waits' : 's wait'} to be sent.`,
    ),
    ...(outbox.failing === null
      ? []
      : [style.bad(says(`The outbox cannot be written: ${outbox.failing}.`))]),
    ...(page === null
      ? []
      : page.failing === null
        ? [says(`The page: ${page.address}`)]
        : [style.bad(says(`The page is not served: ${page.failing}`))]),
    ...doors
      .filter(({ failingSinceMs }) => failingSinceMs !== null)
      .map(({ door, why, failingSinceMs }) =>
        style.bad(says(`${door} fails since ${time(failingSinceMs ?? nowUnixMs)}: ${why ?? ''}`)),
      ),
    ...openText(open).map(says),
  ].join('\n');
}

const SPARKPLUG: Readonly<Record<SparkplugWord, string>> = {
  up: 'told to the broker',
  waiting: 'waits for its host',
  down: 'not told',
  'taken-over': 'stays out',
};

/** What others read of the trays. */
function openText({ sparkplug, metrics }: KeeperState['open']): readonly string[] {
  const lines = metrics === null ? [] : [`Figures are read at ${metrics}.`];
  if (sparkplug === null) return lines;
  const { state, why, kept, dropped } = sparkplug;
  const keeps = kept === 0 ? '' : ` ${kept} values are kept for later.`;
  const lost = dropped === 0 ? '' : ` ${dropped} older ones were given up.`;
  const because = why === null ? '.' : `: ${why}`;
  return [
    ...lines,
    `Sparkplug: ${SPARKPLUG[state]}${because}${state === 'up' ? '' : keeps + lost}`,
  ];
}

function standingText(
  { name, why, standing }: TrayState,
  time: (unixMs: number) => string,
): string[] {
  return [
    ...standing.map(({ troubles, sinceUnixMs, messages }) => {
      const titles = troubles.filter(isTrouble).map((one) => lowered(titleOf(one)));
      return `${name}: ${capitalised(titles.join(', '))}, since ${time(sinceUnixMs)}; told ${messages === 1 ? 'once' : `${messages} times`}.`;
    }),
    ...(why === null ? [] : [`${name}: ${why}`]),
  ];
}
