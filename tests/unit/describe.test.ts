import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { describeEntry } from '../../cli/journal/describe';
import { ADVICE } from '../../shared/alarms/advice';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { RESET_CAUSES } from '../../shared/board/words';
import type { JournalBody } from '../../shared/journal/kinds';
import type { UnitSystem } from '../../shared/units';
import { holds } from '../properties';
import { anyBody, anyHead, BODIES } from './any-entry';

const HEAD = { sequence: 9, boot: 2, uptimeMs: 60_000 };
const GAP: JournalBody = { kind: 'gap', lost: 1 };
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
      .map(([, bodies]) => said(fc.sample<JournalBody>(bodies, { numRuns: 1, seed: 1 })[0] ?? GAP));
    expect(new Set(starts).size).toBe(starts.length);
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
    expect(said(reading)).toBe(
      'Root zone 26.3 °C, mat - (on 50.0 %), tray 4213 g, dry-back 12.3 %.',
    );
    expect(said(reading, 'us')).toContain('°F');
  });

  it('has the title of every alarm, and what was measured with its unit', () => {
    for (const alarm of ALARM_NAMES) {
      const body = { kind: 'alarm', alarm, stage: 0, limit: 38, forS: 0 } as const;
      const { title } = ADVICE[alarm];
      expect(said({ ...body, change: 'raised', value: Number.NaN })).toBe(
        `Alarm raised: ${title}.`,
      );
      expect(said({ ...body, change: 'returned', value: 38.456 })).toBe(
        `Alarm returned: ${title}.`,
      );
    }
    const raised = { kind: 'alarm', change: 'raised', stage: 0, limit: 38, forS: 0 } as const;
    expect(said({ ...raised, alarm: 'root-zone-hot', value: 38.456 })).toContain(
      '(38.5 °C against 38.0 °C)',
    );
    expect(said({ ...raised, alarm: 'root-zone-hot', value: 38.456 }, 'us')).toContain('°F)');
    expect(said({ ...raised, alarm: 'too-dry', value: 0.31 })).toContain('(31.0 % against');
    expect(said({ ...raised, alarm: 'dose-not-seen', value: 1.25 })).toContain('(1.3 g against');
    expect(said({ ...raised, alarm: 'probe-open', value: 4091.55 })).toContain(
      '(code 4092 against',
    );
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
    const scale = { ...body, target: 'scale', a: 106_904, b: 209.257, c: 1.27 } as const;
    expect(said(scale)).toBe('Calibration of the scale: 209.26 counts/g, uncertain by 1.27 g.');
    expect(said({ ...scale, restored: true })).toMatch(/^Older calibration of the scale: 209/);
    expect(said(scale, 'us')).toContain('0.045 oz');
    const probe = { ...body, target: 'probe', a: 0.24, b: 0, c: 0 } as const;
    expect(said(probe)).toBe('Calibration of the root-zone probe: offset 0.24 K.');
    expect(said(probe, 'us')).toContain('0.43 °F');
    expect(said({ ...body, target: 'pump', a: 1.0234, b: 1.5, c: Number.NaN })).toBe(
      'Calibration of the pump: 1.023 ml/s, runs scatter by 1.5 %.',
    );
    expect(said({ ...body, target: 'scale-zero', a: 106_925, b: 0, c: 0 })).toBe(
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
    expect(boot(RESET_CAUSES.length)).toContain('unknown cause');
  });

  it('tells how long the power was off, where the clock could say', () => {
    expect(said({ kind: 'clock', unixMs: 0, outageS: 0 })).toBe('Clock set.');
    expect(said({ kind: 'clock', unixMs: 0, outageS: 7_200 })).toContain('off for 2 h');
  });
});
