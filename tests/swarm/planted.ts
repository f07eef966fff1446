/** Bugs that the swarm has to find: each is planted, and seeds are tried until one breaks a promise that holds without it. */
import type { Bug } from '../bundle';

export const PLANTED: readonly Bug[] = [
  {
    sentence: 'The mat rests for a minute before it heats again.',
    file: 'firmware/control/heat.ts',
    find: 'rootZoneC < band.lowC && ranMs >= limits.minOffMs',
    replace: 'rootZoneC < band.lowC',
  },
  {
    sentence: 'No more water in a day than the profile allows.',
    file: 'firmware/control/caps.ts',
    find: 'day: given.dayMl + doseMl > watering.maxDayMl,',
    replace: 'day: false,',
  },
  {
    sentence: 'A tray dry past the start share is watered.',
    file: 'firmware/control/need.ts',
    find: 'if (input.dryBackShare < startShare) return 0;',
    replace: 'if (input.dryBackShare < startShare + 0.1) return 0;',
  },
  {
    sentence: 'What is mended is over: heat and water return.',
    file: 'firmware/guard/alarm-bank.ts',
    find: '    if (record.present) return false;\n    if (record.standing) this.',
    replace:
      '    if (record.present || record.spec.dropsMat) return false;\n    if (record.standing) this.',
  },
  {
    sentence: 'Hands that are gone hold no water off.',
    file: 'firmware/limits.ts',
    find: 'quietMs: 2 * MINUTE_MS,',
    replace: 'quietMs: 24 * HOUR_MS,',
  },
  {
    sentence: 'A root zone out of its band is said.',
    file: 'firmware/guard/limits.ts',
    find: 'tooWarmMs: 2 * HOUR_MS,',
    replace: 'tooWarmMs: 20 * HOUR_MS,',
  },
  {
    sentence: 'A tray too dry is said.',
    file: 'firmware/guard/limits.ts',
    find: 'tooDryMs: 10 * MINUTE_MS,',
    replace: 'tooDryMs: 60 * HOUR_MS,',
  },
  {
    sentence: 'A stage lasts as long as the profile says.',
    file: 'firmware/tick/staging.ts',
    find: 'progress.stageRunMs += dtMs;',
    replace: 'progress.stageRunMs += 2 * dtMs;',
  },
  {
    sentence: 'What a dose brings is no hand on the tray.',
    file: 'firmware/control/weight.ts',
    find: 'moved > LIMITS.handlingG + input.expectedRiseG',
    replace: 'moved > LIMITS.handlingG',
  },
  {
    sentence: 'A journal entry is written once, in a place of its own.',
    file: 'firmware/storage/journal.ts',
    find: 'return firstSequenceOf(ring.numberOf(current)) + slot;',
    replace: 'return firstSequenceOf(ring.numberOf(current)) + slot + (slot > 99 ? 1 : 0);',
  },
  {
    sentence: 'Settings outlive a cut in the middle of a write.',
    file: 'firmware/storage/settings.ts',
    find: 'if (newer && isValueSound(flash, at, head, scratch)) live.set',
    replace: 'if (newer) live.set',
  },
  {
    sentence: 'The mat goes off above its band.',
    file: 'firmware/control/heat.ts',
    find: 'rootZoneC > band.highC && ranMs',
    replace: 'rootZoneC > band.highC + 12 && ranMs',
  },
  {
    sentence: 'The mat stays off while its tray stands somewhere else.',
    file: 'firmware/control/interlock.ts',
    find: "  if (away) return 'tray-off';\n  if (!probesSound)",
    replace: '  if (!probesSound)',
  },
  {
    sentence: 'The pump rests while its tray stands somewhere else.',
    file: 'firmware/control/interlock.ts',
    find: "  if (conditions.away) return 'tray-off';\n",
    replace: '',
  },
  {
    sentence: 'A hold gives its rescue once.',
    file: 'firmware/control/need.ts',
    find: 'rescue.doseMl > 0 && !input.rescued;',
    replace: 'rescue.doseMl > 0;',
  },
  {
    sentence: 'A day has all its hours.',
    file: 'firmware/limits.ts',
    find: 'dayHours: 25,',
    replace: 'dayHours: 6,',
  },
  {
    sentence: 'All of a dose counts.',
    file: 'firmware/tray/water-account.ts',
    find: '(account.hoursMl[account.hour] ?? 0) + cappedMl)',
    replace: '(account.hoursMl[account.hour] ?? 0) + cappedMl / 2)',
  },
  {
    sentence: 'A tray that comes back is known again.',
    file: 'firmware/control/ledger-booking.ts',
    find: 'if (there !== null) return bounded(there);',
    replace: '',
  },
  {
    sentence: 'A root zone too cold is said.',
    file: 'firmware/guard/limits.ts',
    find: 'tooColdMs: HOUR_MS,',
    replace: 'tooColdMs: 20 * HOUR_MS,',
  },
  {
    sentence: 'What is mended of the water is over.',
    file: 'firmware/guard/alarm-bank.ts',
    find: '    if (record.present) return false;\n    if (record.standing) this.',
    replace:
      '    if (record.present || record.spec.dropsPump) return false;\n    if (record.standing) this.',
  },
  {
    sentence: 'An alarm that stands is not raised again.',
    file: 'firmware/guard/alarm-bank.ts',
    find: '    if (record.present === present) return;\n',
    replace: '',
  },
  {
    sentence: 'What happens again is one alarm while it stands.',
    file: 'firmware/guard/alarm-bank.ts',
    find: '    if (this.record(name).standing) return;\n',
    replace: '',
  },
  {
    sentence: 'The newest record of a setting speaks.',
    file: 'firmware/storage/settings.ts',
    find: 'head.sequence > known.head.sequence;',
    replace: 'head.sequence < known.head.sequence;',
  },
  {
    sentence: 'A start goes on behind the last entry.',
    file: 'firmware/storage/journal.ts',
    find: '    slot = slotsUsed(flash, ring.offsetOf(newest));',
    replace: '    slot = Math.max(0, slotsUsed(flash, ring.offsetOf(newest)) - 1);',
  },
  {
    sentence: 'A dense record ends.',
    file: 'firmware/limits.ts',
    find: 'traceAfterMs: 10 * MINUTE_MS,',
    replace: 'traceAfterMs: 10 * HOUR_MS,',
  },
  {
    sentence: 'A scale that trembles for a moment is not noisy.',
    file: 'firmware/limits.ts',
    find: 'scaleNoisyMs: 10 * MINUTE_MS,',
    replace: 'scaleNoisyMs: 5_000,',
  },
  {
    sentence: 'A dose that ran out of a full tray puts the next off by an hour.',
    file: 'firmware/limits.ts',
    find: 'drainWaitMs: HOUR_MS,',
    replace: 'drainWaitMs: 60 * HOUR_MS,',
  },
  {
    sentence: 'A tray that was lifted off is away.',
    file: 'firmware/tick/weights.ts',
    find: 'this.#away = isAway(next, scale.grams, known.dryG);',
    replace: 'this.#away = false;',
  },
  {
    sentence: 'The ring goes on behind its newest sector after a start.',
    file: 'firmware/storage/sector-ring.ts',
    find: '  dropLeftBehind();\n  let tried = newest;',
    replace: '  let tried = NO_SECTOR;',
  },
  {
    sentence: 'A profile that is in order is taken up at each start.',
    file: 'firmware/storage/profile-slots.ts',
    find: 'return crc32(image) === head.imageCrc ? image : null;',
    replace: 'return crc32(image) !== head.imageCrc ? image : null;',
  },
];
