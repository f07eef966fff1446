/** Long texts page by page, by the reader's own program, as other command-line tools do it. */
import { spawn } from 'node:child_process';

type Env = Readonly<Record<string, string | undefined>>;

/** `less` unless told otherwise: leaves a text that fits on the screen, keeps colours. */
const USUAL = 'less';
const LESS = 'FRX';

/**
 * Shows `text` by the program that PAGER names, and resolves when the reader has had enough. False, with nothing
 * shown, where PAGER is empty or `cat`, or there is no such program.
 */
export function page(text: string, env: Env): Promise<boolean> {
  const command = env.PAGER ?? USUAL;
  if (command === '' || command === 'cat') return Promise.resolve(false);
  return new Promise((resolve) => {
    // By a shell, because PAGER may have options.
    const pager = spawn(command, {
      shell: true,
      stdio: ['pipe', 'inherit', 'ignore'],
      env: { LESS, ...env },
    });
    // A reader who leaves early closes the pipe.
    pager.stdin.on('error', () => undefined);
    pager.once('error', () => resolve(false));
    // The shell's own words for "not found", and for "may not be run".
    pager.once('close', (code) => resolve(code !== 127 && code !== 126));
    pager.stdin.end(text);
  });
}
