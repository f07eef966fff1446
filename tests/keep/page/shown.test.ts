/** A tray as its line on the page: the word, why, and what comes next, by how the tray stands. */
import { describe, expect, it } from 'vitest';
import { byButton } from '../../../cli/keep/page/shown/by-button';
import { roomHead } from '../../../cli/keep/page/shown/room';
import { lineOf, type TrayLine, type TrayNow } from '../../../cli/keep/page/shown/tray';
import { HOUR_MS, MINUTE_MS } from '../../../shared/units/time';
import { Grower } from '../../simulation/grower';

/** A tray that answered just now. */
function nowOf(grower: Grower, changes: Partial<TrayNow['live']> = {}): TrayNow {
  const nowMs = grower.bench.unixMs;
  return {
    ...{ name: 'Pepper', nowMs, startedMs: nowMs - HOUR_MS, units: 'metric', figures: null },
    live: {
      ...{ port: 'bench', boardId: '1', heardMs: nowMs, trayMs: nowMs, lost: null, life: null },
      profiles: { byId: new Map(), activeId: null },
      diskFull: false,
      status: grower.call('status.read', {}, false),
      ...changes,
    },
  };
}

function inUse(): Grower {
  const grower = new Grower({ seed: 5 });
  grower.commission();
  grower.call('mark.set', { mark: 'refilled', volumeMl: 2500, feedEc: 0.8 });
  grower.bench.run(2 * HOUR_MS);
  return grower;
}

describe('the word of a tray', () => {
  it('is well while nothing stands, with its root zone and its stage', () => {
    const { word, says } = lineOf(nowOf(inUse()));
    expect(word).toBe('well');
    expect(says).toEqual([expect.stringMatching(/^\d\d\.\d °C, band .*; stage 1, germinate$/)]);
  });

  it('is now when heat is held off, also once somebody has seen it, until it is mended', () => {
    const grower = inUse();
    grower.bench.fault('probe-open', true);
    grower.bench.run(MINUTE_MS);
    const fresh = lineOf(nowOf(grower));
    expect([fresh.word, fresh.says[0]]).toEqual([
      'now',
      expect.stringMatching(/^Root-zone probe open: new, since \d\d:\d\d; heat held off$/),
    ]);
    grower.call('alarm.accept', { alarm: 'probe-open' });
    expect(lineOf(nowOf(grower)).word).toBe('now');
    grower.bench.fault('probe-open', false);
    grower.bench.run(5 * MINUTE_MS);
    expect(lineOf(nowOf(grower)).word).toBe('now');
    grower.call('alarm.clear', { alarm: 'probe-open' });
    expect(lineOf(nowOf(grower)).word).toBe('well');
  });

  it('is look for what is not urgent', () => {
    const grower = inUse();
    const status = grower.call('status.read', {}, false);
    const report = { state: 'unaccepted', shelvedS: 0, ageS: 60, endedS: null } as const;
    const alarms = [
      { ...report, alarm: 'reservoir-low', atLeast: false, value: null, limit: null },
    ] as const;
    expect(lineOf(nowOf(grower, { status: { ...status, alarms } })).word).toBe('look');
  });

  it('is look while it has just fallen silent, and now after a quarter of an hour; nothing is told of the days ahead', () => {
    const grower = inUse();
    const lost = { kind: 'absent', message: 'There is no port bench.' } as const;
    const silent = (forMs: number): TrayLine =>
      lineOf(nowOf(grower, { lost, heardMs: grower.bench.unixMs - forMs }));
    expect(silent(2 * MINUTE_MS)).toMatchObject({
      word: 'look',
      says: [expect.stringContaining('Not heard just now'), lost.message],
      facts: [],
    });
    expect(silent(20 * MINUTE_MS)).toMatchObject({
      word: 'now',
      says: [expect.stringContaining('go and look at its lamp'), lost.message],
    });
  });
});

describe('the head of a room', () => {
  const line = (name: string, word: TrayLine['word']): TrayLine => ({
    ...{ name, word, says: [], facts: [] },
  });

  it('says in a sentence how the trays stand, and names those that want somebody, the urgent first', () => {
    const lines = [line('A', 'look'), line('B', 'well'), line('C', 'now')];
    expect(roomHead(lines, null, 0)).toMatchObject({
      says: '1 tray now, 1 tray to look at, 1 well.',
      wanted: [
        { word: 'now', trays: ['C'] },
        { word: 'look', trays: ['A'] },
      ],
    });
    expect(roomHead([line('A', 'well'), line('B', 'well')], null, 0).says).toBe(
      'All 2 trays are well.',
    );
  });

  it('tells what is wrong with the keeper itself', () => {
    const doors = [{ door: 'mail', waiting: 1, failingSinceMs: 0, why: 'Nothing answers.' }];
    const { keeper } = roomHead([], { diskFailing: 'ENOSPC', doors }, MINUTE_MS);
    expect(keeper.join('\n')).toMatch(
      /disk.*ENOSPC[\s\S]*No message goes out by mail since .*Nothing answers/,
    );
  });
});

describe('advice on the page', () => {
  it('names the button where there is one for the command, and leaves other commands as they are', () => {
    expect(byButton('lid propped, and `trayward mark emerged`')).toBe(
      'lid propped, and say Emerged',
    );
    expect(byButton('When it is put right: `trayward alarm mended probe-open`.')).toBe(
      'When it is put right: say Mended.',
    );
    expect(byButton('Do `trayward pump calibrate`.')).toBe('Do `trayward pump calibrate`.');
  });
});
