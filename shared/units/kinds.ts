/**
 * The quantities a grower writes and reads, and every unit each may be written in. All values inside
 * the program are in the first unit of their kind: C, K, g, ml, mS/cm at 25 C, s, mm, share 0..1, meq/l, and of
 * light and of how far away it is: umol/m2/s, mol/m2/d, lx, m; of a probe: ohm.
 */

export const QUANTITY_KINDS = [
  'temperature',
  'temperature-difference',
  'mass',
  'volume',
  'ec',
  'duration',
  'length',
  'share',
  'ppfd',
  'light-sum',
  'illuminance',
  'distance',
  'alkalinity',
  'hardness',
  'resistance',
] as const;
export type QuantityKind = (typeof QUANTITY_KINDS)[number];

/** Which units numbers are shown in. EC, durations, shares and resistances are the same in both. */
export type UnitSystem = 'metric' | 'us';

export interface Unit {
  /** As we write it. */
  readonly symbol: string;
  /** Other spellings that are understood; case and spacing do not matter. */
  readonly also: readonly string[];
  /** value = offset + factor * number. */
  readonly factor: number;
  readonly offset?: number;
}

export interface Kind {
  readonly name: string;
  readonly example: string;
  readonly units: readonly Unit[];
  /** Values below make no sense, in the kind's own unit; absent where any value does. */
  readonly least?: number;
}

const unit = (symbol: string, factor: number, also: readonly string[] = []): Unit => ({
  symbol,
  also,
  factor,
});

/** Exact by definition: the international inch and avoirdupois pound (1959), the US gallon of 231 in3. */
export const MM_PER_IN = 25.4;
export const G_PER_LB = 453.59237;
export const G_PER_OZ = G_PER_LB / 16;
export const ML_PER_GAL = (231 * MM_PER_IN ** 3) / 1000;
export const ML_PER_FL_OZ = ML_PER_GAL / 128;
export const F_AT_0C = 32;
export const K_PER_F = 5 / 9;
export const M_PER_FT = 0.3048;
/** One lumen on a square foot. */
export const LX_PER_FC = 1 / M_PER_FT ** 2;

/** Of calcium carbonate, half its molar mass of 100.087 g/mol; of bicarbonate, 61.017 g/mol (IUPAC 2021). */
export const MG_CACO3_PER_MEQ = 50.043;
const MG_HCO3_PER_MEQ = 61.017;
/** A German degree is 10 mg/l of CaO, 56.077 g/mol. */
const MEQ_PER_DEGREE = 10 / (56.077 / 2);

/** A grain is 64.79891 mg (international yard and pound agreement, 1959). */
const MG_L_PER_GRAIN_PER_GAL = (64.79891 / ML_PER_GAL) * 1000;

/** Alkalinity and hardness are told in the same ways: the chalk that would make as much of it. */
const chalkUnits = (letter: 'K' | 'G', more: readonly Unit[]): readonly Unit[] => [
  unit('meq/l', 1, ['me/l', 'mval/l']),
  unit('mg/l CaCO3', 1 / MG_CACO3_PER_MEQ, ['mg/l as CaCO3', 'ppm CaCO3', 'ppm as CaCO3']),
  unit(`d${letter}H`, MEQ_PER_DEGREE, [`deg ${letter}H`, `${letter}H`, 'dH']),
  unit('gpg', MG_L_PER_GRAIN_PER_GAL / MG_CACO3_PER_MEQ, ['gr/gal', 'grains per gallon']),
  ...more,
];

