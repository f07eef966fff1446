/** `light`: the light of a day, what a lux meter says of it, and how high a lamp hangs. */
import { type Command, Option } from 'commander';
import { CROP_STAGES } from '../../shared/crops/library/crop';
import {
  hoursForSum,
  LAMP_NAMES,
  LAMPS,
  type LampName,
  LIGHT_LIMITS,
  lightSumMol,
  luxOfPpfd,
  ppfdForSum,
  ppfdOfLux,
} from '../../shared/physics/light';
import type { Verdict } from '../../shared/physics/verdict';
import { crop as cropNamed } from '../arguments/crop';
import { oneOf, typedText } from '../arguments/options';
import { lightSum, ppfd } from '../arguments/ppfd';
import { within } from '../arguments/within';
import type { Act, Context } from '../context';
import { asKnown, roughly } from '../digits/known';
import { refused, usage } from '../failure';
import { judgedLight, type LightWanted, lightWanted } from '../light/wanted';
import { facts, wrap } from '../terminal/output';
import { lightFacts, lightSentences } from '../words/light';
import { registerHeight } from './light-height';

const EXAMPLE = 'For example: trayward light dli --ppfd 200umol --hours 16h';
const TWO_OF_THREE =
  'Give two of the three: the light (--ppfd, or --lux with --lamp), --hours, and the sum of the day (--dli, or --crop).';

const LUX = within(
  'illuminance',
  1,
  LIGHT_LIMITS.lightMostLux,
  'Full sun is 108000 lux; snow and the edges of clouds add to it.',
  EXAMPLE,
);
const HOURS = within('duration', 60, LIGHT_LIMITS.hoursMost * 3600, 'A day has 24 h.', EXAMPLE);

/** Less is dark: the moon has a hundredth of it. */
const PPFD_LEAST_UMOL = 0.1;

const OPTIONS = {
  ppfd: ppfd(PPFD_LEAST_UMOL, EXAMPLE),
  lux: LUX,
  lamp: oneOf(LAMP_NAMES),
  hours: HOURS,
  dli: lightSum(EXAMPLE),
  crop: cropNamed,
  stage: typedText,
};

/** What the light is, as far as it was told: what it is at least and at most goes with it. */
interface Light {
  readonly ppfdUmol: number;
  readonly leastUmol: number;
  readonly mostUmol: number;
}

const exactly = (ppfdUmol: number): Light => ({
  ppfdUmol,
  leastUmol: ppfdUmol,
  mostUmol: ppfdUmol,
});

/** The light told by --ppfd, or by --lux and --lamp; null where neither was given. */
function toldLight(umol: number | null, lux: number | null, lamp: LampName | null): Light | null {
  if (umol !== null && lux !== null) throw usage('Give --ppfd or --lux, not both.', EXAMPLE);
  if (umol !== null) return exactly(umol);
  if (lux === null) return null;
  if (lamp !== null) return ppfdOfLux(lux, LAMPS[lamp]);
  throw usage(
    'A lux meter sees as an eye does, so it must be known what shines: --lamp is missing.',
    `Lamps are: ${LAMP_NAMES.join(', ')}. Under red and blue diodes a lux meter tells nothing: borrow a quantum meter.`,
  );
}

/** The value, or a refusal with the sentence of the calculation. */
function orRefuse<T>(verdict: Verdict<T>): T {
  if (verdict.ok) return verdict.value;
  throw refused(
    'no-such-light',
    verdict.why,
    'Change one of --ppfd, --hours and --dli, or take another lamp, and ask again.',
  );
}

/** Light and hours, whichever two of the three were told. */
function lightAndHours(
  told: Light | null,
  hours: number | null,
  sumMol: number | null,
): { light: Light; hours: number } {
  if (told !== null && hours !== null) return { light: told, hours };
  if (sumMol === null) throw usage('That is not enough to go by.', `${TWO_OF_THREE} ${EXAMPLE}`);
  if (told !== null) return { light: told, hours: orRefuse(hoursForSum(sumMol, told.ppfdUmol)) };
  if (hours !== null) return { light: exactly(orRefuse(ppfdForSum(sumMol, hours))), hours };
  throw usage('That is not enough to go by.', `${TWO_OF_THREE} ${EXAMPLE}`);
}

function dliResult(light: Light, hours: number, lamp: LampName | null, wanted: LightWanted | null) {
  const leastMol = lightSumMol(light.leastUmol, hours);
  const mostMol = lightSumMol(light.mostUmol, hours);
  const known = light.leastUmol === light.mostUmol ? (value: number) => value : roughly;
  return {
    ppfdUmol: known(light.ppfdUmol),
    leastUmol: known(light.leastUmol),
    mostUmol: known(light.mostUmol),
    hours,
    sumMolM2D: known(lightSumMol(light.ppfdUmol, hours)),
    leastMolM2D: known(leastMol),
    mostMolM2D: known(mostMol),
    lamp: lamp === null ? null : { name: lamp, lux: luxOfPpfd(light.ppfdUmol, LAMPS[lamp]) },
    wanted: wanted === null ? null : { ...wanted, judged: judgedLight(leastMol, mostMol, wanted) },
  };
}
export type DliResult = ReturnType<typeof dliResult>;

function dliText(result: DliResult, { style, units }: Context): string {
  const sentences = lightSentences(result).map((text) => wrap(text, style.width));
  return [facts(lightFacts(result, units), style), ...sentences].join('\n');
}

/** Gives its noun verbs. */
export function register(noun: Command, act: Act): void {
  noun
    .command('dli')
    .description('light, hours and the sum of a day (DLI): any two give the third')
    .option('--ppfd <light>', 'steady light at the leaves, by a quantum meter, such as 200umol')
    .option('--lux <light>', 'or by a lux meter, such as 10000lux or 900fc, with --lamp')
    .addOption(
      new Option(
        '--lamp <lamp>',
        'what shines: for --lux, and to say what a lux meter would show',
      ).choices(LAMP_NAMES),
    )
    .option('--hours <time>', 'how long it shines each day, such as 16h')
    .option('--dli <sum>', 'light wanted in a day, such as 12mol')
    .option('--crop <crop>', 'what this crop wants: told, and aimed at where --dli is not given')
    .addOption(
      new Option('--stage <stage>', 'of the crop; the first that wants light otherwise').choices(
        CROP_STAGES,
      ),
    )
    .action(
      act(OPTIONS, async (context, options) => {
        const { lamp, dli, crop, stage } = options;
        if (stage !== null && crop === null) throw usage('--stage needs --crop.', EXAMPLE);
        const hours = options.hours === null ? null : options.hours / 3600;
        const told = toldLight(options.ppfd, options.lux, lamp);
        if (told !== null && hours !== null && dli !== null) {
          throw usage('All three are given: there is nothing to work out.', TWO_OF_THREE);
        }
        const wanted = crop === null ? null : lightWanted(crop, stage);
        const found = lightAndHours(told, hours, dli ?? wanted?.lowMolM2D ?? null);
        const result = asKnown(dliResult(found.light, found.hours, lamp, wanted));
        return { result, text: dliText(result, context) };
      }),
    );
  registerHeight(noun, act);
}
