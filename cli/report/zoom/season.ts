/** One season as the page shows it, and what is read of it. Pure. */
import { DAY_MIN } from '../../../shared/units/time';
import { timeText } from '../plot/axes';
import { drawPlot } from '../plot/draw';
import { rowAt } from '../plot/lines';
import type { Plot, Values } from '../plot/model';
import type { Scene } from './scene';

export const seasonScene = (plot: Plot): Scene => ({
  whole: { from: 0, to: plot.lengthMin },
  fromUnixMs: plot.fromUnixMs,
  part: { from: Math.max(0, plot.lengthMin - DAY_MIN), to: plot.lengthMin },
  draw: (view) => drawPlot(plot, view),
  spanText: ({ from, to }) => `Shown: ${timeText(plot, from)} to ${timeText(plot, to)}`,
  readText: (minute) => readText(plot, minute),
});

/** The nearest reading with its time, or that there is none. */
export function readText(plot: Plot, minute: number): string {
  const { rows, temperatureUnit, massUnit } = plot;
  const row = rowAt(rows, minute);
  if (row === null) return `${timeText(plot, minute)}: no reading`;
  const value = (list: Values, digits: number, unit: string): string => {
    const one = list[row] ?? null;
    return one === null ? '-' : `${one.toFixed(digits)} ${unit}`;
  };
  return [
    timeText(plot, rows.minutes[row] ?? minute),
    `root zone ${value(rows.rootZone, 1, temperatureUnit)}`,
    `mat ${value(rows.duty, 0, '%')}`,
    value(rows.weight, massUnit === 'g' ? 0 : 2, massUnit),
    `dry-back ${value(rows.dryBack, 1, '%')} (scale alone ${value(rows.rawDryBack, 1, '%')})`,
  ].join(', ');
}
