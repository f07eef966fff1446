/** Every planning command as a grower would type it, and what its options take: for tests that walk over all of them. */
import { NOUNS } from '../../cli/nouns';
import { RESULTS } from '../../cli/results/commands';

/** Commands whose results are reckoned from readings and tables. */
export const PLANNING = Object.keys(RESULTS).filter((name) =>
  NOUNS.some((noun) => noun.reckons === true && noun.name === name.split(' ')[0]),
);

/** What an option takes: nonsense of the same kind is refused. */
export type Takes =
  /** A quantity: one that is right, and of something else. `zero`: 0 is right too. */
  | {
      readonly quantity: string;
      readonly other: string;
      readonly zero?: true;
      readonly below?: true;
    }
  | { readonly number: true; readonly zero?: true }
  /** One of a few words. */
  | 'word'
  | 'date'
  /** A name, a path, or a switch: free, or nothing to get wrong. */
  | 'free';

const TEMPERATURE = { quantity: '24C', other: '5kg', zero: true, below: true } as const;
const SHARE = { quantity: '80%', other: '5kg' } as const;
const VOLUME = { quantity: '4l', other: '5kg' } as const;
const EC = { quantity: '1mS/cm', other: '5kg' } as const;
const EC_OF_WATER = { ...EC, zero: true } as const;
const PPFD = { quantity: '200umol', other: '5kg' } as const;
const SUM = { quantity: '12mol', other: '5kg' } as const;
const LENGTH = { quantity: '40cm', other: '5kg' } as const;
const COUNT = { number: true } as const;
const PH = { number: true, zero: true } as const;
const FILES = { '--store': 'free', '--ics': 'free', '--zone': 'word', '--at': 'word' } as const;

const RESERVOIR = {
  '--volume': VOLUME,
  '--has': EC_OF_WATER,
  '--to': EC,
  '--water': EC_OF_WATER,
  '--reservoir': VOLUME,
  '--at': TEMPERATURE,
} as const;

export interface Told {
  /** As it is done; `plan-a` and `plan-b` are plans that are kept. */
  readonly lines: readonly string[];
  readonly options: Readonly<Record<string, Takes>>;
}

