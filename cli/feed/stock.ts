/** `feed stock`: how much of a salt an injector's tank takes. */
import type { Command } from 'commander';
import { stockGL } from '../../shared/physics/feed';
import { formatQuantity, ML_PER_GAL } from '../../shared/units';
import { needed, oneOf } from '../arguments/options';
import { waterVolume } from '../arguments/water';
import { numberWithin, within } from '../arguments/within';
import type { Act } from '../context';
import { refused } from '../failure';
import { wrap } from '../terminal/output';
import { STOCK_CAUTION } from './mix';
import { dilution } from './strength';

const EXAMPLE =
  'For example: trayward feed stock --want 100 --holds 15.5% --injector 1:100 --volume 5l';
/** Wanted of one element: twice what any plant is fed. */
const WANT_MAX_MG_L = 1_000;
/** Of the salts in use only calcium and ammonium nitrate dissolve more at 5 to 10 C (tables of solubility). */
const STOCK_MAX_G_L = 1_000;
/** From here on some salts come out again in a cold store: potassium nitrate at 20 C. */
const COLD_G_L = 200;

/** What a bag tells, and how much of it is the element: molar masses. */
const BAG_SHARES = { element: 1, p2o5: 0.4364, k2o: 0.8301 } as const;
const BAG_WORDS = ['element', 'p2o5', 'k2o'] as const;

const OPTIONS = {
  want: needed(
    numberWithin(1, WANT_MAX_MG_L, 'No plant is fed more of one element.', EXAMPLE, 'mg/l'),
    EXAMPLE,
  ),
  holds: needed(
    within(
      'share',
      0.001,
      1,
      'A fertiliser that feeds has some, and cannot be more than all.',
      EXAMPLE,
    ),
    EXAMPLE,
  ),
  bag: needed(oneOf(BAG_WORDS), '--bag is element, p2o5 or k2o.'),
  injector: needed(dilution(EXAMPLE), EXAMPLE),
  volume: needed(waterVolume(EXAMPLE), EXAMPLE),
};

export function addStock(noun: Command, act: Act): void {
  noun
    .command('stock')
    .description("how much fertiliser an injector's stock tank takes")
    .option('--want <mg/l>', 'what the feed shall have, mg/l (ppm), such as nitrogen 100')
    .option('--holds <share>', 'how much of that the fertiliser is, by its bag: 15.5%')
    .option('--bag <word>', 'what the bag tells the share of: element, p2o5 or k2o', 'element')
    .option('--injector <1:n>', 'how the injector is set', '1:100')
    .option('--volume <volume>', 'what the tank holds', '1 l')
    .action(
      act(OPTIONS, async (context, options) => {
        const { want: wantMgL, injector: ratio, volume: volumeMl } = options;
        const share = options.holds * BAG_SHARES[options.bag];
        const gL = stockGL(wantMgL, share, ratio);
        if (gL > STOCK_MAX_G_L) {
          throw refused(
            'does-not-dissolve',
            `That is ${Math.round(gL)} g to a litre, and no stock dissolves more than ${STOCK_MAX_G_L}.`,
            'Set the injector to a stronger ratio, such as 1:50, or want less.',
          );
        }
        context.caution(STOCK_CAUTION);
        const { units, style } = context;
        const totalG = (gL * volumeMl) / 1000;
        const mass = (g: number): string => formatQuantity('mass', g, units);
        const eachName = units === 'us' ? 'gallon' : 'litre';
        const eachG = units === 'us' ? (gL * ML_PER_GAL) / 1000 : gL;
        const cold =
          gL > COLD_G_L
            ? ' So much may not dissolve, or come out again in a cold store: look at the bottom of the tank.'
            : '';
        const text = `Weigh ${mass(totalG)} into the tank, and fill up with water to ${formatQuantity('volume', volumeMl, units)}: ${mass(eachG)} to the ${eachName}. At 1:${ratio} the feed then has ${wantMgL} mg/l of it, besides what the water has.${cold} Calcium never goes into a tank with sulfates or phosphates: they need one each. Measure the EC behind the injector.`;
        return { result: { gPerL: gL, totalG }, text: wrap(text, style.width) };
      }),
    );
}