export const KINDS: Readonly<Record<QuantityKind, Kind>> = {
  temperature: {
    name: 'temperature',
    example: '25 C',
    least: -273.15,
    units: [
      unit('C', 1, ['degC', 'deg C', 'celsius']),
      {
        symbol: 'F',
        also: ['degF', 'deg F', 'fahrenheit'],
        factor: K_PER_F,
        offset: -F_AT_0C * K_PER_F,
      },
    ],
  },
  'temperature-difference': {
    name: 'temperature difference',
    example: '0.5 K',
    units: [unit('K', 1, ['C', 'degC', 'deg C', 'kelvin']), unit('F', K_PER_F, ['degF', 'deg F'])],
  },
  mass: {
    name: 'weight',
    example: '500 g',
    least: 0,
    units: [
      unit('g', 1, ['gram', 'grams']),
      unit('kg', 1000, ['kilogram', 'kilograms']),
      unit('oz', G_PER_OZ, ['ounce', 'ounces']),
      unit('lb', G_PER_LB, ['lbs', 'pound', 'pounds']),
    ],
  },
  volume: {
    name: 'volume',
    example: '40 ml',
    least: 0,
    units: [
      unit('ml', 1, ['millilitre', 'millilitres', 'milliliter', 'milliliters']),
      unit('l', 1000, ['litre', 'litres', 'liter', 'liters']),
      unit('fl oz', ML_PER_FL_OZ, ['floz', 'US fl oz', 'fluid ounce', 'fluid ounces']),
      unit('gal', ML_PER_GAL, ['US gal', 'gallon', 'gallons', 'US gallon', 'US gallons']),
    ],
  },
  ec: {
    name: 'EC',
    example: '1.2 mS/cm',
    least: 0,
    units: [
      unit('mS/cm', 1),
      unit('uS/cm', 0.001),
      unit('dS/m', 1),
      unit('ppm500', 1 / 500, ['ppm (500)', 'ppm (500 scale)', 'ppm 500 scale']),
      unit('ppm640', 1 / 640, ['ppm (640)', 'ppm (640 scale)', 'ppm 640 scale']),
      unit('ppm700', 1 / 700, ['ppm (700)', 'ppm (700 scale)', 'ppm 700 scale']),
    ],
  },
  duration: {
    name: 'duration',
    example: '2 h 30 min',
    least: 0,
    units: [
      unit('s', 1, ['sec', 'second', 'seconds']),
      unit('min', 60, ['minute', 'minutes']),
      unit('h', 3600, ['hr', 'hour', 'hours']),
      unit('d', 86_400, ['day', 'days']),
      unit('week', 604_800, ['weeks', 'wk']),
    ],
  },
  length: {
    name: 'length',
    example: '36 mm',
    least: 0,
    units: [
      unit('mm', 1, ['millimetre', 'millimetres', 'millimeter', 'millimeters']),
      unit('cm', 10, ['centimetre', 'centimetres', 'centimeter', 'centimeters']),
      unit('in', MM_PER_IN, ['inch', 'inches', '"']),
    ],
  },
  share: {
    name: 'share',
    example: '30 %',
    least: 0,
    units: [unit('%', 0.01, ['percent', 'per cent'])],
  },
  ppfd: {
    name: 'light for plants (PPFD)',
    example: '200 umol/m2/s',
    least: 0,
    units: [unit('umol/m2/s', 1, ['umol', 'umol/m2s', 'umol m-2 s-1', 'umol/s/m2'])],
  },
  'light-sum': {
    name: 'light of a day (DLI)',
    example: '12 mol/m2/d',
    least: 0,
    units: [unit('mol/m2/d', 1, ['mol', 'mol/m2/day', 'mol/m2d', 'mol m-2 d-1', 'mol/d'])],
  },
  illuminance: {
    name: 'light for the eye',
    example: '10000 lux',
    least: 0,
    units: [
      unit('lux', 1, ['lx']),
      unit('klux', 1000, ['klx']),
      unit('fc', LX_PER_FC, ['ftc', 'foot-candle', 'foot-candles', 'footcandle', 'footcandles']),
    ],
  },
  distance: {
    name: 'distance',
    example: '45 cm',
    least: 0,
    units: [
      unit('m', 1, ['metre', 'metres', 'meter', 'meters']),
      unit('cm', 0.01, ['centimetre', 'centimetres', 'centimeter', 'centimeters']),
      unit('mm', 0.001, ['millimetre', 'millimetres', 'millimeter', 'millimeters']),
      unit('in', MM_PER_IN / 1000, ['inch', 'inches', '"']),
      unit('ft', M_PER_FT, ['foot', 'feet', "'"]),
    ],
  },
  alkalinity: {
    name: 'alkalinity',
    example: '150 mg/l CaCO3',
    least: 0,
    units: chalkUnits('K', [unit('mg/l HCO3', 1 / MG_HCO3_PER_MEQ, ['ppm HCO3'])]),
  },
  hardness: {
    name: 'hardness',
    example: '200 mg/l CaCO3',
    least: 0,
    units: chalkUnits('G', []),
  },
  resistance: {
    name: 'resistance',
    example: '10 kohm',
    least: 0,
    units: [unit('ohm', 1, ['ohms', 'Ω']), unit('kohm', 1000, ['kohms', 'kΩ', 'k'])],
  },
};

/** Spelling that is compared: lower case, no spaces, one kind of micro sign, no degree sign, no raised 2. */
export function plainSpelling(text: string): string {
  return text
    .toLowerCase()
    .replace(/\s+/g, '')
    .replace(/[\u00b5\u03bc]/g, 'u')
    .replace(/[\u00b0\u00ba]/g, '')
    .replace(/\u00b2/g, '2');
}
