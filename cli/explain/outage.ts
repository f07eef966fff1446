/** Times without power: a start because power came on, that another start came before. Pure. */
import { type CauseRule, claim, type Finding, piece, rank } from './finding';
import type { Stand } from './stand';
import { bootEntry } from './starts';
import type { Boot, Noted } from './time-line';

const HOUR_MS = 3_600_000;

const POWER_OUT: CauseRule<Noted> = {
  cause: 'power-out',
  weigh: (start) => [piece(true, 4, 'the controller started because its power came on', [start])],
};

export function outages({ record }: Stand): readonly Finding[] {
  return record.boots.flatMap((boot, i) => {
    const before = record.boots[i - 1];
    const start = bootEntry(boot);
    if (before === undefined || start === null || start.cause !== 'power-on') return [];
    return [
      outage(before, boot, start.note, record.boots.length === i + 1 && boot.notes.length < 2),
    ];
  });
}

function outage(before: Boot, boot: Boot, start: Noted, open: boolean): Finding {
  const last = before.notes.at(-1);
  const { offMs, fromMs } = boot;
  const by = last === undefined ? [start] : [last, start];
  return {
    kind: 'outage',
    fromMs: before.toMs,
    toMs: fromMs,
    open,
    unmeasured: offMs === null,
    what: claim(
      ({ time, range, span }) =>
        offMs === null
          ? `The power was out after ${time(before.toMs)}; for how long nobody knows, because the clock was not set since, or was wrong`
          : `The power was out for ${span(offMs)} at the most, ${range(before.toMs, fromMs)}`,
      by,
    ),
    causes: rank([POWER_OUT], start),
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
