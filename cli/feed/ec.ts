/** `feed ec`: one strength as every meter shows it, brought to 25 C; and a meter tried in its bottle. */
import type { Command } from 'commander';
import {
  type MeterState,
  meterInBottle,
  STANDARD_BOTTLES_MS_CM,
  standardAt,
  standardRangeC,
  UNKNOWN_BOTTLE,
} from '../../shared/physics/ec';
import { PUREST_MS_CM } from '../../shared/physics/feed';
import { formatQuantity, PPM_SCALES } from '../../shared/units';
import { type Reader, typedText } from '../arguments/options';
import { within } from '../arguments/within';
import type { Act, Answer, Context } from '../context';
import { asKnown } from '../digits/known';
import { usage } from '../failure';
import { facts, wrap } from '../terminal/output';
import { feedTemperature, presentMsCm } from './mix';
import { shownEc } from './strength';

const EXAMPLE = 'For example: trayward feed ec 1.12mS/cm --at 18.3C, or trayward feed ec 600ppm500';
const BOTTLE_EXAMPLE = 'For example: trayward feed ec 1.28mS/cm --bottle 1413uS/cm --at 20C';
/** A little beyond the weakest and the strongest: labels round. */
const BOTTLE_LEAST_MS_CM = 0.08;
const BOTTLE_MOST_MS_CM = 13;
const OPTIONS = {
  /** What it may be depends on what it was read in: `atReader`. */
  at: typedText,
  bottle: within(
    'ec',
    BOTTLE_LEAST_MS_CM,
    BOTTLE_MOST_MS_CM,
    `Known are ${STANDARD_BOTTLES_MS_CM.join(', ')} mS/cm.`,
    BOTTLE_EXAMPLE,
  ),
};

/** Where feed, or a bottle whose curve is known so far, may have been read. */
const atReader = (bottleMsCm: number | null): Reader<number | null> => {
  if (bottleMsCm === null) return feedTemperature(EXAMPLE);
  const known = standardRangeC(bottleMsCm);
  if (known === null) {
    throw usage(UNKNOWN_BOTTLE, 'Read the label: it names its EC at 25 °C, such as 1413 uS/cm.');
  }
  return within(
    'temperature',
    known.low,
    known.high,
    'This bottle’s curve is known in between. Let it come to the room.',
    BOTTLE_EXAMPLE,
  );
};

/** A reading in each way that meters have. */
function scalesAnswer(context: Context, readMsCm: number, atC: number | null): Answer {
  const { units, style } = context;
  const ecMsCm = presentMsCm(readMsCm, atC);
  const [ppm500, ppm640, ppm700] = PPM_SCALES.map((scale) => ecMsCm * scale);
  const result = asKnown({ readMsCm, atC, ecMsCm, ppm500, ppm640, ppm700 });
  // A reading brought to 25 C is good to some percent; one that is only told anew is what it was.
  const toldMsCm = atC === null ? result.readMsCm : result.ecMsCm;
  const rows = [
    { label: atC === null ? 'EC' : 'EC at 25 °C', value: formatQuantity('ec', ecMsCm, units) },
    { label: '', value: `${Number((toldMsCm * 1000).toPrecision(4))} uS/cm` },
    { label: '', value: `${result.ppm500} ppm500` },
    { label: '', value: `${result.ppm640} ppm640` },
    { label: '', value: `${result.ppm700} ppm700` },
  ];
  const pure =
    readMsCm < PUREST_MS_CM ? ' Purer than rain: if a meter showed that, was it mS/cm?' : '';
  const how =
    atC === null
      ? 'One strength, as meters show it. The number of a ppm scale is by what it multiplies mS/cm.'
      : `Brought from ${formatQuantity('temperature', atC, units)} to 25 °C by ISO 7888, for natural water; right for dilute feed within some 2 %. A meter that compensates by itself has done so already: then leave --at out.`;
  return {
    result,
    text: `${facts(rows, style)}\n${wrap(how + pure, style.width)}`,
  };
}

const STATE_WORDS: Readonly<Record<MeterState, string>> = {
  good: 'That is as good as meters and bottles are.',
  calibrate:
    'Calibrate the meter in this bottle as its manual says: rinse the cell, no bubbles, let it come to the temperature.',
  mend: 'That is no drift: look for another bottle, a wrong unit, a stale or dirtied standard, or a cell that wants cleaning.',
};

/** How far it is out, to a tenth of a per cent. */
function meterText({ errorShare, state }: ReturnType<typeof meterInBottle>): string {
  const percent = Math.abs(errorShare * 100).toFixed(1);
  const out = errorShare === 0 ? 'right' : `${percent} % ${errorShare < 0 ? 'low' : 'high'}`;
  return `Yours is ${out}. ${STATE_WORDS[state]}`;
}

/** A meter in its standard. */
function bottleAnswer(
  context: Context,
  readMsCm: number | null,
  bottleMsCm: number,
  atC: number,
): Answer {
  const { units, style } = context;
  const known = standardAt(bottleMsCm, atC);
  if (!known.ok) throw usage(known.why, BOTTLE_EXAMPLE);
  const meter = readMsCm === null ? null : meterInBottle(readMsCm, known.value);
  const result = asKnown({ bottleMsCm, atC, trueMsCm: known.value, readMsCm, meter });
  const { trueMsCm } = result;
  // As labels print it.
  const label =
    trueMsCm < 1 ? `${Number((trueMsCm * 1000).toPrecision(4))} uS/cm` : `${trueMsCm} mS/cm`;
  const shown = result.meter === null ? '' : ` ${meterText(result.meter)}`;
  const text = `At ${formatQuantity('temperature', atC, units)} this bottle has ${label}: a meter that does not compensate should show that.${shown} A meter that compensates should show what the label says, within 2 %. The bottle is potassium chloride, and has a curve of its own: what brings feed to 25 °C is not for it.`;
  return {
    result,
    text: wrap(text, style.width),
  };
}

export function addEc(noun: Command, act: Act): void {
  noun
    .command('ec')
    .description('EC and ppm of every scale; a reading brought to 25 °C; a meter in its bottle')
    .argument('[reading]', 'such as 1.2mS/cm, 1200uS/cm or 600ppm500')
    .option('--at <temperature>', 'where it was read, by a meter that does not compensate')
    .option('--bottle <ec>', 'the standard it was read in: 84, 500 or 1413 uS/cm, 12.88 mS/cm')
    .action(
      act(OPTIONS, async (context, { at, bottle }, [typed]) => {
        const reading = shownEc(EXAMPLE)(typed, 'The reading', context.units);
        const atC = at === null ? null : atReader(bottle)(at, '--at', context.units);
        if (bottle !== null) {
          if (atC !== null) return bottleAnswer(context, reading, bottle, atC);
          throw usage('--at is missing: a standard changes with its temperature.', BOTTLE_EXAMPLE);
        }
        if (reading !== null) return scalesAnswer(context, reading, atC);
        throw usage(
          'The reading is missing: what does the meter show, and in which unit?',
          EXAMPLE,
        );
      }),
    );
}
