/** Every alarm of the catalogue is one that the firmware finds, and that a test has seen it find. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ALARM_NAMES, type AlarmName } from '../../shared/alarms/catalogue';

const FINDERS = ['guard', 'control', 'tick', 'tray'].map((room) => `firmware/${room}`);

/** All that lies in these folders in the files whose name fits, as one text. */
const textOf = (folders: readonly string[], fits: RegExp): string =>
  folders
    .flatMap((folder) => readdirSync(folder).map((name) => join(folder, name)))
    .filter((path) => fits.test(path))
    .map((path) => readFileSync(path, 'utf8'))
    .join('\n');

const notIn = (text: string): AlarmName[] =>
  ALARM_NAMES.filter((alarm) => !text.includes(`'${alarm}'`));

/** Where an alarm is raised, not only spoken of: a finding, a strike, or what a dose comes to. */
const isRaisedIn = (text: string, alarm: AlarmName): boolean =>
  new RegExp(`(?:(?:condition|happened|strike|new Side|anew)\\(\\s*|, alarm: )'${alarm}'`).test(
    text,
  );

describe('an alarm', () => {
  it('is found by a watch, or by the firmware itself', () => {
    const text = textOf(FINDERS, /\.ts$/);
    expect(ALARM_NAMES.filter((alarm) => !isRaisedIn(text, alarm))).toEqual([]);
  });

  it('has been seen in the test of its watch, or on the bench', () => {
    const fits = /(-watch|simulation.*)\.test\.ts$/;
    expect(notIn(textOf(['tests/unit', 'tests/simulation'], fits))).toEqual([]);
  });
});
