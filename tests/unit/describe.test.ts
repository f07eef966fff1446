import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { describeEntry } from '../../cli/journal/describe';
import { ADVICE } from '../../shared/alarms/advice';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import {
  FAULT,
  FAULT_DETAIL,
  INVARIANT_DETAIL,
  INVARIANTS,
  OUTPUT,
  RESET_CAUSES,
  type ResetCause,
} from '../../shared/board/words';
import type { JournalBody } from '../../shared/journal/kinds';
import type { UnitSystem } from '../../shared/units';
import { holds } from '../properties';
import { anyBody, anyHead, BODIES } from './any-entry';

const HEAD = { sequence: 9, boot: 2, uptimeMs: 60_000 };
const NOTE: JournalBody = { kind: 'fault', code: 1, detail: 0 };
const said = (body: JournalBody, units: UnitSystem = 'metric'): string =>
  describeEntry({ ...HEAD, ...body }, units);

describe('an entry in words', () => {
  it('is a sentence of one line, for every kind and any value, in both systems of units', () => {
    holds(
      fc.property(anyHead, anyBody, fc.constantFrom('metric', 'us'), (head, body, units) => {
        const sentence = describeEntry({ ...head, ...body }, units);
        expect(sentence).toMatch(/^[A-Z0-9].*\.$/);
        expect(sentence).not.toMatch(/undefined|\[object|\n/);
        if (body.kind !== 'fault') expect(sentence).not.toContain('NaN');
      }),
      { numRuns: 1_000 },
    );
  });

  it('differs from kind to kind', () => {
    const starts = Object.entries(BODIES)
      .filter(([kind]) => kind !== 'trace')
      .map(([, bodies]) =>
        said(fc.sample<JournalBody>(bodies, { numRuns: 1, seed: 1 })[0] ?? NOTE),
      );
    expect(new Set(starts).size).toBe(starts.length);
  });

  it('tells how many pieces stay when the others were moved on', () => {
    const mark = { kind: 'mark', mark: 'moved', stage: 1, trayG: 2_310, rootZoneC: 22 } as const;
    expect(said({ ...mark, pieces: 49 })).toBe('Marked moved at 2310 g; 49 pieces stay.');
    expect(said({ ...mark, pieces: 0 })).toBe('Marked moved at 2310 g.');
    expect(said({ kind: 'count', stage: 1, standing: 41, of: 98 })).toBe(
      'Counted: 41 of 98 stand.',
    );
  });

  it('tells a dose with what was asked for, what arrived and the verdict', () => {
    const dose = {
      kind: 'dose',
      reason: 'dry-back',
      verdict: 'seen',
      stage: 1,
      plannedMl: 60,
      ranMs: 30_000,
      beforeG: 4_000,
      gainedG: 58.4,
    } as const;
    expect(said(dose)).toBe('Dose of 60.0 ml (dry-back): seen, tray gained 58.4 g.');
    expect(said({ ...dose, verdict: 'handled', gainedG: Number.NaN })).toBe(
      'Dose of 60.0 ml (dry-back): handled, not weighed.',
    );
  });

  it('tells a run of the pump by hand by its time: its volume is not known yet', () => {
    const run = { kind: 'dose', reason: 'prime', verdict: 'unproved', stage: 0 } as const;
    const unknown = { beforeG: Number.NaN, gainedG: Number.NaN };
    expect(said({ ...run, plannedMl: 0, ranMs: 10_000, ...unknown })).toBe(
      'Pump run by hand (prime) for 10.0 s.',
    );
  });

  it('tells stages as growers count them, from one', () => {
    const change = {
      kind: 'stage',
      from: 255,
      to: 0,
      reason: 'mark',
      ranS: 0,
      waterMl: 0,
    } as const;
    expect(said(change)).toBe('Stage 1 began (mark).');
    expect(said({ ...change, from: 0, to: 1, reason: 'run-time', ranS: 86_400 })).toBe(
      'Stage 1 ended after 1 d and 0.0 ml of water; stage 2 began (run time).',
    );
  });

  it('tells a reading with what the probes could not say left open', () => {
    const reading = {
      kind: 'reading',
      rootZoneC: 26.31,
      matC: Number.NaN,
      trayG: 4_213,
      dryBackShare: 0.123,
      matDutyShare: 0.5,
      outputs: 1,
      stage: 0,
      spreadG: 0.2,
    } as const;
    expect(said(reading)).toBe('Roots 26.3 °C, mat - 50 %, 4213 g, dry-back 12.3 %.');
    expect(said({ ...reading, outputs: 0 })).toMatch(/dry-back 12\.3 %\.$/);
    expect(said({ ...reading, outputs: OUTPUT.limiterMat | OUTPUT.pumpHourSpent })).toMatch(
      /; the limiter keeps the mat off because of the mat probe, the pump has run as long as it may in this hour\.$/,
    );
    // That there is a supply is no news; that there is none is an alarm.
    expect(said({ ...reading, outputs: OUTPUT.loadsLive })).toMatch(/dry-back 12\.3 %\.$/);
    const telling = Object.values(OUTPUT).filter((outputs) => outputs !== OUTPUT.loadsLive);
    const alone = telling.map((outputs) => said({ ...reading, outputs }));
    expect(new Set(alone).size).toBe(alone.length);
    expect(said(reading, 'us')).toContain('°F');
  });

  it('has the title of every alarm, and what was measured with its unit', () => {
    for (const alarm of ALARM_NAMES) {
      const body = { kind: 'alarm', alarm, stage: 0, limit: 38, forS: 0 } as const;
      const { title } = ADVICE[alarm];
      expect(said({ ...body, change: 'raised', value: Number.NaN })).toBe(
        `Alarm raised: ${title}.`,
      );
      expect(said({ ...body, change: 'returned', value: 38.456 })).toBe(`Alarm over: ${title}.`);
    }
    const raised = { kind: 'alarm', change: 'raised', stage: 0, limit: 38, forS: 0 } as const;
    expect(said({ ...raised, alarm: 'root-zone-hot', value: 38.456 })).toContain(
      '(38.5 °C against 38.0 °C)',
    );
    expect(said({ ...raised, alarm: 'root-zone-hot', value: 38.456 }, 'us')).toContain('°F)');
    expect(said({ ...raised, alarm: 'too-dry', value: 0.31 })).toContain('(31.0 % against');
    expect(said({ ...raised, alarm: 'dose-not-seen', value: 1.25 })).toContain('(1.3 g against');
    expect(said({ ...raised, alarm: 'probe-open', value: 4091.55 })).not.toMatch(/409|code/);
    const shelved = { ...raised, change: 'shelved', forS: 7200 } as const;
    expect(said({ ...shelved, alarm: 'too-dry', value: 0.31 })).toMatch(/^Alarm shelved for 2 h: /);
  });

  it('has no limit where an alarm is held against none', () => {
    const body = { kind: 'alarm', change: 'raised', stage: 0, forS: 0 } as const;
    const frozen = { ...body, alarm: 'probe-frozen', value: 26.1 } as const;
    expect(said({ ...frozen, limit: 0 })).toContain('(26.1 °C)');
    expect(said({ ...frozen, limit: Number.NaN })).toContain('(26.1 °C)');
  });

  it('tells a calibration with the numbers that came out, in either units', () => {
    const body = { kind: 'calibration', restored: false } as const;
    const measured = { zeroCode: 106_904, countsPerG: 209.257, uncertaintyG: 1.27 };
    const scale = { ...body, target: 'scale', ...measured } as const;
    expect(said(scale)).toBe('Calibration of the scale: 209.26 counts/g, uncertain by 1.27 g.');
    expect(said({ ...scale, restored: true })).toMatch(/^Older calibration of the scale: 209/);
    expect(said(scale, 'us')).toContain('0.045 oz');
    const probe = { ...body, target: 'probe', offsetK: 0.24 } as const;
    expect(said(probe)).toBe('Calibration of the root-zone probe: offset 0.24 K.');
    expect(said(probe, 'us')).toContain('0.43 °F');
    expect(
      said({
        ...body,
        target: 'pump',
        mlPerS: 1.0234,
        cvPercent: 1.5,
        previousMlPerS: Number.NaN,
      }),
    ).toBe('Calibration of the pump: 1.023 ml/s, runs scatter by 1.5 %.');
    expect(said({ ...scale, target: 'scale-zero', zeroCode: 106_925 })).toBe(
      'Zero of the scale: code 106925.',
    );
  });

  it('tells every cause of a start apart, and owns up to one it does not know', () => {
    const boot = (cause: number): string =>
      said({ kind: 'boot', cause, detail: 0, firmware: 100, profileId: 0, faultRestarts: 0 });
    const causes = RESET_CAUSES.map((_, cause) => boot(cause));
    expect(new Set(causes).size).toBe(RESET_CAUSES.length);
    expect(causes.some((sentence) => sentence.includes('unknown'))).toBe(false);
    expect(boot(RESET_CAUSES.indexOf('power-on'))).toBe('Controller started: power came on.');
    expect(boot(RESET_CAUSES.indexOf('watchdog'))).toContain('watchdog');
    expect(boot(RESET_CAUSES.indexOf('request'))).toContain('restarted on request.');
    expect(boot(RESET_CAUSES.length)).toContain('unknown cause');
  });

  it('tells what is behind a start by fault, and where the processor stood', () => {
    const start = (cause: ResetCause, detail: number): string =>
      said({
        kind: 'boot',
        cause: RESET_CAUSES.indexOf(cause),
        detail,
        firmware: 100,
        profileId: 0,
        faultRestarts: 1,
      });
    expect(start('fault', FAULT_DETAIL.stackOverflow)).toBe(
      'Controller started: restarted after a fault (the program went too deep for its memory).',
    );
    expect(start('fault', FAULT_DETAIL.unexpectedInterrupt + 256 * 21)).toContain(
      'spoke up that nobody asked, number 21)',
    );
    expect(start('fault', 0x1000_2468)).toContain('(at instruction 0x10002468)');
    expect(start('fault', 77)).toContain('(number 77)');
    expect(start('exception', 6)).toContain('(TypeError)');
    const broken = INVARIANTS.map((_, place) => start('exception', INVARIANT_DETAIL + place));
    expect(broken.join()).not.toContain('number 1');
    expect(new Set(broken).size).toBe(INVARIANTS.length);
    expect(broken[INVARIANTS.indexOf('band-in-order')]).toContain('low edge of the band');
    expect(start('abort', 7)).toContain('did not come to an end in time');
    expect(start('abort', 99)).toContain('(number 99)');
    const details = Object.values(FAULT_DETAIL).map((detail) => start('fault', detail));
    expect(new Set(details).size).toBe(details.length);
  });

  it('tells every fault of the firmware by what it means, and owns up to one it does not know', () => {
    const fault = (code: number, detail = 0): string => said({ kind: 'fault', code, detail });
    expect(fault(FAULT.runStateLost)).toBe(
      'What was kept of the run could not be read after a start: stage, water given and alarms begin anew.',
    );
    expect(fault(FAULT.linkHandler, 4)).toContain('inside the controller (detail 4).');
    expect(fault(FAULT.linkHandler, INVARIANT_DETAIL)).toContain('before it was charged');
    expect(fault(200)).toBe('A fault this program does not know, number 200.');
    for (const code of Object.values(FAULT)) expect(fault(code)).not.toContain('does not know');
  });

  it('tells how long the power was off, where the clock could say', () => {
    expect(said({ kind: 'clock', unixMs: 0, outageS: 0 })).toBe('Clock set.');
    expect(said({ kind: 'clock', unixMs: 0, outageS: 7_200 })).toContain('off for 2 h');
  });
});
