/** Progress of long work: a bar on a terminal, two plain lines elsewhere. */
import cliProgress from 'cli-progress';
import { widthFor } from './output';
import type { Progress, Sink } from './streams';

/** Columns of the bar itself, and of the figures beside it: ` [] 100 %  30000/30000`. */
const BAR_MAX = 28;
const BAR_MIN = 5;
const FIGURES = 25;

/** Starts showing progress of `label` towards `total`. `silent` shows nothing. */
export function startProgress(sink: Sink, label: string, total: number, silent: boolean): Progress {
  if (silent) return { update() {}, stop() {} };
  if (sink.isTTY !== true || !(sink instanceof Object && 'cursorTo' in sink))
    return plain(sink, label, total);
  const room = widthFor(sink.columns) - label.length - FIGURES;
  const bar = new cliProgress.SingleBar({
    format: `${label} [{bar}] {percentage} %  {value}/{total}`,
    barCompleteChar: '#',
    barIncompleteChar: '-',
    barsize: Math.min(BAR_MAX, Math.max(BAR_MIN, room)),
    hideCursor: true,
    fps: 15,
  });
  bar.start(total, 0);
  return {
    update(value, now = bar.getTotal()) {
      bar.setTotal(now);
      bar.update(value);
    },
    stop: () => bar.stop(),
  };
}

function plain(sink: Sink, label: string, total: number): Progress {
  let value = 0;
  let all = total;
  let stopped = false;
  sink.write(`${label} ...\n`);
  return {
    update(next, now = all) {
      value = next;
      all = now;
    },
    stop() {
      if (!stopped) sink.write(`${label}: ${value} of ${all}\n`);
      stopped = true;
    },
  };
}
