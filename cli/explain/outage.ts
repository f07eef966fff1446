/** Times in which no firmware ran: without power, or in the boot drive; another start came before. Pure. */
import { HOUR_MS } from '../../shared/units/time';
import { type CauseRule, claim, type Finding, piece, rank } from './finding';
import type { Stand } from './stand';
import { bootEntry } from './starts';
import type { Boot, Noted } from './time-line';

const POWER_OUT: CauseRule<Noted> = {
  cause: 'power-out',
  weigh: (start) => [piece(true, 4, 'the controller started because its power came on', [start])],
};

const IMAGE_AWAITED: CauseRule<Noted> = {
  cause: 'image-awaited',
  weigh: (told) => [
    piece(true, 4, 'the last that the board was told was to show its boot drive', [told]),
  ],
};
/** In the two seconds until it is gone, somebody may have said something else. */
const LAST_WORDS = 3;

export function outages({ record }: Stand): readonly Finding[] {
  return record.boots.flatMap((boot, i) => {
    const before = record.boots[i - 1];
    const start = bootEntry(boot);
    if (before === undefined || start === null) return [];
    const drive = before.notes
      .slice(-LAST_WORDS)
      .find(({ dated }) => dated.entry.kind === 'boot-drive');
    if (drive === undefined && start.cause !== 'power-on') return [];
    const open = record.boots.length === i + 1 && boot.notes.length < 2;
    return [outage(before, boot, start.note, drive ?? null, open)];
  });
}

function outage(
  before: Boot,
  boot: Boot,
  start: Noted,
  drive: Noted | null,
  open: boolean,
): Finding {
  const last = drive ?? before.notes.at(-1);
  const { offMs, fromMs } = boot;
  const by = last === undefined ? [start] : [last, start];
  const was = drive === null ? 'The power was out' : 'The board waited for an image';
  return {
    kind: 'outage',
    fromMs: before.toMs,
    toMs: fromMs,
    open,
    unmeasured: offMs === null,
    what: claim(
      ({ time, range, span }) =>
        offMs === null
          ? `${was} after ${time(before.toMs)}; for how long nobody knows, because the clock was not set since, or was wrong`
          : `${was} for ${span(offMs)} at the most, ${range(before.toMs, fromMs)}`,
      by,
    ),
    causes: drive === null ? rank([POWER_OUT], start) : rank([IMAGE_AWAITED], drive),
    did: [claim(didText(boot), [start])],
    crop: [],
    measures: {},
    alarms: ['too-cold', 'band-out-of-reach'],
    weight: offMs === null ? 1 : offMs / HOUR_MS,
  };
}

function didText({ notes }: Boot): string {
  const clock = notes.find(({ dated }) => dated.entry.kind === 'clock' && dated.entry.outageS > 0);
  const told =
    clock === undefined
      ? ''
      : '; when the clock was set, the outage was added to the run of the stage';
  return `It went on by itself where it had been${told}`;
}
