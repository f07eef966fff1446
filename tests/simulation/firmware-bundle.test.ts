import vm from 'node:vm';
import { buildSync } from 'esbuild';
import { describe, expect, it } from 'vitest';
import { Bench } from '../../firmware/bench/bench';
import type { Board } from '../../firmware/board';
import type { Controller } from '../../firmware/controller';

/**
 * Keeps the bundle from growing. The goal for the chip is 48 KB; what is above is mostly the
 * handlers' sentences and property names that the minifier may not shorten.
 */
const BUNDLE_MAX_BYTES = 76 * 1024;

function bundle(): string {
  const { outputFiles } = buildSync({
    entryPoints: ['firmware/main.ts'],
    bundle: true,
    minify: true,
    write: false,
    platform: 'neutral',
    target: 'es2022',
    format: 'iife',
    globalName: 'firmware',
  });
  return outputFiles[0]?.text ?? '';
}

/** A realm with the language and nothing else: no console, timers, Buffer, process or TextEncoder. */
function bareRealm(code: string): (board: Board) => Controller {
  const realm = vm.createContext({}, { codeGeneration: { strings: false, wasm: false } });
  vm.runInContext('delete globalThis.WebAssembly', realm);
  return vm.runInContext(`${code};(board) => firmware.createController(board)`, realm);
}

describe('the firmware bundle', () => {
  const code = bundle();

  it('does not grow', () => {
    expect(code.length).toBeLessThan(BUNDLE_MAX_BYTES);
  });

  it('runs with nothing but the language and a board', () => {
    const bench = new Bench({ seed: 3, firmware: bareRealm(code), rethrow: true });
    let answer = '';
    const end = bench.connect((bytes) => {
      answer += String.fromCharCode(...bytes);
      return true;
    });
    bench.run(3_600_000);
    const ask = '{"jsonrpc":"2.0","id":1,"method":"status.read","params":{}}\n';
    end?.write(Uint8Array.from(ask, (character) => character.charCodeAt(0)));
    expect(answer).toContain('"heldBy":"not-sown"');
  });

  it('uses no eval, no promise and no timer', () => {
    expect(code).not.toMatch(/\beval\(|new Function|\bPromise\b|\basync\b|\bsetTimeout\b/);
  });
});
