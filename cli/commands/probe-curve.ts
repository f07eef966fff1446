/** `probe curve`: which NTC a probe is, where it is not the reference one. */
import type { Command } from 'commander';
import {
  ofProbes,
  PROBE_NAMES,
  PROBES,
  type ProbeName,
  probeFields,
} from '../../shared/board/probes';
import type { CurveInForce } from '../../shared/link/methods';
import { REFERENCE_PROBE, REFERENCE_PROBE_B_K, type TableRow } from '../../shared/physics/ntc';
import {
  isSameCurve,
  type ProbeCurve,
  probeCurveOf,
  readByC,
} from '../../shared/physics/probe-curve';
import { formatQuantity } from '../../shared/units';
import { flagOf, given, number, type OptionsOf, quantity, type Reader } from '../arguments/options';
import { plainNumber, quantityOf } from '../arguments/quantity';
import { curveByB, curveByRows, type GivenB, leftOpenK } from '../calibration/probe-curve';
import { findingsOf } from '../calibration/refusal';
import { differenceText } from '../calibration/words';
import type { Act, Context } from '../context';
import { refused, usage } from '../failure';
import type { Client } from '../link/client';
import { type Fact, facts, wrap } from '../terminal/output';
import { capitalised } from '../words/capitalised';
import { curveText, PROBE_WORDS } from '../words/probe';

/** The root-zone probe is meant unless another one is named. */
const OTHERS = PROBE_NAMES.filter((name) => name !== 'rootZone');
const { rootZone: _, ...OTHER_FLAGS } = ofProbes(() => given);

const POINTS_NEXT = 'Give three rows of its table: --points "0C=27.28k, 25C=10k, 50C=4.16k".';
const PAIR_NEXT = 'Give the temperatures that stand beside B in the data sheet: --b-between 25/85.';
/** Makers tell B between temperatures of this range, C. */
const PAIR_RANGE = { fromC: -40, toC: 150 } as const;

/** `0C=27.28k, 25C=10k, 50C=4.16k` as rows of a table. */
const tableRows: Reader<readonly [TableRow, TableRow, TableRow] | null> = (typed) => {
  if (typeof typed !== 'string') return null;
  const [one, two, three, ...more] = typed.split(',').map((text): TableRow => {
    const [temperature = '', resistance, ...rest] = text.split('=');
    if (resistance === undefined || rest.length > 0)
      throw usage(`"${text.trim()}" is no temperature with its resistance.`, POINTS_NEXT);
    return {
      tempC: quantityOf('temperature', temperature, POINTS_NEXT),
      ohm: quantityOf('resistance', resistance, POINTS_NEXT),
    };
  });
  if (one === undefined || two === undefined || three === undefined || more.length > 0)
    throw usage('Three points make a curve, no fewer and no more.', POINTS_NEXT);
  return [one, two, three];
};

/** `25/85` as two temperatures, C. */
const temperaturePair: Reader<readonly [number, number]> = (typed) => {
  const [low = '', high = '', ...more] = String(typed).split('/');
  const [lowC, highC] = [plainNumber(low.trim()), plainNumber(high.trim())];
  const { fromC, toC } = PAIR_RANGE;
  if (more.length === 0 && lowC >= fromC && lowC < highC && highC <= toC) return [lowC, highC];
  throw usage(`${typed} are no two temperatures between which B holds, in C.`, PAIR_NEXT);
};

const CURVE = {
  r25: quantity('resistance', 'Give it with its unit, such as --r25 10k.'),
  b: number(1, 100_000, 'kelvin'),
  bBetween: temperaturePair,
  points: tableRows,
  reference: given,
  yes: given,
  ...OTHER_FLAGS,
};
type Asked = OptionsOf<typeof CURVE>;

/** What was told of the NTC: a curve, null for the reference probe; undefined where nothing was. */
function toldCurve(
  { r25, b, bBetween, points, reference }: Asked,
  { units }: Context,
): { readonly curve: ProbeCurve | null; readonly oneB: GivenB | null } | undefined {
  const ways = [r25 !== null || b !== null, points !== null, reference].filter(Boolean).length;
  if (ways > 1) {
    throw usage(
      'A probe is told in one way.',
      'Give --r25 with --b, or --points, or --reference alone.',
    );
  }
  if (reference) return { curve: null, oneB: null };
  if (points !== null) return { curve: findingsOf(curveByRows(points, units)), oneB: null };
  if (r25 === null && b === null) return undefined;
  if (r25 === null || b === null) {
    throw usage(
      'A probe is told by its resistance at 25 °C and its B together.',
      'Give both: --r25 10k --b 3435.',
    );
  }
  const oneB = { r25Ohm: r25, bK: b, betweenC: bBetween };
  return { curve: findingsOf(curveByB(oneB, units)), oneB };
}

