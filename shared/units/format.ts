/** Quantities as growers read them, metric or US. What is written here, `parseQuantity` reads. */
import {
  F_AT_0C,
  G_PER_LB,
  G_PER_OZ,
  K_PER_F,
  LX_PER_FC,
  M_PER_FT,
  MG_CACO3_PER_MEQ,
  ML_PER_FL_OZ,
  ML_PER_GAL,
  MM_PER_IN,
  type QuantityKind,
  type UnitSystem,
} from './kinds';

/** Stands for a value that is not known (NaN), or cannot be shown. */
export const NO_VALUE = '-';

/** The scales of ppm meters: ppm = EC in mS/cm times the scale. */
export const PPM_SCALES = [500, 640, 700] as const;
export type PpmScale = (typeof PPM_SCALES)[number];

/** What temperatures are told in. */
export const temperatureUnit = (system: UnitSystem): string => (system === 'us' ? '°F' : '°C');

/** A temperature in that unit. */
export const temperatureIn = (celsius: number, system: UnitSystem): number =>
  system === 'us' ? F_AT_0C + celsius / K_PER_F : celsius;

/**
 * `value` of `kind`, in the program's own unit (C, K, g, ml, mS/cm, s, mm, share, meq/l, ohm), with the unit and
 * the digits that mean something on a tray: 0.1 C, 0.1 g below 100 g, 0.01 mS/cm, 0.1 %; three of light, whole cm,
 * 0.1 ohm below 1 kohm.
 */
export function formatQuantity(kind: QuantityKind, value: number, system: UnitSystem): string {
  if (!Number.isFinite(value)) return NO_VALUE;
  switch (kind) {
    case 'temperature':
      return `${fixed(temperatureIn(value, system), 1)} ${temperatureUnit(system)}`;
    case 'temperature-difference':
      return system === 'us' ? `${fixed(value / K_PER_F, 1)} °F` : `${fixed(value, 1)} K`;
    case 'mass':
      return system === 'us' ? usMass(value) : metricMass(value);
    case 'volume':
      return system === 'us' ? usVolume(value) : metricVolume(value);
    case 'ec':
      return `${fixed(value, 2)} mS/cm`;
    case 'duration':
      return duration(value);
    case 'length':
      return system === 'us' ? `${fixed(value / MM_PER_IN, 2)} in` : `${trimmed(value, 1)} mm`;
    case 'share':
      return `${fixed(value * 100, 1)} %`;
    case 'ppfd':
      return `${threeDigits(value)} µmol/m²/s`;
    case 'light-sum':
      return `${threeDigits(value)} mol/m²/d`;
    case 'illuminance':
      return system === 'us' ? `${threeDigits(value / LX_PER_FC)} fc` : `${threeDigits(value)} lux`;
    case 'distance':
      return system === 'us' ? usDistance(value) : metricDistance(value);
    case 'alkalinity':
    case 'hardness':
      return `${fixed(value * MG_CACO3_PER_MEQ, 0)} ${system === 'us' ? 'ppm' : 'mg/l'} CaCO3`;
    case 'resistance':
      return value < 999.5 ? `${trimmed(value, 1)} Ω` : `${trimmed(value / 1000, 3)} kΩ`;
  }
}

/**
 * Temperatures in a sentence that does not know its reader: `18 °C (64 °F)`, `25 to 30 °C (77 to 86 °F)`. To a
 * tenth of a degree C and a whole one of F, as tables print them.
 */
export function inBothUnits(lowC: number, highC = lowC): string {
  const range = (toUnit: (atC: number) => number, decimals: number): string => {
    const [low, high] = [trimmed(toUnit(lowC), decimals), trimmed(toUnit(highC), decimals)];
    return low === high ? low : `${low} to ${high}`;
  };
  return `${range((atC) => atC, 1)} °C (${range((atC) => temperatureIn(atC, 'us'), 0)} °F)`;
}

/** Feed strength as a meter of the given scale shows it: `600 ppm500`. `ecMsCm` at 25 C. */
export function formatPpm(ecMsCm: number, scale: PpmScale): string {
  return Number.isFinite(ecMsCm) ? `${fixed(ecMsCm * scale, 0)} ppm${scale}` : NO_VALUE;
}

