/** The firmware on its way into the boot drive: what is switched, kept and written down, and when it is refused. */
import { describe, expect, it } from 'vitest';
import { GrowerAt } from '../../firmware/bench/grower';
import { DOOR } from '../../shared/board/map';
import { toUf2, UF2_BLOCK_BYTES, uf2Parts } from '../../shared/board/uf2';
import { REQUEST_DETAIL, RESET_CAUSES } from '../../shared/board/words';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { EVERY_TICK, Grower } from './grower';
import { runToDose, wateredTray } from './scenes';

const LEFT_MS = 2000;

function heatedTray(): Grower {
  const grower = new Grower({ room: { meanC: 18 }, ...EVERY_TICK });
  grower.commission();
  const heats = () => grower.bench.state().outputs.mat;
  expect(grower.bench.runUntil(heats, 2 * HOUR_MS)).toBe(true);
  return grower;
}

function giveImage({ bench }: Grower): void {
  for (const part of uf2Parts(toUf2(new Uint8Array(2000))))
    for (let at = 0; at < part.length; at += UF2_BLOCK_BYTES)
      bench.bootDrive?.write(part.subarray(at, at + UF2_BLOCK_BYTES));
}

const lastStart = (grower: Grower) => {
  const start = grower
    .journal()
    .filter((entry) => entry.kind === 'boot')
    .at(-1);
  return start?.kind === 'boot' ? `${RESET_CAUSES[start.cause]} ${start.detail}` : 'none';
};

describe('a board that is told to show its boot drive', () => {
  it('heats no more from the answer on, and is gone two seconds later', () => {
    const grower = heatedTray();
    const { bench } = grower;
    grower.call('controller.bootDrive', {});
    expect(bench.state().outputs).toMatchObject({ mat: false, pump: false, sounder: false });
    expect(bench.bootDrive).toBeNull();
    for (let ms = 0; ms < LEFT_MS; ms += 100) {
      bench.run(100);
      expect(bench.state().outputs).toMatchObject({ mat: false, pump: false, sounder: false });
    }
    expect(bench.bootDrive).not.toBeNull();
    expect(() => grower.status()).toThrow('no reply');
  });

  it('waits on until it has its image, for no watchdog ends that', () => {
    const grower = heatedTray();
    grower.call('controller.bootDrive', {});
    grower.bench.run(LEFT_MS + HOUR_MS);
    expect(grower.bench.bootDrive).not.toBeNull();
    giveImage(grower);
    grower.bench.run(MINUTE_MS);
    expect(grower.status().stage?.name).toBe('germinate');
    expect(lastStart(grower)).toBe(`request ${REQUEST_DETAIL.bootDrive}`);
  });

  it('has left a tray to dry meanwhile: what it weighs less then is water, and nothing that was taken off', () => {
    const grower = wateredTray();
    const { bench } = grower;
    bench.run(2 * HOUR_MS);
    const before = grower.status().water;
    grower.call('controller.bootDrive', {});
    bench.fault('wick', true, HOUR_MS);
    bench.run(LEFT_MS + HOUR_MS);
    giveImage(grower);
    bench.run(10 * MINUTE_MS);
    const after = grower.status().water;
    const { wool } = bench.rig.plant;
    const trueShare = 1 - wool.heldG / wool.capacityG;
    expect(trueShare).toBeGreaterThan((before.dryBackShare ?? 1) + 0.05);
    expect(Math.abs((after.dryBackShare ?? 0) - trueShare)).toBeLessThan(0.03);
  });

  it('counts the start after it as no fault, and the journal says what it was told', () => {
    const grower = heatedTray();
    for (let again = 0; again < 4; again++) {
      grower.call('controller.bootDrive', {});
      grower.bench.run(LEFT_MS);
      giveImage(grower);
      grower.bench.run(MINUTE_MS);
    }
    expect(grower.alarms()).not.toContain('restarting-often');
    const told = grower.journal().filter(({ kind }) => kind === 'boot-drive');
    expect(told).toHaveLength(4);
  });

  it('goes on by itself with its old image when its supply was off for a moment', () => {
    const grower = heatedTray();
    const before = grower.status();
    grower.call('controller.bootDrive', {});
    grower.bench.run(LEFT_MS);
    grower.bench.cutPower();
    grower.bench.restorePower();
    grower.bench.run(MINUTE_MS);
    expect(grower.status().profile).toEqual(before.profile);
    expect(lastStart(grower)).toBe('power-on 0');
  });

  it('stays while a dose is under way, and says so', () => {
    const grower = wateredTray();
    runToDose(grower);
    expect(() => grower.call('controller.bootDrive', {})).toThrow('A dose is under way');
    grower.bench.run(LEFT_MS);
    expect(grower.bench.bootDrive).toBeNull();
    expect(grower.journal().filter(({ kind }) => kind === 'boot-drive')).toEqual([]);
  });

  it('stays when it is told so over UART0, where the drive may be seen by nobody', () => {
    const { bench } = heatedTray();
    const atUart = new GrowerAt(bench, DOOR.uart);
    expect(() => atUart.call('controller.bootDrive', {})).toThrow('asked for over USB');
    bench.run(LEFT_MS);
    expect(bench.bootDrive).toBeNull();
  });

  it('answers who reads meanwhile, changes nothing more, says why, and leaves all the same', () => {
    const grower = heatedTray();
    grower.call('controller.bootDrive', {});
    const restarting = /about to start again.*Nothing was changed.*try again/;
    expect(() => grower.call('controller.bootDrive', {})).toThrow(restarting);
    expect(() => grower.call('sounder.run', { ms: 500 })).toThrow(restarting);
    expect(() => grower.call('pump.run', { ms: 500, reason: 'prime' })).toThrow(restarting);
    expect(grower.status().stage?.name).toBe('germinate');
    grower.bench.run(LEFT_MS);
    expect(grower.bench.bootDrive).not.toBeNull();
  });
});
