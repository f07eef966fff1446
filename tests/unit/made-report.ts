/** Reports of made-up journals, and whether what is made of them is well-formed. */
import type { Report } from '../../cli/report/model';
import { reportOf } from '../../cli/report/of-journal';
import type { Plot } from '../../cli/report/plot/model';
import { EVENING_MS, MadeJournal, PROFILE_ID, TRAY } from './made-journal';

/** A text that would be markup if it were not escaped. */
export const HOSTILE = `</script><script>alert('x')</script><img src=x onerror=alert(1)> & "quoted"`;

/** Its report, an evening's. */
export function reportFor(made: MadeJournal): Report {
  const report = reportOf(
    [{ life: 1, entries: made.entries, damaged: 0 }],
    { byId: new Map([[PROFILE_ID, made.profile]]), activeId: null },
    {
      ...{ boardId: 'e66100000000000b', sinceMs: null, untilMs: null, nowMs: EVENING_MS },
      ...{ units: 'metric', offsetMin: 60, matW: 40, tariff: null },
    },
  );
  if (report === null) throw new Error('there is no report');
  return report;
}

/** A bad night: a probe breaks, the root zone cools, the power fails, and no dose comes. */
export function badNight(profile = TRAY): MadeJournal {
  const made = new MadeJournal(profile).goOn(12).alarm('probe-open', 'raised', 4092, 4000);
  made.alarm('tray-away');
  made.goOn(3, { rootC: Number.NaN, duty: 0 }).boot('power-on', 20).clock(5).goOn(2);
  return made.note({ kind: 'refill', volumeMl: 1_000, feedEc: 1 }).dose(0).goOn(2, { stage: 1 });
}

/** What is drawn in the report of that night. */
export const plotOfReport = (): Plot => reportFor(badNight()).plot;

const VOID = new Set(['meta', 'link', 'br', 'img', 'input', 'hr']);

/** Names of elements that are not closed in the order in which they were opened; empty where all are. */
export function unbalanced(page: string): readonly string[] {
  const bare = page
    .replace(/<!doctype html>/, '')
    .replace(/<(script|style)\b([^>]*)>[\s\S]*?<\/\1>/g, '<$1$2></$1>');
  const open: string[] = [];
  const wrong: string[] = [];
  for (const [, slash, name = '', end] of bare.matchAll(
    /<(\/?)([a-zA-Z][\w-]*)(?:\s[\w:-]+(?:="[^"<]*")?)*\s*(\/?)>/g,
  )) {
    if (end === '/' || VOID.has(name)) continue;
    if (slash === '') open.push(name);
    else if (open.pop() !== name) wrong.push(name);
  }
  return [...wrong, ...open];
}
