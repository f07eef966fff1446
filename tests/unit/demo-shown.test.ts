/** What the demo prints of a command can be typed again, and reads in the order in which it happened. */
import { spawn } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { show, typed } from '../../cli/demo/shown';

async function shown(script: string) {
  const child = spawn(process.execPath, ['-e', script], { stdio: ['ignore', 'pipe', 'pipe'] });
  const heard: string[] = [];
  let text = '';
  const code = await show(
    child,
    (more) => {
      text += more;
    },
    (line) => heard.push(line),
  );
  return { code, heard, text };
}

describe('a command that the demo prints', () => {
  it('has quotes where a shell would take a word apart, and nowhere else', () => {
    expect(typed(['trayward', 'bench', 'start', '--room', '18 C', '--swing', '2 K'])).toBe(
      'trayward bench start --room "18 C" --swing "2 K"',
    );
    const plain = 'mark refilled --volume 4l --ec 0.9mS/cm --port tcp://127.0.0.1:4180';
    expect(typed(plain.split(' '))).toBe(plain);
  });

  it('is followed by what it said on its way, then by its answer, whichever pipe was read first', async () => {
    const { text, heard, code } = await shown(
      "console.log('2 entries are stored.'); console.error('Pulling ...'); console.error('Pulling: 2 of 2');",
    );
    expect(text).toBe('  Pulling ...\n  Pulling: 2 of 2\n2 entries are stored.\n');
    expect(heard).toEqual(['Pulling ...', 'Pulling: 2 of 2']);
    expect(code).toBe(0);
  });

  it('is heard a line at a time, however it comes', async () => {
    const { heard, code } = await shown(
      "process.stderr.write('Put the known '); setTimeout(() => { process.stderr.write('weight on.'); process.exitCode = 3; }, 20);",
    );
    expect(heard).toEqual(['Put the known weight on.']);
    expect(code).toBe(3);
  });
});
