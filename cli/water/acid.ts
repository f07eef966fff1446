/** `water acid`: how much acid brings a water to a pH, what it adds, and when it should not. */
import type { Command } from 'commander';
import {
  ACID_DENSITY_KG_L,
  ACID_NAMES,
  type AcidName,
  acidProduct,
  POWDER_FORMS,
  type Product,
  type Strength,
} from '../../shared/physics/acid';
import {
  type AcidDose,
  acidDose,
  phReached,
  START_PH,
  TARGET_PH,
  type Water,
} from '../../shared/physics/acid-dose';
import { WATER_C } from '../../shared/physics/carbonate';
import { formatQuantity, ML_PER_FL_OZ, ML_PER_GAL } from '../../shared/units';
import { needed, type OptionsOf, oneOf, type Reader, shortened } from '../arguments/options';
import { mendableAlkalinity, ph, waterVolume } from '../arguments/water';
import { numberWithin, within } from '../arguments/within';
import type { Act, Answer, Context } from '../context';
import { refused, usage } from '../failure';
import { readEc } from '../feed/strength';
import { type Fact, facts, wrap } from '../terminal/output';
import { about } from '../words/about';

const EXAMPLE =
  "For example: trayward water acid --alkalinity '100mg/l CaCO3' --ph 7.8 --to 5.8 --acid phosphoric --strength 75% --volume 20l";

/** Said with each answer that has acid in it. */
export const ACID_CAUTION =
  'Acid burns skin and eyes: gloves, goggles, sleeves, fresh air, and water at hand to rinse with. Acid goes into water, slowly, stirred; never water into acid. Never mix it with bleach or any chlorine cleaner: that makes poison gas. Nitric acid goes on no wood, paper or rag. Keep it, and get rid of it, as your local rules say.';

/** `75%` by mass, `14.7M` by volume, or a powder. */
const strength: Reader<Strength | null> = (typed) => {
  if (typeof typed !== 'string') return null;
  const form = POWDER_FORMS.find((word) => word === typed.trim().toLowerCase());
  if (form !== undefined) return { by: 'powder', form };
  const [, digits, unit = ''] = /^(\d+(?:\.\d+)?)\s*(%|M|N|mol\/l)$/i.exec(typed.trim()) ?? [];
  if (unit.toUpperCase() === 'N') {
    throw usage(
      '--strength in N (normal) counts protons, and which of them is not the same for all acids.',
      'Give mol/l, or the share of mass on the label: 0.01 mol/l of sulfuric acid is 0.02 N.',
    );
  }
  if (digits === undefined) {
    throw usage(
      `--strength ${shortened(typed)} is no strength of an acid.`,
      'Give the share of mass on the label (75%), mol/l (14.7M), or for citric acid monohydrate or anhydrous powder.',
    );
  }
  if (unit === '%') return { by: 'mass', share: Number(digits) / 100, kgL: null };
  return { by: 'volume', molL: Number(digits) };
};

/** A drum of acid. */
const BOTTLE_MOST_ML = 200_000;

const OPTIONS = {
  alkalinity: needed(mendableAlkalinity(EXAMPLE), EXAMPLE),
  ph: needed(
    ph(START_PH, 'Taps and wells lie in between: check the meter in its buffers.', EXAMPLE),
    EXAMPLE,
  ),
  to: needed(
    ph(
      TARGET_PH,
      'Below, stone wool dissolves and roots burn; above, water needs no acid.',
      EXAMPLE,
    ),
    EXAMPLE,
  ),
  acid: needed(oneOf<AcidName>(ACID_NAMES), `Give one of ${ACID_NAMES.join(', ')}.`),
  strength: needed(strength, EXAMPLE),
  density: numberWithin(
    ACID_DENSITY_KG_L.low,
    ACID_DENSITY_KG_L.high,
    'No acid of the shops weighs less or more.',
    EXAMPLE,
    'kg/l',
  ),
  volume: waterVolume(EXAMPLE),
  temperature: needed(
    within(
      'temperature',
      WATER_C.low,
      WATER_C.high,
      'The chemistry is known in between, and no tap gives other water.',
      EXAMPLE,
    ),
    EXAMPLE,
  ),
  ec: readEc(EXAMPLE),
  have: within(
    'volume',
    0.1,
    BOTTLE_MOST_ML,
    'Less is not measured, and acid comes in no bigger drum.',
    EXAMPLE,
  ),
};

/** The dose to a litre, and in US measures as US tables have it. */
function doseText({ unit, perL }: AcidDose, { units }: Context): string {
  if (units === 'metric') return `${about(perL)} ${unit} to a litre`;
  const perGal = (perL * ML_PER_GAL) / 1000;
  return unit === 'g'
    ? `${about(perGal)} g to a gallon`
    : `${about(perGal)} ml to a gallon (${about((perGal * 100) / ML_PER_FL_OZ)} fl oz to 100 gal)`;
}

/** What comes into the water with it. */
function addsFact({ adds }: AcidDose): Fact {
  const told = [
    { what: 'N', mgL: adds.nMgL },
    { what: 'P', mgL: adds.pMgL },
    { what: 'S', mgL: adds.sMgL },
  ].filter(({ mgL }) => mgL > 0);
  if (told.length === 0) return { label: 'Adds', value: 'nothing that feeds' };
  const value = told.map(({ what, mgL }) => `${what} ${about(mgL)} mg/l`).join(', ');
  return { label: 'Adds', value, note: 'count it as feed' };
}

