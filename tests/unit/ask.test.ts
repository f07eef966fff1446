/** Questions to a person at a terminal: what answers them, and what does not. */
import { PassThrough } from 'node:stream';
import { afterEach, expect, it, vi } from 'vitest';
import { createAsk } from '../../cli/terminal/ask';

/** A terminal on which somebody has `typed` already, and types `answer` once a question stands. */
function terminal(typed: string, answer: string) {
  const stdin = Object.assign(new PassThrough(), { isTTY: true });
  stdin.write(typed);
  const said: string[] = [];
  const write = (text: string): void => {
    said.push(text);
    setImmediate(() => stdin.write(answer));
  };
  return { said, ask: createAsk({ stdin, stderr: { isTTY: true, write } }, false) };
}

afterEach(() => vi.restoreAllMocks());

it('a yes typed before the question was there is no leave for anything', async () => {
  const { ask } = terminal('y\ny\n', 'n\n');
  expect(await ask.confirm('Is the end of the tube in the jug?')).toBe(false);
});

it('half a line typed before it is no part of the answer', async () => {
  const { ask } = terminal('y', '\n');
  expect(await ask.confirm('Is the end of the tube in the jug?')).toBe(false);
});

it('an Enter too many does not say that the scale is empty', async () => {
  const { ask, said } = terminal('\n\n', '');
  const passed = vi.fn();
  void ask.pause('It must be empty.').then(passed);
  await vi.waitFor(() => expect(said).toHaveLength(1));
  await new Promise((resolve) => setTimeout(resolve, 50));
  expect(passed).not.toHaveBeenCalled();
});

it('what is typed once it stands answers it', async () => {
  expect(await terminal('', 'y\n').ask.confirm('Did the sounder sound?')).toBe(true);
});

it('Ctrl-C typed before it ends the command all the same', async () => {
  const kill = vi.spyOn(process, 'kill').mockReturnValue(true);
  await terminal('\x03', 'n\n').ask.confirm('Did the sounder sound?');
  expect(kill).toHaveBeenCalledWith(process.pid, 'SIGINT');
});
