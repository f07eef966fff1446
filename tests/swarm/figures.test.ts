/** What a run of the swarm is told to have come to. */
import { describe, expect, it } from 'vitest';
import { Figures } from './figures';

const CALM = { breaches: [], trayDays: 2.5, starts: 3 };
const DRY = { promise: 'dry-unsaid', atMin: 90, says: 'dry-back 0.4' };
const COLD = { promise: 'heat-not-back', atMin: 95, says: '18 C' };

describe('the figures of a run', () => {
  it('are sums over its seeds, in whatever order they end', () => {
    const figures = new Figures(40);
    figures.add(41, 7, CALM);
    figures.add(40, 2_000, { ...CALM, trayDays: 1.5 });
    const table = figures.table(8);
    expect(table).toContain('40 to 41');
    expect(table).toMatch(/tray-days +\| 4 /);
    expect(table).toMatch(/things that happened +\| 2,007 /);
    expect(table).toMatch(/starts of the board +\| 6 /);
    expect(table).toMatch(/a second of processor \| 0\.5 /);
    expect(figures.document(8)).toContain('Every promise was kept.');
  });

  it('are told in a few words while more are run', () => {
    const figures = new Figures(1);
    for (let seed = 1; seed <= 2_000; seed++) figures.add(seed, 4, CALM);
    figures.add(2_001, 4, { ...CALM, breaches: [DRY] });
    expect(figures.soFar()).toBe('2,001 trays, 5,003 tray-days, 1 broken promises');
  });

  it('count hours where the image was run, and say how to run it so', () => {
    const figures = new Figures(1, 'image');
    figures.add(1, 4, { ...CALM, trayDays: 0.25 });
    expect(figures.table(120)).toMatch(/hours on the image +\| 6\.0 /);
    expect(figures.table(120)).toMatch(/tray-seconds a second of processor \| 180 /);
    expect(figures.document(120)).toContain(
      '`npm run swarm -- --image --from 1 --seeds 1 --figures`',
    );
  });

  it('name each broken promise with its seeds', () => {
    const figures = new Figures(1);
    figures.add(9, 4, { ...CALM, breaches: [DRY, COLD] });
    figures.add(3, 4, { ...CALM, breaches: [DRY] });
    expect(figures.brokenCount).toBe(3);
    expect(figures.brokenTable()).toContain('| dry-unsaid    | 3, 9  |');
    expect(figures.document(1)).toContain('| heat-not-back | 9     |');
    expect(figures.document(1)).not.toContain('was kept');
  });
});
