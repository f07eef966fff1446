/** Progress of long work: a bar on a terminal, two plain lines elsewhere. */
import cliProgress from 'cli-progress';
import type { Progress, Sink } from './context';

/** Starts showing progress of `label` towards `total`. `silent` shows nothing. */
export function startProgress(sink: Sink, label: string, total: number, silent: boolean): Progress {
  if (silent) return { update() {}, stop() {} };
  if (sink.isTTY !== true || !(sink instanceof Object && 'cursorTo' in sink))
    return plain(sink, label, total);
  const bar = new cliProgress.SingleBar({
    format: `${label} [{bar}] {percentage} %  {value}/{total}`,
    barCompleteChar: '#',
    barIncompleteChar: '-',
    barsize: 28,
    hideCursor: true,
    fps: 15,
  });
  bar.start(total, 0);
  return {
    update: (value) => bar.update(value),
    stop: () => bar.stop(),
  };
}

function plain(sink: Sink, label: string, total: number): Progress {
  let value = 0;
  let stopped = false;
  sink.write(`${label} ...\n`);
  return {
    update(next) {
      value = next;
    },
    stop() {
      if (!stopped) sink.write(`${label}: ${value} of ${total}\n`);
      stopped = true;
    },
  };
}
