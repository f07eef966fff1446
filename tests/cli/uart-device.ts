/** UART0 as a serial device, by the built program: the same whatever runs on the bench. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { json, type Program } from './program';
import type { Way } from './whole-job';

/** Two readings are in the journal by then. */
const WAIT_S = 630;

/** Declares what the serial device of `--pty-uart` must do beside the first door, a pty too. */
export function uartDevice(
  program: () => Program,
  { over, words, here, skipped, limitMs }: Omit<Way, 'port'>,
) {
  describe.skipIf(skipped)(`UART0 as a serial device, ${over}`, { timeout: limitMs }, () => {
    it('reaches the controller, in the time of its bench, and is found as one', async () => {
      const { home } = program();
      const device = join(home, 'uart');
      const usb = join(home, 'usb');
      const ptys = ['--pty', usb, '--pty-uart', device];
      const start = [...words(program()), ...ptys];
      const bench = await (here
        ? program().startBenchHere(...start)
        : program().startBench(...start));
      expect(bench.at).toMatchObject({ uart: device, link: usb, pty: usb });
      const { unixMs } = await bench.wait(WAIT_S);
      const trayward = async (...command: string[]) =>
        json(await program().runHere(['--port', device, '--json', ...command])).result;

      const alone = await program().run(['--port', device, '--json', 'status']);
      const status = json(alone).result;
      expect(Math.abs(status.uptimeMs - WAIT_S * 1000)).toBeLessThan(10_000);
      expect(Math.abs((await trayward('clock', 'set')).unixMs - unixMs)).toBeLessThan(10_000);
      const pulled = await trayward('journal', 'pull', '--store', join(home, 'uart-store'));
      expect(pulled).toMatchObject({ boardId: bench.at.boardId, missing: 0, damaged: 0 });
      // The start, and a reading each five minutes.
      expect(pulled.stored).toBeGreaterThan(2);

      const watching = program().spawn(['--port', device, '--json', 'watch']);
      await new Promise((resolve) => watching.stdout?.once('data', resolve));
      const beside = json(await program().run(['--port', usb, '--json', 'status']));
      expect(beside.result.uptimeMs).toBeGreaterThanOrEqual(status.uptimeMs);
      watching.kill('SIGINT');
      await new Promise((resolve) => watching.once('exit', resolve));

      const found = json(await program().runHere(['--json', 'find'])).result.controllers;
      expect(found).toMatchObject([{ port: usb, hello: { boardId: bench.at.boardId } }]);
      expect(await bench.stop()).toBe(0);
      expect([usb, device].filter(existsSync)).toEqual([]);
    });
  });
}
