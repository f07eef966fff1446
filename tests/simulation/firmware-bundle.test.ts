/** The script that goes into the flash image: what it needs, and that it is the firmware. */
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import vm from 'node:vm';
import { describe, expect, it } from 'vitest';
import type { Board } from '../../firmware/board';
import type { Controller } from '../../firmware/controller';
import { bundleScript } from '../../firmware/image/bundle';
import type { Native } from '../../firmware/image/native/native';
import { LEFT_OUT } from '../../firmware/image/sources';
import * as bytes from '../../shared/bytes';
import { METHOD_FIELDS } from '../../shared/link/params';
import { REFERENCE_PROBE } from '../../shared/physics/ntc';
import { probeCurveOf } from '../../shared/physics/probe-curve';
import { DAY_MS, HOUR_MS } from '../../shared/units/time';
import { Grower, TEST_PROFILE } from './grower';

const code = await bundleScript('firmware/image/entry.ts');

/** What the runtime does in C, for a realm on the host. */
const native: Native = {
  ...bytes,
  putAscii(text, into) {
    const encoded = bytes.encodeUtf8(text);
    if (encoded.length !== text.length) return false;
    into.set(encoded);
    return true;
  },
  asciiText(from, start, end) {
    const part = from.subarray(start, end);
    return part.every((byte) => byte > 0 && byte < 0x80) ? String.fromCharCode(...part) : undefined;
  },
};

/** A realm with the language and `native`: no console, timers, Buffer, process or TextEncoder. */
function built(): (board: Board) => Controller {
  const realm = vm.createContext({ native }, { codeGeneration: { strings: false, wasm: false } });
  vm.runInContext('delete globalThis.WebAssembly', realm);
  vm.runInContext(code, realm);
  return vm.runInContext('createController', realm);
}

/** A grower who writes down every reply. */
class Witness extends Grower {
  readonly replies: string[] = [];
  readonly called = new Set<string>();

  override call: Grower['call'] = (method, params, changes) => {
    this.called.add(method);
    try {
      const result = super.call(method, params, changes);
      this.replies.push(`${method}: ${JSON.stringify(result)}`);
      return result;
    } catch (error) {
      this.replies.push(`${method} refused: ${String(error)}`);
      throw error;
    }
  };

  /** Calls what may be refused. */
  try(...call: Parameters<Grower['call']>): void {
    try {
      this.call(...call);
    } catch {
      // Written down.
    }
  }
}

/** A day with everything the link can do, a mishap or two, and a power cut. */
function lived(grower: Witness): Witness {
  const { bench } = grower;
  grower.try('mark.set', { mark: 'soaked' });
  grower.try('scale.zero', { zeroCode: 0 });
  grower.call('mat.run', { ms: 20_000 });
  grower.call('sounder.run', { ms: 2_000 });
  bench.run(60_000);
  grower.commission({ ...TEST_PROFILE, title: 'Grün, 26 °C' });
  grower.try('mat.run', { ms: 20_000 });
  grower.call('controller.hello', {}, false);
  grower.call('clock.set', { unixMs: 1_790_000_000_000 });
  grower.call('probe.calibrate', { channel: 0, offsetK: 0.2 });
  grower.try('probe.calibrate', { channel: 1, offsetK: 5 });
  grower.try('stage.stay', { stay: true });
  grower.call('count.write', { standing: 41, of: 98 });
  grower.call('note.write', {
    data: bytes.toBase64(bytes.encodeUtf8('Grün, 26 °C: "leaned" [left]')),
  });
  grower.try('note.write', { data: 'AAAA' });
  grower.try('count.write', { standing: 99, of: 98 });
  grower.call('stage.stay', { stay: false });
  bench.run(8 * HOUR_MS);
  grower.call('stage.next', {});
  bench.run(8 * HOUR_MS);
  bench.fault('probe-open', true, HOUR_MS);
  bench.run(HOUR_MS);
  grower.alarms();
  grower.call('alarm.list', {}, false);
  grower.call('alarm.accept', { alarm: 'probe-open' });
  grower.call('alarm.shelve', { alarm: 'probe-open', forS: 60 });
  bench.run(HOUR_MS);
  grower.call('alarm.clear', { alarm: 'probe-open' });
  grower.try('alarm.clear', { alarm: 'probe-short' });
  bench.cutPower();
  bench.run(HOUR_MS);
  bench.restorePower();
  bench.run(HOUR_MS);
  grower.call('clock.set', { unixMs: 1_790_000_000_000 + 3 * DAY_MS });
  grower.call('pump.run', { ms: 5_000, reason: 'prime' });
  bench.run(2_000);
  grower.call('pump.state', {}, false);
  grower.call('pump.stop', {});
  grower.call('scale.read', {}, false);
  grower.call('scale.history', {}, false);
  grower.call('scale.restore', { index: 0 });
  grower.call('probe.read', {}, false);
  grower.call('profile.slots', {}, false);
  grower.call('profile.read', { slot: 0, offset: 0 }, false);
  for (const mark of ['emerged', 'vented', 'transplanted', 'refilled', 'dry'] as const) {
    grower.try('mark.set', { mark });
    grower.status();
  }
  bench.fault('pump-stuck-on', true, HOUR_MS);
  bench.run(3 * HOUR_MS);
  grower.status();
  grower.call('controller.bootDrive', {});
  bench.run(3_000);
  bench.cutPower();
  bench.restorePower();
  bench.run(60_000);
  grower.try('probe.curve', { channel: 0, at0Ohm: 1_000, at25Ohm: 1_097, at50Ohm: 1_194 });
  grower.call('probe.curve', { channel: 1, ...probeCurveOf(REFERENCE_PROBE) });
  bench.run(HOUR_MS);
  grower.call('probe.read', {}, false);
  grower.journal();
  return grower;
}

/** A realm of its own is slow, and so is a machine that does other things. */
const REALM_LIMIT_MS = 240_000;

describe('the script of the flash image', { timeout: REALM_LIMIT_MS }, () => {
  it('needs nothing but the language, a board and the runtime’s byte loops, and does what its source does', () => {
    const fromSource = lived(new Witness({ seed: 3 }));
    const fromScript = lived(new Witness({ seed: 3, firmware: built() }));
    expect([...fromSource.called].sort()).toEqual(Object.keys(METHOD_FIELDS).sort());
    expect(fromScript.replies).toEqual(fromSource.replies);
    expect(fromScript.bench.flash.bytes).toEqual(fromSource.bench.flash.bytes);
  });

  it('uses no eval, no promise and no timer', () => {
    expect(code).not.toMatch(/\beval\(|new Function|\bPromise\b|\basync\b|\bsetTimeout\b/);
  });

  it.each(Object.values(LEFT_OUT).flat())(
    'cannot use %s, which the engine lacks: the build says so',
    async (name) => {
      const entry = join(mkdtempSync(join(tmpdir(), 'trayward-script-')), 'entry.js');
      writeFileSync(entry, `globalThis.createController = () => String(${name});`);
      await expect(bundleScript(entry)).rejects.toThrow(`uses ${name}`);
    },
  );
});