/** Less than this is badly measured with a kitchen syringe. */
const SMALLEST_ML = 1;

/** All of it, for the volume named. */
function totalText(dose: AcidDose, volumeMl: number, { units }: Context): string {
  const total = (dose.perL * volumeMl) / 1000;
  const into = formatQuantity('volume', volumeMl, units);
  if (dose.unit === 'ml' && total < SMALLEST_ML) {
    return `${about(total)} ml for ${into}: too little to measure. Thin it first, 1 part of acid into 9 of water: of that, ${about(total * 10)} ml`;
  }
  return `${about(total)} ${dose.unit} for ${into}`;
}

type Asked = OptionsOf<typeof OPTIONS>;

/** The bottle or bag that was named. Throws usage errors. */
function productOf({ acid, strength: labelled, density: kgL }: Asked): Product {
  if (kgL !== null && labelled.by !== 'mass') {
    throw usage('--density goes with a share of mass, such as 75%.', EXAMPLE);
  }
  const product = acidProduct(acid, labelled.by === 'mass' ? { ...labelled, kgL } : labelled);
  if (product.ok) return product.value;
  throw usage(product.why, EXAMPLE, 'no-such-acid');
}

/** What is reckoned is no better, and so is what nearly does. */
const GOOD_TO = 0.05;

/** Refuses where what is at hand does not do, and tells how far it would go. */
function assertEnough(asked: Asked, water: Water, product: Product, dose: AcidDose): void {
  const { have, volume, acid } = asked;
  if (have === null) return;
  if (volume === null) throw usage('--have needs --volume: how much water?', EXAMPLE);
  if (product.unit === 'g') throw usage('A powder is weighed: leave --have out.', EXAMPLE);
  const needMl = (dose.perL * volume) / 1000;
  if (have >= needMl * (1 - GOOD_TO)) return;
  const reached = phReached(water, acid, product, (1000 * have) / volume);
  throw refused(
    'not-enough-acid',
    `That takes ${about(needMl)} ml; what you have brings the water from pH ${water.ph} to ${reached.toFixed(1)} only.`,
    'Treat less water at a time, or get more.',
  );
}

const HOW =
  'Put nine tenths in, stir, wait five minutes and measure; then the rest in small steps, and the feed after that. It is good to 5 % where the readings are: published tables differ by as much. Water that stands open gives off gas, and its pH rises again: measure before you use it.';

function doseFacts(dose: AcidDose, { volume, alkalinity }: Asked, context: Context): string {
  const { units, style } = context;
  const chalk = (meqL: number): string => formatQuantity('alkalinity', meqL, units);
  const rows: readonly Fact[] = [
    { label: 'Acid', value: doseText(dose, context) },
    ...(volume === null ? [] : [{ label: '', value: totalText(dose, volume, context) }]),
    { label: 'Takes', value: chalk(dose.takenMeqL), note: `of ${chalk(alkalinity)}` },
    { label: 'Leaves', value: chalk(Math.max(0, dose.leftMeqL)) },
    addsFact(dose),
  ];
  return `${facts(rows, style)}\n${wrap(HOW, style.width)}`;
}

/** The whole command. */
function answerTo(asked: Asked, context: Context): Answer {
  const { acid, alkalinity, temperature, ec, volume } = asked;
  const product = productOf(asked);
  const water: Water = {
    alkalinityMeqL: alkalinity,
    ph: asked.ph,
    waterC: temperature,
    ecMsCm: ec,
  };
  const verdict = acidDose(water, asked.to, acid, product);
  if (!verdict.ok) {
    throw refused('no-acid', verdict.why, 'Change --to, --acid or --strength, and ask again.');
  }
  const dose = verdict.value;
  assertEnough(asked, water, product, dose);
  context.caution(ACID_CAUTION);
  const total = volume === null ? null : (dose.perL * volume) / 1000;
  return {
    result: { acid, ...dose, total, molPerUnit: product.molPerUnit },
    text: doseFacts(dose, asked, context),
  };
}

export function addAcid(noun: Command, act: Act): void {
  noun
    .command('acid')
    .description('how much acid brings the water to a pH, and what it adds')
    .option('--alkalinity <alkalinity>', "of the water: '150mg/l CaCO3', 3meq/l or 8.4dKH")
    .option('--ph <ph>', 'of the water, as it comes')
    .option('--to <ph>', 'the pH wanted: 5.5 for the soak, 5.8 for feed', '5.8')
    .option('--acid <name>', ACID_NAMES.join(', '))
    .option('--strength <strength>', 'by its label: 75% of mass, 14.7M, or monohydrate (citric)')
    .option('--density <kg/l>', 'with a share of mass, where the label says it')
    .option('--volume <volume>', 'how much water')
    .option('--temperature <temperature>', 'of the water', '20 C')
    .option('--ec <ec>', 'of the water, where you know it')
    .option('--have <volume>', 'how much of the acid there is')
    .action(act(OPTIONS, async (context, asked) => answerTo(asked, context)));
}