function metricMass(g: number): string {
  const size = Math.abs(g);
  if (size < 99.95) return `${fixed(g, 1)} g`;
  return size < 9999.5 ? `${fixed(g, 0)} g` : `${fixed(g / 1000, 2)} kg`;
}

function usMass(g: number): string {
  return Math.abs(g) < G_PER_LB ? `${fixed(g / G_PER_OZ, 2)} oz` : `${fixed(g / G_PER_LB, 2)} lb`;
}

function metricVolume(ml: number): string {
  const size = Math.abs(ml);
  if (size < 99.95) return `${fixed(ml, 1)} ml`;
  return size < 999.5 ? `${fixed(ml, 0)} ml` : `${fixed(ml / 1000, decimalsOf(ml / 1000))} l`;
}

function usVolume(ml: number): string {
  return Math.abs(ml) < ML_PER_GAL / 2
    ? `${fixed(ml / ML_PER_FL_OZ, 2)} fl oz`
    : `${fixed(ml / ML_PER_GAL, decimalsOf(ml / ML_PER_GAL))} gal`;
}

/** Three digits of what is poured by the litre or gallon, and whole ones of a tank. */
function decimalsOf(value: number): number {
  const size = Math.abs(value);
  if (size < 9.995) return 2;
  return size < 99.95 ? 1 : 0;
}

function metricDistance(m: number): string {
  return Math.abs(m) < 0.995 ? `${coarse(m * 100)} cm` : `${threeDigits(m)} m`;
}

function usDistance(m: number): string {
  const inches = (m * 1000) / MM_PER_IN;
  return Math.abs(inches) < 59.5 ? `${coarse(inches)} in` : `${threeDigits(m / M_PER_FT)} ft`;
}

/** Writes distances that are told together in one unit: that of `mainM`. Metres here, as everywhere. */
export function distancesLike(mainM: number, system: UnitSystem): (m: number) => string {
  const main = formatQuantity('distance', mainM, system);
  if (main.endsWith(' m')) return (m) => `${fixed(m, 2)} m`;
  if (main.endsWith(' ft')) return (m) => `${fixed(m / M_PER_FT, 1)} ft`;
  if (main.endsWith(' in')) return (m) => `${coarse((m * 1000) / MM_PER_IN)} in`;
  return (m) => `${coarse(m * 100)} cm`;
}

const DURATION_STEPS = [
  { symbol: 'd', seconds: 86_400 },
  { symbol: 'h', seconds: 3600 },
  { symbol: 'min', seconds: 60 },
  { symbol: 's', seconds: 1 },
] as const;

/** The two largest units that count, rounded to the smaller: `3 d 4 h`, `2 min 30 s`, `45 s`. */
function duration(seconds: number): string {
  const sign = seconds < 0 ? '-' : '';
  const size = Math.abs(seconds);
  for (const [index, step] of DURATION_STEPS.entries()) {
    const finer = DURATION_STEPS[index + 1];
    const unit = finer?.seconds ?? 1;
    // Rounded first: 59.6 s is a minute, and 23 h 59.9 min a day.
    const rounded = Math.round(size / unit) * unit;
    if (rounded < step.seconds) continue;
    const whole = Math.floor(rounded / step.seconds);
    const rest = finer ? Math.round((rounded - whole * step.seconds) / finer.seconds) : 0;
    return `${sign}${whole} ${step.symbol}${finer && rest > 0 ? ` ${rest} ${finer.symbol}` : ''}`;
  }
  return '0 s';
}

/** `toFixed` without a minus before zero, and without an exponent. */
function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return /^-0(\.0*)?$/.test(text) ? text.slice(1) : text;
}

function trimmed(value: number, decimals: number): string {
  const text = fixed(value, decimals);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/** Whole ones, and tenths below ten: no lamp is hung any finer. */
const coarse = (value: number): string => trimmed(value, Math.abs(value) < 9.95 ? 1 : 0);

/** Three digits that count, two decimals at most: nobody measures light any finer. */
function threeDigits(value: number): string {
  const rounded = Number(value.toPrecision(3));
  const wholeDigits = rounded === 0 ? 1 : Math.floor(Math.log10(Math.abs(rounded))) + 1;
  return trimmed(rounded, Math.min(2, Math.max(0, 3 - wholeDigits)));
}
