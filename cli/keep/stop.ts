/** When what runs until it is told to stop is told so. */
import type { Context } from '../context';

/** Resolves at Ctrl-C, SIGTERM, or when standard input ends if that is wanted. */
export async function toldToStop(context: Context, untilStdinCloses: boolean): Promise<void> {
  const { world, atEnd } = context;
  const { stdin } = world;
  const others = new Promise<void>((resolve) => {
    const stop = (): void => resolve();
    process.once('SIGTERM', stop);
    atEnd(() => void process.off('SIGTERM', stop));
    if (!untilStdinCloses) return;
    stdin.once('end', stop);
    stdin.once('close', stop);
    stdin.resume();
  });
  await Promise.race([context.untilInterrupt(), others]);
}