/** By command. Values of several words stand in quotes. */
export const TOLD: Readonly<Record<string, Told>> = {
  'crop list': { lines: ['crop list'], options: { '--kind': 'word' } },
  'crop show': {
    lines: ['crop show dill', 'crop show pepper --at 63F', 'crop show petunia'],
    options: { '--at': TEMPERATURE, '--sources': 'free' },
  },
  'crop compare': { lines: ['crop compare pepper tomato'], options: {} },
  'plan make': {
    lines: ['plan pepper --ready 2027-03-20 --plants 60 --room 62..71F --germination 83%'],
    options: {
      '--ready': 'date',
      '--sow': 'date',
      '--plants': COUNT,
      '--germination': SHARE,
      '--spare': { ...SHARE, zero: true },
      '--certainty': SHARE,
      '--room': { ...TEMPERATURE, quantity: '18C' },
      '--trays': COUNT,
      '--plug': 'word',
      '--mat': 'free',
      '--unheated': 'free',
      '--light': 'free',
      '--ppfd': PPFD,
      '--gain': EC,
      '--keep': 'word',
      '--controller': 'word',
      '--out': 'free',
      '--force': 'free',
      ...FILES,
    },
  },
  'plan show': {
    lines: ['plan show plan-a --offline'],
    options: { '--force': 'free', '--offline': 'free', ...FILES },
  },
  'plan update': {
    lines: ['plan update plan-a --sown 2026-11-29 --offline'],
    options: {
      '--sown': 'date',
      '--emerged': 'date',
      '--counted': { number: true, zero: true },
      '--on': 'date',
      '--transplanted': 'date',
      '--controller': 'word',
      '--force': 'free',
      '--offline': 'free',
      ...FILES,
    },
  },
  'plan check': {
    lines: ['plan check plan-a plan-b --offline'],
    options: {
      '--offline': 'free',
      '--mat-holds': COUNT,
      '--light-holds': COUNT,
      '--store': 'free',
    },
  },
  agenda: {
    lines: ['agenda --offline'],
    options: { '--days': COUNT, '--offline': 'free', '--store': 'free' },
  },
  'feed ec': {
    lines: [
      'feed ec 1.2345mS/cm --at 18.3C',
      'feed ec 0.7mS/cm',
      'feed ec 1.28mS/cm --bottle 1413uS/cm --at 20C',
    ],
    options: { '--at': TEMPERATURE, '--bottle': { ...EC, quantity: '1413uS/cm' } },
  },
  'feed mix': {
    lines: ['feed mix --volume 4.1l --has 0.31mS/cm --to 0.83mS/cm --gain 1.9mS/cm'],
    options: { ...RESERVOIR, '--stock': 'word', '--gain': EC, '--parts': 'word' },
  },
  'feed dilute': {
    lines: ['feed dilute --volume 4.1l --has 1.31mS/cm --to 0.83mS/cm --water 0.3mS/cm'],
    options: RESERVOIR,
  },
  'feed stock': {
    lines: ['feed stock --want 137 --holds 15.5% --volume 4.7l'],
    options: {
      '--want': COUNT,
      '--holds': SHARE,
      '--bag': 'word',
      '--injector': 'word',
      '--volume': VOLUME,
    },
  },
  'feed ladder': { lines: ['feed ladder petunia --dli 7mol'], options: { '--dli': SUM } },
  'light dli': {
    lines: [
      'light dli --lux 10000lux --lamp sodium --hours 13h',
      'light dli --crop pepper --ppfd 187umol',
    ],
    options: {
      '--ppfd': PPFD,
      '--lux': { quantity: '10000lux', other: '5kg' },
      '--lamp': 'word',
      '--hours': { quantity: '16h', other: '5kg' },
      '--dli': SUM,
      '--crop': 'word',
      '--stage': 'word',
    },
  },
  'light height': {
    lines: ['light height --at 41cm --ppfd 300umol --want 130umol --panel 60x60cm'],
    options: {
      '--at': LENGTH,
      '--ppfd': PPFD,
      '--want': PPFD,
      '--height': LENGTH,
      '--times': COUNT,
      '--panel': 'word',
      '--round': LENGTH,
    },
  },
  'air vpd': {
    lines: [
      'air vpd --air 24C --wet-bulb 20C --altitude 1200m',
      'air vpd --air 75F --humidity 63% --leaf-offset -1K',
    ],
    options: {
      '--air': TEMPERATURE,
      '--humidity': SHARE,
      '--leaf': TEMPERATURE,
      '--leaf-offset': { quantity: '-2K', other: '5kg', zero: true, below: true },
      '--wet-bulb': TEMPERATURE,
      '--bulb-in': 'word',
      '--altitude': { quantity: '1200m', other: '5kg', zero: true, below: true },
    },
  },
  'seed count': {
    lines: ['seed count 41 of 98 --lot basil --sown 2026-11-02'],
    options: {
      '--lot': 'word',
      '--sown': 'date',
      '--at': 'date',
      '--instead': 'free',
      '--store': 'free',
      '--controller': 'free',
    },
  },
  'seed test': {
    lines: [
      'seed test --of 50 --day 4=12 --day 5=31 --day 6=40 --crop pepper --at 25C',
      'seed test --of 400 --day 7=300 --day 9=350 --against "330 of 400"',
    ],
    options: {
      '--lot': 'word',
      '--controller': 'free',
      '--day': 'word',
      '--csv': 'free',
      '--of': COUNT,
      '--against': 'word',
      '--crop': 'word',
      '--at': TEMPERATURE,
      '--store': 'free',
    },
  },
  'seed replicates': { lines: ['seed replicates 91 88 94 90'], options: {} },
  'seed thermal': {
    lines: ['seed thermal 15C=14d 20C=8d 25C=6d --to 22C'],
    options: { '--to': TEMPERATURE },
  },
  'water acid': {
    lines: [
      'water acid --alkalinity 2.1meq/l --ph 7.8 --acid phosphoric --strength 75% --volume 20l',
    ],
    options: {
      '--alkalinity': { quantity: '2meq/l', other: '5kg' },
      '--ph': COUNT,
      '--to': COUNT,
      '--acid': 'word',
      '--strength': 'word',
      '--density': COUNT,
      '--volume': VOLUME,
      '--temperature': TEMPERATURE,
      '--ec': EC_OF_WATER,
      '--have': VOLUME,
    },
  },
  'water soak': {
    lines: ['water soak --pieces 98 --size plug-36', 'water soak --pieces 3 --size 91x15x7.5cm'],
    options: { '--pieces': COUNT, '--size': 'word', '--timer': 'free' },
  },
  'water test': {
    lines: ['water test --ec 0.4mS/cm --ph 7.63 --alkalinity 2.9meq/l --hardness 3.6meq/l'],
    options: {
      '--ec': EC_OF_WATER,
      '--ph': PH,
      '--alkalinity': { quantity: '2meq/l', other: '5kg', zero: true },
      '--hardness': { quantity: '2meq/l', other: '5kg', zero: true },
    },
  },
};

/** The words of a line; those in quotes are one. */
export const wordsOf = (line: string): string[] =>
  [...line.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, plain]) => quoted ?? plain ?? '');

/** 29 November 2026: the day on which the lines are typed. */
export const NOW_MS = Date.UTC(2026, 10, 29, 12);

/** Keeps the plans that the lines speak of. */
export const KEEPING = ['plan-a', 'plan-b'].map(
  (name) => `plan pepper --sow 2026-11-29 --plants 60 --room 62..71F --keep ${name}`,
);
