/** Two crops beside each other: whether one band, one light and one date suit both. */
import type { Crop, CropStageName, Published, Range } from '../../shared/crops/library/crop';
import type { Context } from '../context';
import { table, wrap } from '../terminal/output';
import { capitalised } from '../words/capitalised';
import {
  daysText,
  ecText,
  lightText,
  nitrogenText,
  over,
  type RangeText,
  spacingText,
  temperatureText,
  weeksText,
} from './ranges';
import { bestC, overlapOf, shared, startDays } from './summary';

type Screen = Pick<Context, 'style' | 'units'>;
type Pair = readonly [Crop, Crop];

const NONE = '-';
/** Where days of both are told: cool and warm rooms. */
const AT_C = [18, 22, 26] as const;
const COMPARED: readonly (readonly [CropStageName, string])[] = [
  ['seedling', 'seedling'],
  ['grow', 'growing on'],
];

/** The best root zone of both while they come up or root, C; null where there is none. */
export const sharedBestC = ([a, b]: Pair): Range | null => shared(bestC(a), bestC(b));

/** A table of what any source says, from the least to the most, and whether one tray does for both. */
export function compareText(pair: Pair, { style, units }: Screen): string {
  const temperature = temperatureText(units);
  const row = (label: string, of: (crop: Crop) => Range | null, written: RangeText): string[] => [
    label,
    ...pair.map((crop) => {
      const range = of(crop);
      return range === null ? NONE : written(range);
    }),
  ];
  const inStage =
    (name: CropStageName, of: (stage: Crop['stages'][number]) => Published) =>
    (crop: Crop): Range | null =>
      over(crop.stages.filter((stage) => stage.name === name).flatMap(of));
  const rows = [
    row('Comes up best at', bestC, temperature),
    ...AT_C.map((atC) =>
      row(
        `Up at ${temperature({ low: atC, high: atC })}`,
        (crop) => startDays(crop, atC),
        daysText,
      ),
    ),
    ...COMPARED.flatMap(([name, words]) => [
      row(
        `Root zone, ${words}`,
        inStage(name, ({ rootZoneC }) => rootZoneC),
        temperature,
      ),
      row(
        `Air by day, ${words}`,
        inStage(name, ({ airDayC }) => airDayC),
        temperature,
      ),
      row(
        `Feed, ${words}`,
        inStage(name, ({ feedEcMsCm }) => feedEcMsCm),
        ecText,
      ),
      row(
        `Nitrogen, ${words}`,
        inStage(name, ({ feedNMgL }) => feedNMgL),
        nitrogenText,
      ),
      row(
        `Light, ${words}`,
        inStage(name, ({ dliMolM2D }) => dliMolM2D),
        lightText,
      ),
    ]),
    row('To transplant', (crop) => over(crop.daysToTransplant), weeksText),
    row('In the row', (crop) => over(crop.inRowMm), spacingText(units)),
  ].filter(([, ...cells]) => cells.some((cell) => cell !== NONE));
  const columns = [{ title: '' }, ...pair.map(({ name }) => ({ title: capitalised(name) }))];
  return `${table(columns, rows, style)}\n\n${wrap(sharedText(pair, temperature), style.width)}`;
}

function sharedText(pair: Pair, temperature: RangeText): string {
  const [a, b] = pair;
  const range = sharedBestC(pair);
  const narrow = overlapOf(bestC(a), bestC(b));
  const each = `give ${a.name} and ${b.name} a tray each`;
  const together =
    range !== null
      ? `Both are at their best at ${temperature(range)} while they come up: one band does for both.`
      : narrow !== null
        ? `Both are at their best at ${temperature(narrow)} only while they come up, narrower than a mat can hold: ${each}, or take a wider band that is best for one of them.`
        : `No band is best for both while they come up: ${each}.`;
  return `${together} Ranges are over all sources; \`trayward crop show ${a.name}\` tells whose.`;
}
