import { describe, expect, it } from 'vitest';
import { trayward } from './worlds';

describe('hardware check', () => {
  it('prints the budgets of the reference build, without a controller', async () => {
    const { code, stdout } = await trayward('hardware', 'check');
    expect(code).toBe(0);
    expect(stdout).toContain('98 plugs');
    expect(stdout).toContain('likely (k = 2)');
    expect(stdout).toContain('Fuse F2');
    for (const line of stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });

  it('gives programs the same figures', async () => {
    const { result } = JSON.parse((await trayward('--json', 'hardware', 'check')).stdout);
    expect(result.fits).toBe(true);
    expect(result.circuit).toEqual([]);
    expect(result.probes).toHaveLength(3);
    expect(result.scale.countsPerG).toBeCloseTo(214.7, 1);
  });

  it('refuses a cell too small for the soaked tray, says which would do, and exits 1', async () => {
    const { code, stderr } = await trayward('hardware', 'check', '--cell', '5 kg');
    expect(code).toBe(1);
    expect(stderr.replace(/\s+/g, ' ')).toContain('Take a cell of 10.00 kg.');
    const json = JSON.parse(
      (await trayward('--json', 'hardware', 'check', '--cell', '5 kg')).stdout,
    );
    expect(json.ok).toBe(false);
    expect(json.error.details[0].fits).toBe(false);
  });

  it('reads quantities with their units, and refuses nonsense as wrong usage', async () => {
    expect((await trayward('hardware', 'check', '--room', '64 F')).code).toBe(0);
    for (const wrong of [
      ['--room', '18'],
      ['--cell', '-5 kg'],
      ['--cell', '0 kg'],
      ['--mat', 'warm'],
      ['--mat', '5'],
      ['--tray', 'bathtub'],
      ['--rail', '230'],
      ['--room-max', '3 C'],
    ]) {
      expect((await trayward('hardware', 'check', ...wrong)).code, wrong.join(' ')).toBe(2);
    }
  });

  it('speaks Fahrenheit and pounds when asked', async () => {
    const { stdout } = await trayward('--units', 'us', 'hardware', 'check');
    expect(stdout).toContain('°F');
    expect(stdout).toContain('lb');
  });
});
