/** What sources say of a crop, as a grower reads it: ranges in whole degrees, each with its source's number. */
import type { CropSource, Published, Range } from '../../shared/crops/library/crop';
import { sourceNamed } from '../../shared/crops/library/library';
import { temperatureIn, temperatureUnit } from '../../shared/units';
import { MM_PER_IN } from '../../shared/units/kinds';
import type { Units } from '../context';

/** How the two ends of a range are written, unit and all. */
export type RangeText = (range: Range) => string;

const MM_PER_CM = 10;
const WEEK_D = 7;
const HALF_WEEKS = 2;
const DAYS_READ_UP_TO = 30;
/** Sources print whole degrees, days and centimetres; half weeks; tenths of a mS/cm. */
const whole = (value: number): string => value.toFixed(0);

function ends(range: Range, unit: string, written: (value: number) => string): string {
  const [low, high] = [written(range.low), written(range.high)];
  return low === high ? `${low} ${unit}` : `${low} to ${high} ${unit}`;
}

/** `18 to 29 °C`. */
export const temperatureText =
  (units: Units): RangeText =>
  (range) =>
    ends(range, temperatureUnit(units), (atC) => whole(temperatureIn(atC, units)));

/** `6 to 7 d`. */
export const daysText: RangeText = (range) => ends(range, 'd', whole);

/** `5 to 7 weeks`, to half a week; in days where it is short, and the source did not count in weeks. */
export const weeksText: RangeText = (range) => {
  const halves = (days: number): number => (days / WEEK_D) * HALF_WEEKS;
  const inWeeks = Number.isInteger(halves(range.low)) && Number.isInteger(halves(range.high));
  return inWeeks || range.high > DAYS_READ_UP_TO
    ? ends(range, 'weeks', (days) => String(Math.round(halves(days)) / HALF_WEEKS))
    : daysText(range);
};

/** `46 to 61 cm`. */
export const spacingText =
  (units: Units): RangeText =>
  (range) =>
    units === 'us'
      ? ends(range, 'in', (mm) => whole(mm / MM_PER_IN))
      : ends(range, 'cm', (mm) => whole(mm / MM_PER_CM));

export const ecText: RangeText = (range) => ends(range, 'mS/cm', (ec) => ec.toFixed(1));
export const nitrogenText: RangeText = (range) => ends(range, 'mg N/l', whole);
export const lightText: RangeText = (range) => ends(range, 'mol/m² a day', whole);
export const cellsText: RangeText = (range) => ends(range, 'cells a tray', whole);

/** The sources of one screen, numbered as they come up. */
export class Citations {
  private readonly names: string[] = [];

  /** The number of a source, counted from 1. */
  number(name: string): number {
    if (!this.names.includes(name)) this.names.push(name);
    return this.names.indexOf(name) + 1;
  }

  /** `18 to 24 °C [1, 2], 21 to 27 °C [3]`: those that say the same are named together. */
  told(published: Published, written: RangeText): string {
    const numbers = new Map<string, number[]>();
    for (const one of published) {
      const text = written(one);
      const cited = numbers.get(text) ?? [];
      const number = this.number(one.source);
      numbers.set(text, cited.includes(number) ? cited : [...cited, number]);
    }
    return [...numbers]
      .map(([text, cited]) => `${text} [${cited.sort((a, b) => a - b).join(', ')}]`)
      .join('; ');
  }

  get sources(): readonly CropSource[] {
    return this.names.map(sourceNamed);
  }
}

/** From the least to the most that any source says; null where none does. */
export function over(published: readonly Range[]): Range | null {
  if (published.length === 0) return null;
  return {
    low: Math.min(...published.map(({ low }) => low)),
    high: Math.max(...published.map(({ high }) => high)),
  };
}
