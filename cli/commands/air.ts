/** `air vpd`: what temperature and humidity mean for leaves, and which lid goes with them. */
import { type Command, Option } from 'commander';
import {
  AIR_LIMITS,
  deficitKpa,
  dewPointC,
  dewPointRangeC,
  lidStepFor,
  vapourOfWetBulb,
  WET_BULB_AIR,
} from '../../shared/physics/humidity';
import { PSYCHROMETER_KPA_K, saturationKpa, saturationSlope } from '../../shared/physics/vapour';
import { heightAboveSea } from '../arguments/above-sea';
import { needed, oneOf } from '../arguments/options';
import { within } from '../arguments/within';
import type { Act } from '../context';
import { asKnown, WHOLE } from '../digits/known';
import { refused, usage } from '../failure';
import { facts, wrap } from '../terminal/output';
import { airFacts, airSentences } from '../words/air';

const EXAMPLE = 'For example: trayward air vpd --air 24C --humidity 70%';
const WET_EXAMPLE = 'For example: trayward air vpd --air 24C --wet-bulb 20C';
const { airLeastC, airMostC, humidityLeastShare, humidityMostShare, leafOffMostK } = AIR_LIMITS;
const AIR = within('temperature', airLeastC, airMostC, 'Plants are raised in between.', EXAMPLE);

const OPTIONS = {
  air: needed(AIR, EXAMPLE),
  humidity: within(
    'share',
    humidityLeastShare,
    humidityMostShare,
    'It is the relative humidity.',
    EXAMPLE,
  ),
  leaf: AIR,
  leafOffset: within(
    'temperature-difference',
    -leafOffMostK,
    leafOffMostK,
    'Leaves are cooler than the air where they dry, warmer under a hot lamp.',
    'For example: --leaf-offset -2K where they are cooler by so much.',
  ),
  wetBulb: AIR,
  bulbIn: oneOf(WET_BULB_AIR),
  altitude: heightAboveSea(`${WET_EXAMPLE} --altitude 1200m`),
};

type Asked = { readonly [Name in keyof typeof OPTIONS]: ReturnType<(typeof OPTIONS)[Name]> };

/** Vapour in the air, kPa, by the hygrometer or by the wet bulb. */
function vapourKpaOf({ air, humidity, wetBulb, bulbIn, altitude }: Asked): number {
  if (humidity !== null && wetBulb !== null) {
    throw usage('Give --humidity or --wet-bulb, not both.', EXAMPLE);
  }
  if (wetBulb === null && (bulbIn !== null || altitude !== null)) {
    throw usage(
      '--altitude and --bulb-in matter only where a wet bulb is read: with --wet-bulb.',
      'Leave them away: humidity and deficit are the same at any height.',
    );
  }
  if (humidity !== null) return saturationKpa(air) * humidity;
  if (wetBulb === null) throw usage('--humidity is missing, or --wet-bulb.', EXAMPLE);
  const vapour = vapourOfWetBulb(air, wetBulb, altitude ?? 0, bulbIn ?? 'fan');
  if (vapour.ok) return vapour.value;
  throw refused('no-such-air', vapour.why, `Then give both anew. ${WET_EXAMPLE}`);
}

function leafC({ air, leaf, leafOffset }: Asked): number {
  if (leaf !== null && leafOffset !== null) {
    throw usage('Give --leaf or --leaf-offset, not both.', EXAMPLE);
  }
  const celsius = leaf ?? air + (leafOffset ?? 0);
  if (Math.abs(celsius - air) <= leafOffMostK) return celsius;
  throw usage(
    `A leaf is not more than ${leafOffMostK} K (18 °F) from the air round it.`,
    'Read both again, in the shade, and check their units.',
  );
}

/** What fair instruments are good to: a new hygrometer to 3 % of its scale, thermometers to 0.5 K (common practice). */
const HYGROMETER_SHARE = 0.03;
const THERMOMETER_K = 0.5;

/** How far the deficit may be out by the instrument that was read, kPa. */
const doubtKpaOf = ({ air, wetBulb }: Asked): number =>
  wetBulb === null
    ? saturationKpa(air) * HYGROMETER_SHARE
    : (saturationSlope(wetBulb) + PSYCHROMETER_KPA_K) * THERMOMETER_K;

/** Where the instrument leaves it open by more, tenths of a degree mean nothing. */
const DEW_POINT_OPEN_K = 5;

/** The dew point as closely as the instrument tells it, and the warmest it may be; null where it tells no more than that. */
function dewPointOf(vapourKpa: number, doubtKpa: number) {
  const { low, high } = dewPointRangeC(vapourKpa, doubtKpa);
  const isOpen = high - low > DEW_POINT_OPEN_K;
  const told = isOpen ? WHOLE(dewPointC(vapourKpa)) : dewPointC(vapourKpa);
  return {
    dewPointC: Number.isFinite(low) ? told : null,
    dewPointMostC: isOpen ? WHOLE(high) : high,
  };
}

function airResult(asked: Asked) {
  const vapourKpa = vapourKpaOf(asked);
  const doubtKpa = doubtKpaOf(asked);
  const leaf = leafC(asked);
  const leafVpdKpa = deficitKpa(leaf, vapourKpa);
  return {
    airC: asked.air,
    humidityShare: vapourKpa / saturationKpa(asked.air),
    leafC: leaf,
    vapourKpa,
    vpdKpa: deficitKpa(asked.air, vapourKpa),
    leafVpdKpa,
    ...dewPointOf(vapourKpa, doubtKpa),
    doubtKpa,
    lid: lidStepFor(leafVpdKpa),
  };
}
export type AirResult = ReturnType<typeof airResult>;

/** Gives its noun verbs. */
export function register(noun: Command, act: Act): void {
  noun
    .command('vpd')
    .description('vapour pressure deficit and dew point, and the lid that goes with them')
    .option('--air <temperature>', 'of the air round the leaves, in the shade')
    .option('--humidity <share>', 'relative humidity of the same air, such as 70%')
    .option('--leaf <temperature>', 'of the leaves, where it was measured')
    .option('--leaf-offset <difference>', 'or by how much they differ from the air, such as -2K')
    .option('--wet-bulb <temperature>', 'in place of --humidity: a thermometer in a wet sock')
    .addOption(
      new Option(
        '--bulb-in <air>',
        'how the air goes past the wet bulb: fan, where not said',
      ).choices(WET_BULB_AIR),
    )
    .option('--altitude <distance>', 'with --wet-bulb: height above the sea, such as 1200m')
    .action(
      act(OPTIONS, async (context, options) => {
        const result = asKnown(airResult(options));
        const { style, units } = context;
        const sentences = airSentences(result, units).map((text) => wrap(text, style.width));
        return { result, text: [facts(airFacts(result, units), style), ...sentences].join('\n') };
      }),
    );
}
