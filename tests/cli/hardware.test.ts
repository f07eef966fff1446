import { describe, expect, it } from 'vitest';
import { trayward } from './worlds';

describe('hardware check', () => {
  it('prints the budgets of the reference build, without a controller', async () => {
    const { code, stdout } = await trayward('hardware', 'check', '--details');
    expect(code).toBe(0);
    expect(stdout).toContain('98 plugs');
    expect(stdout).toContain('likely (k = 2)');
    expect(stdout).toContain('Fuse F2');
    for (const line of stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });

  it('tells what fits on one screen of 24 lines or few more, what does not first', async () => {
    const { stdout } = await trayward('hardware', 'check');
    expect(stdout).not.toContain('likely (k = 2)');
    expect(stdout.trimEnd().split('\n').length).toBeLessThanOrEqual(30);
    const { stderr } = await trayward('hardware', 'check', '--room-max', '45 C');
    expect(stderr.indexOf('DOES NOT FIT')).toBeLessThan(stderr.indexOf('fits:'));
  });

  it('refuses a reservoir without the drip tray that must hold it, and the other way round', async () => {
    const alone = await trayward('hardware', 'check', '--reservoir', '40 l');
    expect(alone.code).toBe(2);
    expect(alone.stderr).toContain('--drip-tray');
    expect((await trayward('hardware', 'check', '--drip-tray', '6 l')).code).toBe(2);
    const both = ['--reservoir', '40 l', '--drip-tray', '6 l'];
    expect((await trayward('hardware', 'check', ...both)).code).toBe(1);
  });

  it('exits 1 for a mat that cooks, a room that does, and a band beyond the limiter', async () => {
    for (const wrong of [
      ['--mat', '1000', '--tray', 'half-40', '--cell', '5 kg'],
      ['--room-max', '45 C'],
      ['--band', '41 C', '--mat', '300'],
    ]) {
      const { code, stderr } = await trayward('hardware', 'check', ...wrong);
      expect(code, wrong.join(' ')).toBe(1);
      expect(stderr).not.toContain('127');
    }
  });

  it('tells how exact other probes are, and refuses those that cannot be read', async () => {
    const check = (...of: string[]) => trayward('hardware', 'check', ...of);
    const other = await check('--probe-r25', '10k', '--probe-b', '3435', '--details');
    expect(other.code).toBe(0);
    expect(other.stdout.replace(/\s+/g, ' ')).toMatch(
      /likely within 0\.\d K as built.*`trayward probe curve`/,
    );
    expect(other.stdout).toContain('one B instead of the table');
    expect((await check('--probe-r25', '1k', '--probe-b', '3977')).code).toBe(1);
    expect((await check('--probe-r25', '10k')).code).toBe(2);
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
