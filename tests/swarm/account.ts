/** What must outlive every cut, restart and worn sector, and what must stay within bounds: read over the link at the end. */
import type { GrowerAt, GrowersBench } from '../../firmware/bench/grower';
import { fromBase64 } from '../../shared/bytes';
import {
  ENTRY_BYTES,
  entryKind,
  entrySequence,
  isEntrySound,
  unpackEntry,
} from '../../shared/journal/codec';
import { LINK_LIMITS } from '../../shared/link/methods';
import type { Accuse } from './pins';
import { PROMISES } from './promises';

/** Either way of running the firmware. */
type Link = Pick<GrowerAt<GrowersBench>, 'call' | 'status'>;

/** What happened to the board, of either kind of plan. */
interface Happened {
  readonly events: readonly { readonly kind: string; readonly fault?: string }[];
}

export interface Kept {
  readonly profileId: number | null;
  readonly pumpMlPerS: number | null;
  readonly journalNext: number;
}

export function noteKept(link: Link): Kept {
  return {
    profileId: link.status().profile?.id ?? null,
    pumpMlPerS: link.call('pump.state', {}, false).calibration?.mlPerS ?? null,
    journalNext: link.call('journal.info', {}, false).next,
  };
}

/** Judges by what the board answers: that it does is promised as well. */
export function judgeAnswers(accuse: Accuse, judge: () => void): void {
  try {
    judge();
  } catch (error) {
    accuse('board-silent', `${error}`);
  }
}

/** Profile and calibrations are what they were. Throws where the board does not answer. */
export function judgeKept(link: Link, before: Kept, accuse: Accuse): void {
  const now = noteKept(link);
  const scales = link.call('scale.history', {}, false).calibrations.length;
  if (now.profileId !== before.profileId) accuse('profile-lost', `profile ${now.profileId}`);
  if (now.pumpMlPerS !== before.pumpMlPerS) accuse('settings-lost', `pump ${now.pumpMlPerS} ml/s`);
  if (scales === 0) accuse('settings-lost', 'the scale is not calibrated');
}

/** Journal entries come in order, hardly one is missing, and there are not too many. Throws as `judgeKept`. */
export function judgeBounds(link: Link, plan: Happened, days: number, accuse: Accuse): void {
  const { first, next } = link.call('journal.info', {}, false);
  const numbers: number[] = [];
  let raised = 0;
  for (let from = first; from < next; ) {
    const page = link.call('journal.page', { from, count: LINK_LIMITS.pageEntries }, false);
    const bytes = fromBase64(page.data) ?? new Uint8Array();
    if (page.count === 0) break;
    for (let at = 0; at < page.count * ENTRY_BYTES; at += ENTRY_BYTES) {
      if (isEntrySound(bytes, at)) numbers.push(entrySequence(bytes, at));
      if (entryKind(bytes, at) !== 'alarm') continue;
      const entry = unpackEntry(bytes, at);
      if (entry?.kind === 'alarm' && entry.change === 'raised') raised += 1;
    }
    from = page.from + page.count;
  }
  if (numbers.some((number, i) => i > 0 && number <= (numbers[i - 1] ?? 0))) {
    accuse('journal-out-of-order', `${numbers.length} entries`);
  }
  const missing = next - first - numbers.length;
  const mayMiss = mayMissEntries(plan);
  if (missing > mayMiss) accuse('journal-lost', `${missing} entries, where ${mayMiss} may be`);
  if (next - first > PROMISES.entriesADay * days) {
    accuse('journal-flood', `${next - first} entries in ${days.toFixed(1)} days`);
  }
  const most = PROMISES.alarmsADay * days + PROMISES.alarmsAHappening * plan.events.length;
  if (raised > most) accuse('alarm-flood', `${raised} raised in ${days.toFixed(1)} days`);
}

/** A cut may tear what is being written, and a sector that takes no more is left with what is in it. */
function mayMissEntries({ events }: Happened): number {
  let may = 0;
  for (const event of events) {
    if (event.kind === 'worn-flash') may += PROMISES.entriesAWornSector;
    if (event.kind === 'cut-in-write' || (event.kind === 'fault' && event.fault === 'mains-cut')) {
      may += PROMISES.entriesACut;
    }
  }
  return may;
}
