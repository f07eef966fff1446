/** What a grower reads of an alarm: how it stands, since when, and what there is to do. */
import { describe, expect, it } from 'vitest';
import { measuredText, stateText } from '../../cli/words/alarm';
import {
  ALARM_NAMES,
  ALARM_STATES,
  ALARMS,
  type AlarmName,
  type AlarmState,
} from '../../shared/alarms/catalogue';
import { byUrgency } from '../../shared/alarms/priority';
import { HELD_REASONS } from '../../shared/link/held';
import type { AlarmReport } from '../../shared/link/status';
import { HOUR_S } from '../../shared/units/time';

/** Eight in the morning, here. */
const NOW_MS = new Date(2026, 2, 4, 8, 0, 0).getTime();

const told = (alarm: AlarmName, state: AlarmState, more: Partial<AlarmReport> = {}): string =>
  stateText(
    {
      alarm,
      state,
      shelvedS: 0,
      ageS: 5 * HOUR_S,
      endedS: null,
      atLeast: false,
      value: null,
      limit: null,
      ...more,
    },
    NOW_MS,
  );

describe('an alarm in plain words', () => {
  it('that goes on says since when, and what it holds off', () => {
    expect(told('too-dry', 'unaccepted')).toBe('new, since 03:00');
    expect(told('too-dry', 'accepted')).toBe('seen, since 03:00');
    expect(told('probe-open', 'unaccepted')).toBe('new, since 03:00; heat held off');
    expect(told('profile-missing', 'accepted')).toBe('seen, since 03:00; heat and water held off');
  });

  it('that has ended says since when, and how to take it off the list', () => {
    expect(told('too-cold', 'returned', { endedS: 2 * HOUR_S + 60 })).toBe(
      'over since 05:59 (say `trayward alarm seen`)',
    );
  });

  it('that latches says that its cause has gone, what stays off, and the command that ends it', () => {
    const text = 'cause gone since 07:00; heat held off until `trayward alarm mended probe-open`';
    for (const state of ['latched-unaccepted', 'latched-accepted'] as const) {
      expect(told('probe-open', state, { endedS: HOUR_S })).toBe(text);
    }
  });

  it('that was a single happening has no end', () => {
    expect(told('dose-not-seen', 'latched-accepted', { endedS: 5 * HOUR_S })).toBe(
      'happened at 03:00; water held off until `trayward alarm mended dose-not-seen`',
    );
  });

  it('that ended a day ago or longer says the date', () => {
    expect(told('too-cold', 'returned', { ageS: 60 * HOUR_S, endedS: 24 * HOUR_S })).toContain(
      'over since 2026-03-03 08:00',
    );
  });

  it('says so where a power cut of unknown length lies in between', () => {
    expect(told('too-dry', 'unaccepted', { atLeast: true })).toBe('new, since 03:00 or before');
    expect(told('too-cold', 'returned', { endedS: 60, atLeast: true })).toContain(
      'over since 07:59 or before',
    );
  });

  it('claims no end that nobody has seen: its cause may come back after a restart', () => {
    expect(told('probe-open', 'latched-unaccepted')).toMatch(/^not found again since the restart;/);
    expect(told('too-dry', 'returned')).toMatch(/^not found again since the restart \(/);
  });

  it('never has the words of the standard', () => {
    for (const alarm of ALARM_NAMES)
      for (const state of ALARM_STATES)
        expect(told(alarm, state)).not.toMatch(/latched|accepted|returned|cleared/);
  });

  it('names what it holds off wherever it latches: a person must know what waits', () => {
    for (const alarm of ALARM_NAMES) {
      if (!ALARMS[alarm].latched) continue;
      expect(told(alarm, 'latched-accepted')).toMatch(/(heat|water|heat and water) held off until/);
    }
  });
});

describe('the order of alarms', () => {
  const ordered = (...list: { alarm: AlarmName; state: AlarmState }[]) =>
    list.sort(byUrgency).map(({ alarm }) => alarm);

  it('is by urgency, and what is over comes last whatever it was', () => {
    expect(
      ordered(
        { alarm: 'thing-on-tray', state: 'unaccepted' },
        { alarm: 'too-dry', state: 'returned' },
        { alarm: 'reservoir-low', state: 'accepted' },
        { alarm: 'probe-open', state: 'latched-accepted' },
      ),
    ).toEqual(['probe-open', 'reservoir-low', 'thing-on-tray', 'too-dry']);
  });
});

describe('water that is held off for long', () => {
  it('says what holds it, in the words of the status', () => {
    const measured = (value: number) =>
      measuredText({ alarm: 'water-held', value, limit: null }, 'metric');
    expect(measured(HELD_REASONS.indexOf('handling'))).toBe('a hand at the tray lately');
    expect(measured(HELD_REASONS.indexOf('not-sown'))).toBe('not marked sown yet');
    expect(measured(Number.NaN)).toBe('');
  });
});
