/** What the guard says of each fault, as `firmware/guard/README.md` has it. */
import { ALARM_NAMES, type AlarmName } from '../../shared/alarms/catalogue';
import { HOUR_MS, MINUTE_MS, SECOND_MS } from '../../shared/units/time';
import type { Back, GuardRow } from './guard-run';

function timeText(ms: number): string {
  if (ms < 1.5 * MINUTE_MS) return `${Math.round(ms / SECOND_MS)} s`;
  if (ms < 1.5 * HOUR_MS) return `${Math.round(ms / MINUTE_MS)} min`;
  return `${(ms / HOUR_MS).toFixed(ms < 10 * HOUR_MS ? 1 : 0)} h`;
}

function backText(back: Back): string {
  if (back === 'not-needed') return '';
  return back === 'late' ? 'NOT' : timeText(back);
}

const listed = (words: readonly string[]): string => words.map((word) => `\`${word}\``).join(', ');

/** A table in which each column is as wide as its widest cell. */
function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((title, i) =>
    Math.max(title.length, ...rows.map((row) => row[i]?.length ?? 0)),
  );
  const line = (cells: readonly string[]): string =>
    `| ${widths.map((width, i) => (cells[i] ?? '').padEnd(width)).join(' | ')} |`;
  const rule = widths.map((width) => '-'.repeat(width));
  return [head, rule, ...rows].map(line).join('\n');
}

const FAULT_HEAD = [
  'fault',
  'tray',
  'first alarm',
  'after',
  'then',
  'heat held by',
  'water held by',
  'once mended',
  'warm again',
  'watered again',
];

function faultCells(row: GuardRow): readonly string[] {
  const [first, ...others] = row.told;
  return [
    row.fault === null ? 'none' : `\`${row.fault}\``,
    row.scene,
    first === undefined ? '' : `\`${first.alarm}\``,
    first === undefined ? '' : timeText(first.afterMs),
    others.map(({ alarm, afterMs }) => `\`${alarm}\` ${timeText(afterMs)}`).join(', '),
    listed(row.heatHeldBy),
    listed(row.waterHeldBy),
    listed(row.afterwards),
    backText(row.warmBackMs),
    backText(row.waterBackMs),
  ];
}

/** Names of the faults of `rows` that raise `alarm`, the first sign or a later one. */
function faultsOf(rows: readonly GuardRow[], raises: (row: GuardRow) => boolean): string {
  return listed([...new Set(rows.filter(raises).flatMap(({ fault }) => fault ?? []))]);
}

function alarmCells(alarm: AlarmName, rows: readonly GuardRow[]): readonly string[] {
  const isFirst = ({ told }: GuardRow): boolean => told[0]?.alarm === alarm;
  const isLater = ({ told }: GuardRow): boolean => told.slice(1).some((one) => one.alarm === alarm);
  const isAfter = ({ afterwards }: GuardRow): boolean => afterwards.includes(alarm);
  return [
    `\`${alarm}\``,
    faultsOf(rows, isFirst),
    faultsOf(rows, isLater),
    faultsOf(rows, isAfter),
  ];
}

/** The whole document. */
export function guardDocument(rows: readonly GuardRow[]): string {
  const isRaised = (alarm: AlarmName): boolean =>
    rows.some(
      ({ told, afterwards }) =>
        told.some((one) => one.alarm === alarm) || afterwards.includes(alarm),
    );
  const raised = ALARM_NAMES.filter(isRaised);
  const silent = ALARM_NAMES.filter((alarm) => !isRaised(alarm));
  return `# What the guard says of each fault

Watches (\`*-watch.ts\`) are shown the readings and return findings; \`alarm-bank.ts\` keeps the states of IEC 62682; limits and
their reasons are in \`limits.ts\`. Below is what comes of it: every fault that the bench can inject, alone, for a day, on a
tray to which nothing else happens. \`npx vitest run tests/nights/guard-matrix.test.ts -u\` writes this file, and without
\`-u\` the test holds it to be true.

## How to read it

- **tray**: \`warm\` and \`cool\` are watered by weight from 4 % dry-back on, under a propped lid, in rooms of 24 C and 17 C,
  cooler at night, with a band from 24 C to 25 C; \`closed lid\` germinates at 26 C to 27 C in a room of 22 C and gets no
  water. A fault is tried where its signs may differ.
- **first alarm**, **after**, **then**: what was raised while the fault was there, and how long after it began. An empty
  field: nothing, for the tray does not feel it - a dead mat that nobody asks for heat, a leak of water that no dose
  leaves free. What shows in a dose waits for the next one. A board without mains, or that hangs, says nothing.
- **heat held by**, **water held by**: for half an hour or longer meanwhile; \`hold\` is a stage that waters nothing.
- **once mended**: what was raised only afterwards. Ten minutes after the fault ended the grower fills the reservoir, and
  then and every two hours does what the advice of each alarm says.
- **warm again**, **watered again**: after the fault ended, to a root zone in its band with heat free, and to a dose that was
  seen. Empty: it was never cold, or no water was due within the day.

${table(FAULT_HEAD, rows.map(faultCells))}

## What an alarm may stand for

${table(
  ['alarm', 'first sign of', 'later sign of', 'comes once mended'],
  raised.map((alarm) => alarmCells(alarm, rows)),
)}

No fault of the bench alone raises these, but hands, marks, age, feed, a pump that wears slowly or several things at once:
${wrapped(listed(silent))}. Where each is seen: \`tests/unit/alarms-found.test.ts\`.
`;
}

/** At spaces, to lines of the width of this folder's documents. */
function wrapped(text: string): string {
  return text.replace(/(.{1,118}) (?=.)/g, (line) =>
    line.length > 100 ? `${line.trimEnd()}\n` : line,
  );
}
