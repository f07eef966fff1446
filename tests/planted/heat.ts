/** Heat that is never locked off by an ordinary day. */
import type { PlantedBug } from './bug';

const ORDINARY = 'tests/simulation/ordinary-days.test.ts';
const BAND = 'tests/simulation/out-of-band.test.ts';
const ROWS = 'tests/simulation/guard-rows-heat.test.ts';
const REST = 'tests/simulation/mat-rest.test.ts';
const LINE_ROWS = 'tests/simulation/guard-rows-mat-line.test.ts';
const PROGRAM = 'tests/simulation/program-at-the-tray.test.ts';
const MIST = 'tests/simulation/mist.test.ts';

export const HEAT: readonly PlantedBug[] = [
  {
    sentence: 'A probe that hangs in a room as warm as its band cooks no root zone.',
    file: 'firmware/guard/mat-rest-watch.ts',
    find: 'return matC > maxC &&',
    replace: 'return matC > 2 * maxC &&',
    foundBy: {
      file: REST,
      test: 'reads what it should: the mat rests, and tells before the root zone is too warm',
    },
  },
  {
    sentence: 'A tray on ribs in a cold room is warmed all the same.',
    file: 'firmware/guard/mat-rest-watch.ts',
    find: 'matC - this.#ownK > (highC + maxC) / 2;',
    replace: 'matC > (highC + maxC) / 2;',
    foundBy: {
      file: REST,
      test: 'has all but three quarters of an hour of it, where the tray stands on ribs',
    },
  },
  {
    sentence: 'A plug of the mat that is out is not taken for a blown fuse.',
    file: 'firmware/sensing/mat-line.ts',
    find: "if (ratio < LIMIT.leadOpen) return 'lead-open';",
    replace: "if (ratio < LIMIT.leadOpen) return 'fuse-blown';",
    foundBy: { file: LINE_ROWS, test: '(%s) is told within seconds of being switched on' },
  },
  {
    sentence: 'A switch of the mat that welds is told as the mat is let go.',
    file: 'firmware/guard/mat-line-watch.ts',
    find: 'return isTwice || matLook.isAsLetGo ?',
    replace: 'return isTwice ?',
    foundBy: {
      file: LINE_ROWS,
      test: 'is told within seconds of the mat being let go, and held off',
    },
  },
  {
    sentence: 'Airing and lifting a tray latch no alarm.',
    file: 'firmware/control/hands.ts',
    find: "return away || (handsNear && rootZone.state === 'jumped');",
    replace: 'return away;',
    foundBy: {
      file: ORDINARY,
      test: 'with a tray lifted and aired whose probe slips out for minutes',
    },
  },
  {
    sentence: 'Misting latches no alarm.',
    file: 'firmware/limits.ts',
    find: 'risingG: 20,',
    replace: 'risingG: 4,',
    foundBy: { file: MIST, test: 'that no hand shows latches nothing: a fine spray is no leak' },
  },
  {
    sentence: 'Nor is what runs off after it taken for a lid left off.',
    file: 'firmware/limits.ts',
    find: 'mistDrainMs: HOUR_MS,',
    replace: 'mistDrainMs: 0,',
    foundBy: { file: MIST, test: 'runs off a full tray again, and that is no drying too fast' },
  },
  {
    sentence:
      'Soaking a tray beside its scale for half an hour latches no alarm, and counts as water.',
    file: 'firmware/control/ledger-away.ts',
    find: 'standsG(rest) <= mostBackG;',
    replace: 'standsG(rest) <= heldG;',
    foundBy: {
      file: 'tests/simulation/tray-away.test.ts',
      test: 'soaked beside the scale for half an hour',
    },
  },
  {
    sentence: 'A transplant latches no alarm, marked before or after it is done.',
    file: 'firmware/control/hands.ts',
    find: 'return uptimeMs - handsMs < LIMITS.handsMs;',
    replace: 'return false;',
    foundBy: { file: ORDINARY, test: 'a transplant marked %s it is done locks no heat off' },
  },
  {
    sentence: 'A mark made after the work takes back what the hand has latched.',
    file: 'firmware/tick/guard.ts',
    find: "if (explainJump(jump, tray.uptimeMs)) tray.alarms.clear('probe-jumped');",
    replace: '',
    foundBy: {
      file: ROWS,
      test: 'needs no clearing where a mark within minutes says that hands were there',
    },
  },
  {
    sentence: 'Filling a reservoir that had run dry ends what its last dose had latched.',
    file: 'firmware/tick/watering.ts',
    find: "if (isTooLittleForDose(this.feed.leftMl, stage)) alarms.clear('dose-not-seen');",
    replace: '',
    foundBy: {
      file: 'tests/simulation/put-right.test.ts',
      test: 'is mended by filling it: water returns without another word',
    },
  },
  {
    sentence:
      'A lamp that is raised or switched off makes no dead mat of one that only holds its own.',
    file: 'firmware/guard/mat-watch.ts',
    find: ' && !matWarm && (!this.#shown || diedSince)',
    replace: '',
    foundBy: {
      file: ROWS,
      test: 'that only holds its own as the lamp is raised, and then switched off',
    },
  },
  {
    sentence: 'Nor does a cold night, where a tray that lies wet on its mat hides its warmth.',
    file: 'firmware/guard/mat-watch.ts',
    find: '(!this.#shown || diedSince)',
    replace: 'true',
    foundBy: {
      file: ROWS,
      test: 'is not called dead in cold nights under a tray that lies wet on it',
    },
  },
  {
    sentence: 'Sun on the tray makes no stuck mat.',
    file: 'firmware/guard/mat-watch.ts',
    find: 'const heats = aboveBand && riseK > LIMITS.stuckRiseK && matGives;',
    replace: 'const heats = aboveBand && riseK > LIMITS.stuckRiseK;',
    foundBy: { file: ORDINARY, test: 'with %s latches nothing, and holds nothing off a day later' },
  },
  {
    sentence: 'A room warmer than the band makes no stuck mat.',
    file: 'firmware/guard/limits.ts',
    find: 'stuckWarmShare: 0.6,',
    replace: 'stuckWarmShare: 0,',
    foundBy: {
      file: ROWS,
      test: 'is not called stuck where a room warmer than the band sends its heat',
    },
  },
  {
    sentence: 'Nor does it latch a root zone that is too hot.',
    file: 'firmware/guard/probe-watch.ts',
    find: 'const byMat = !matLikeRoot || (outputs & OUTPUT.matOn) !== 0;',
    replace: 'const byMat = true;',
    foundBy: { file: ORDINARY, test: 'is said once in a week of warm days and a transplant' },
  },
  {
    sentence: 'Mains cuts are no faults of the board, however often they come.',
    file: 'firmware/tray/open.ts',
    find: "const FIRST_FAULT = RESET_CAUSES.indexOf('watchdog');",
    replace: 'const FIRST_FAULT = 0;',
    foundBy: {
      file: 'tests/simulation/guard-rows-board.test.ts',
      test: 'is not meant when the restarts are hours apart, or asked for, or cut mains',
    },
  },
  {
    sentence: 'A root zone more than 2 K above its band for two hours is said.',
    file: 'firmware/guard/limits.ts',
    find: 'tooWarmMs: 2 * HOUR_MS,',
    replace: 'tooWarmMs: 5 * HOUR_MS,',
    foundBy: {
      file: BAND,
      test: 'by more than 2 K above it is said after two hours, and not before',
    },
  },
  {
    sentence: 'A root zone more than 2 K below its band for an hour is said.',
    file: 'firmware/guard/limits.ts',
    find: 'bandBeyondK: 2,',
    replace: 'bandBeyondK: 4,',
    foundBy: {
      file: BAND,
      test: 'by more than 2 K below it is said after an hour, and not before',
    },
  },
  {
    sentence:
      'It is said whatever the cause: where the room forbids the band, and nothing is locked off.',
    file: 'firmware/guard/band-watch.ts',
    find: 'return [this.#warm.judge(warm, dtMs), this.#cold.judge(cold, dtMs)];',
    replace: 'return [this.#cold.judge(cold, dtMs)];',
    foundBy: { file: BAND, test: 'is said as too warm where the room forbids the band' },
  },
  {
    sentence: 'A power cut that left it cold is said minutes after it.',
    file: 'firmware/guard/band-watch.ts',
    find: 'if (wasCold && lowC - rootC > LIMITS.bandBeyondK) this.#cold.foundAtStart();',
    replace: '',
    foundBy: { file: BAND, test: 'is said as too cold minutes after a day without power' },
  },
  {
    sentence: 'It is said as soon as ever, however often the board starts anew meanwhile.',
    file: 'firmware/guard/band-watch.ts',
    find: 'this.#outsideMs = forMs;',
    replace: 'this.#outsideMs = 0 * forMs;',
    foundBy: {
      file: BAND,
      test: 'is said as too warm after two hours though the board starts anew each %i minutes',
    },
  },
  {
    sentence: 'It is not over because the tray was taken away.',
    file: 'firmware/guard/band-watch.ts',
    find: 'pause(dtMs: number): void {',
    replace: 'pause(dtMs: number): void { this.#present = false;',
    foundBy: {
      file: BAND,
      test: 'is so still when the tray comes back that was taken away for two hours',
    },
  },
  {
    sentence:
      'Nor has it to last anew: it is said of a tray that hands lift for hours now and then.',
    file: 'firmware/guard/band-watch.ts',
    find: 'pause(dtMs: number): void {',
    replace: 'pause(dtMs: number): void { this.#outsideMs = 0;',
    foundBy: {
      file: BAND,
      test: 'is said as too warm of a tray that hands hold up for an hour and a half in between',
    },
  },
  {
    sentence: 'What to do about warmth is to raise the lamp and open the vents: a mat cannot cool.',
    file: 'shared/alarms/advice/heat.ts',
    find: "'Shade the tray; raise the lamp.',",
    replace: "'Shade the tray.',",
    foundBy: { file: 'tests/unit/advice.test.ts', test: 'is advised on by what cools it' },
  },
  {
    sentence: 'After a power cut the status says how long it lasted and how cold it got.',
    file: 'firmware/tray/tray.ts',
    find: '{ forMs, beforeC: this.#beforeC, afterC: this.#afterC } : null',
    replace: '{ forMs, beforeC: this.#beforeC, afterC: this.#beforeC } : null',
    foundBy: { file: BAND, test: 'and the status tells how long and how cold it was' },
  },
  {
    sentence: 'Seen takes what is over off the list.',
    file: 'firmware/guard/alarm.ts',
    find: 'this.spec.latched ? latched : normal(endedMs)',
    replace: "this.spec.latched ? latched : { state: 'returned', endedMs }",
    foundBy: {
      file: 'tests/cli/commands.test.ts',
      test: 'takes "seen" for all that stand, and tells of one that is over since when',
    },
  },
  {
    sentence: 'Mended ends what holds heat or water off, and not while its cause is there.',
    file: 'firmware/guard/alarm-bank.ts',
    find: '    if (record.present) return false;\n    if (record.standing)',
    replace: '    if (record.standing)',
    foundBy: {
      file: 'tests/simulation/guard-rows-board.test.ts',
      test: 'latched: seen, gone, still held; only clearing in the absence of its cause frees the mat',
    },
  },
  {
    sentence: 'What has ended says so, and since when.',
    file: 'cli/words/alarm.ts',
    find: "endText(report, 'over', nowMs)",
    replace: "'returned'",
    foundBy: {
      file: PROGRAM,
      test: 'says that it is over, since when, and how it goes off the list',
    },
  },
  {
    sentence: 'Alarms stand by urgency everywhere.',
    file: 'firmware/handlers/alarms.ts',
    find: '    .sort(byUrgency);',
    replace: '    .sort();',
    foundBy: {
      file: 'tests/cli/status.test.ts',
      test: 'stand most urgent first, in the status and in their list',
    },
  },
  {
    sentence: 'The age of an alarm outlives a restart.',
    file: 'firmware/guard/alarm-bank.ts',
    find: 'raisedMs: memory?.raisedMs ?? uptimeMs,',
    replace: 'raisedMs: uptimeMs,',
    foundBy: {
      file: 'tests/simulation/alarms-over-restarts.test.ts',
      test: 'is as old as it is, its end too, and says what was measured',
    },
  },
  {
    sentence: 'So does what was measured.',
    file: 'firmware/guard/alarm-bank.ts',
    find: 'value: memory?.value ?? Number.NaN,',
    replace: 'value: Number.NaN,',
    foundBy: {
      file: 'tests/simulation/alarms-over-restarts.test.ts',
      test: 'is as old as it is, its end too, and says what was measured',
    },
  },
  {
    sentence: 'The mark transplanted asks first.',
    file: 'cli/commands/mark.ts',
    find: "const forgets = mark === 'transplanted' ? forgetText(water) : [];",
    replace: 'const forgets: string[] = [];',
    foundBy: {
      file: 'tests/cli/mark.test.ts',
      test: 'asks at the end of its own stage too: it forgets what the tray weighs',
    },
  },
  {
    sentence: 'Any mark that would jump a stage asks first.',
    file: 'cli/commands/mark.ts',
    find: 'if (skipped.length === 0) return [];',
    replace: 'if (skipped.length < 9) return [];',
    foundBy: {
      file: 'tests/cli/mark.test.ts',
      test: 'asks, and names it; one that ends the running stage does not',
    },
  },
  {
    sentence: 'The status tells the band of a stage as soon as it begins.',
    file: 'firmware/tick/heating.ts',
    find: 'return bandNow(tray.stage, tray.profile?.night ?? null, tray.minuteOfDay);',
    replace:
      'const kept = this as { atMs?: number; was?: Band | null };\n    if (kept.atMs !== tray.uptimeMs) {\n      kept.atMs = tray.uptimeMs;\n      kept.was = bandNow(tray.stage, tray.profile?.night ?? null, tray.minuteOfDay);\n    }\n    return kept.was ?? null;',
    foundBy: { file: ORDINARY, test: 'is told with its own band at once: asked before any time' },
  },
  {
    sentence: 'A pump calibration worse than the one in use is refused, unless it is meant.',
    file: 'cli/calibration/pump.ts',
    find: 'cvPercent > previous.cvPercent + LIMITS.cvWorsePercent && !evenIfWorse',
    replace: 'cvPercent > previous.cvPercent + 9 * LIMITS.cvWorsePercent && !evenIfWorse',
    foundBy: { file: PROGRAM, test: 'is refused, and the old one stays, unless it is meant' },
  },
];