/** A curve with what a meter reads on its probe, unplugged. */
function shownCurve(curve: CurveInForce): Pick<Fact, 'value' | 'note'> {
  if (curve === 'lost') return { value: curveText(curve) };
  const points = curve === 'reference' ? probeCurveOf(REFERENCE_PROBE) : curve;
  const [at0, at25, at50] = [points.at0Ohm, points.at25Ohm, points.at50Ohm].map((ohm) =>
    formatQuantity('resistance', ohm, 'metric'),
  );
  return {
    value:
      curve === 'reference'
        ? `the reference probe: ${at25} at 25 °C, B25/85 ${REFERENCE_PROBE_B_K} K`
        : curveText(curve),
    note: `unplugged, a meter reads ${at0} at 0 °C, ${at25} at 25 °C, ${at50} at 50 °C`,
  };
}

async function show(context: Context) {
  const read = await (await context.client()).call('probe.read', {});
  const rows = PROBE_NAMES.map((name) => ({
    label: capitalised(PROBE_WORDS[name].place),
    ...shownCurve(read[PROBES[name].curve]),
  }));
  return {
    result: probeFields('curve', (name) => read[PROBES[name].curve]),
    text: facts(rows, context.style),
  };
}

/** Asks before a curve is told: the limiter goes by it, and a wrong one is not felt by the board. */
async function confirm(
  context: Context,
  client: Client,
  name: ProbeName,
  curve: ProbeCurve | null,
): Promise<void> {
  const read = await client.call('probe.read', {});
  if (isSameCurve(read[PROBES[name].curve], curve)) return;
  const show = (celsius: number | null) =>
    Number.isFinite(celsius ?? Number.NaN)
      ? formatQuantity('temperature', celsius ?? Number.NaN, context.units)
      : 'nothing';
  const { limiter, celsius, code } = PROBES[name];
  const byItC = readByC(curve, read[code] ?? Number.NaN);
  const others = PROBE_NAMES.filter((other) => other !== name)
    .map((other) => `the ${PROBE_WORDS[other].probe} reads ${show(read[PROBES[other].celsius])}`)
    .join(', ');
  const question = `The ${PROBE_WORDS[name].probe} reads ${show(read[celsius])} now, and as ${isText(curve)} it would read ${show(byItC)}; ${others}.${limiterText(limiter, show)} Is it the NTC of the data sheet?`;
  if (await context.ask.confirm(question, '--yes')) return;
  throw refused(
    'not-confirmed',
    `The ${PROBE_WORDS[name].probe} is read as before.`,
    'See the data sheet of the probe; `trayward probe check` shows what both read.',
  );
}

/** What hangs on the curve of a probe that the limiter looks at. */
const limiterText = (
  limiter: { readonly hotC: number } | null,
  show: (celsius: number) => string,
): string =>
  limiter === null
    ? ''
    : ` The limiter of ${show(limiter.hotC)} moves with it: with a wrong curve only the thermal link in the mat's lead keeps the crop and the mat from too much heat.`;

const isText = (curve: ProbeCurve | null): string => curveText(curve ?? 'reference');

export function registerCurve(noun: Command, act: Act): void {
  const command = noun
    .command('curve')
    .description(
      'which NTC a probe is, where it is not the reference one; without options: shows it',
    )
    .option('--r25 <resistance>', 'its resistance at 25 C, such as 10k')
    .option('--b <K>', 'its B, such as 3435')
    .option('--b-between <temperatures>', 'between which that B holds, in C', '25/85')
    .option('--points <rows>', 'or three rows of its table: "0C=27.28k, 25C=10k, 50C=4.16k"')
    .option('--reference', `it is the reference probe again: 10k, B25/85 ${REFERENCE_PROBE_B_K}`)
    .option('--yes', 'do not ask')
    .action(
      act(CURVE, async (context, asked) => {
        const told = toldCurve(asked, context);
        if (told === undefined) return show(context);
        const name = OTHERS.find((other) => asked[other]) ?? 'rootZone';
        const { channel } = PROBES[name];
        const client = await context.client();
        if (!asked.yes) await confirm(context, client, name, told.curve);
        const { restarts } = await client.call('probe.curve', { channel, ...told.curve });
        const { probe } = PROBE_WORDS[name];
        const is = isText(told.curve);
        const text = restarts
          ? `The ${probe} is read as ${is} from now on. The controller starts again with that, mat and pump off, which takes a few seconds; the calibration of this probe is forgotten.${openText(told.oneB, context)} Then see that it reads what it should: \`trayward probe calibrate --ice\`, or beside a good thermometer.`
          : `The ${probe} is read as ${is} already. Nothing was changed.`;
        const result = { probe: name, curve: told.curve ?? 'reference', restarts };
        return { result, text: wrap(text, context.style.width) };
      }),
    );
  for (const name of OTHERS) {
    command.option(flagOf(name), `the ${PROBE_WORDS[name].probe} instead of the root-zone probe`);
  }
}

function openText(oneB: GivenB | null, { units }: Context): string {
  if (oneB === null) return '';
  const [low, high] = oneB.betweenC;
  return ` One B does not tell a whole curve: the reference probe, told by its B${low}/${high} alone, would read up to ${differenceText(leftOpenK(oneB), units)} off between 10 and 45 °C. Three rows of the maker's table (--points) are nearer.`;
}
