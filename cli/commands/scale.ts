/** `scale zero|calibrate|check`: guided by what the scale itself sees; nobody has to press Enter. */
import type { Command } from 'commander';
import type { ScaleCalibration } from '../../shared/link/methods';
import { formatQuantity } from '../../shared/units';
import { MINUTE_MS } from '../../shared/units/time';
import { given, type OptionsOf, quantity, type Reader, whole } from '../arguments/options';
import { SCALE_CALIBRATION_LIMITS as LIMITS, SPAN_MOVED_SHARE } from '../calibration/limits';
import { measureScale, scaleInUse } from '../calibration/measure';
import { signed } from '../calibration/pump';
import { findingsOf, must } from '../calibration/refusal';
import {
  assessScale,
  assumedCountsPerG,
  checkMeasurement,
  checkSetup,
  type ScaleSetup,
  toCalibration,
} from '../calibration/scale';
import { fineText, weightText } from '../calibration/words';
import type { Act, Context, Units } from '../context';
import { refused, usage } from '../failure';
import type { Client } from '../link/client';
import { localTime } from '../terminal/local-time';
import { type Fact, facts, table } from '../terminal/output';
import { scaleText } from '../words/scale';

const POLL_MS = 500;
/** How long a person may take to put a weight on or off. */
const UNCHANGED_MAX_MS = 600_000;
/** After a change, for the hand to leave and the weight to stop swinging. */
const SETTLE_MS = 20_000;
/** Share of the known weight that counts as "on", and below which the scale counts as empty again. */
const ON_SHARE = 0.2;
const OFF_SHARE = 0.1;

/** Waits until `seen` says so of the newest code; the person is told `wish`. */
async function waitFor(
  context: Context,
  client: Client,
  wish: string,
  seen: (code: number) => boolean,
): Promise<void> {
  context.instruct(wish);
  for (let waitedMs = 0; waitedMs < UNCHANGED_MAX_MS; waitedMs += POLL_MS) {
    const { code } = await client.call('scale.read', {});
    if (code !== null && seen(code)) {
      context.say('Seen. Keep your hands off the bench now.');
      await context.world.sleep(SETTLE_MS);
      return;
    }
    await context.world.sleep(POLL_MS);
  }
  throw refused(
    'nobody-came',
    `For ${UNCHANGED_MAX_MS / MINUTE_MS} min nothing changed on the scale. ${wish}`,
    'Start again when the weight is at hand. Nothing was changed.',
  );
}

/** Numbers in the history that `--restore` may ask for; the board says how many it keeps. */
const RESTORE_MAX = 99;

/** The number after `--restore`: the calibration before the one in use when none is given. */
const restoreReader: Reader<number | null> = (typed, flag, units) =>
  typed === true ? 1 : whole(1, RESTORE_MAX)(typed, flag, units);

const CALIBRATE = {
  weight: quantity('mass'),
  cell: quantity('mass'),
  tray: quantity('mass'),
  tolerance: quantity('mass'),
  restore: restoreReader,
  yes: given,
};

function setupOf(options: OptionsOf<typeof CALIBRATE>, units: Units): ScaleSetup {
  const { weight: weightG, cell: cellG, tray: trayG, tolerance: toleranceG } = options;
  if (weightG === null || cellG === null) {
    throw usage(
      'The known weight and the rating of the load cell are needed.',
      'For example: trayward scale calibrate --weight 5kg --cell 10kg --tray 4.4kg',
    );
  }
  return {
    weightG,
    cellG,
    workingG: trayG ?? weightG,
    units,
    weightToleranceG: toleranceG ?? weightG * LIMITS.weightTolerance,
  };
}

/** The same cell gives the same span: another one asks first, for a weight may have been stated wrongly. */
async function confirmSpan(
  context: Context,
  client: Client,
  cellG: number,
  countsPerG: number,
): Promise<void> {
  const [last] = (await client.call('scale.history', {})).calibrations;
  if (last === undefined || last.cellG !== cellG) return;
  const movedShare = countsPerG / last.countsPerG - 1;
  if (Math.abs(movedShare) <= SPAN_MOVED_SHARE) return;
  const moved = `${signed(100 * movedShare)} %`;
  const question = `The span is ${moved} from the last one of this cell, as if the weight were another than stated. Use it all the same?`;
  if (await context.ask.confirm(question, '--yes')) return;
  throw refused(
    'span-moved',
    `The span would move by ${moved}. The old calibration stays.`,
    'Check the weight and its unit, then calibrate again.',
  );
}

async function calibrate(context: Context, setup: ScaleSetup, sure: boolean) {
  must(checkSetup(setup));
  const client = await context.client();
  const assumed = assumedCountsPerG(setup.cellG);
  context.instruct('Take everything off the scale: tray, lid and jug. Measuring the empty scale.');
  await context.world.sleep(SETTLE_MS);
  const empty = await measureScale(context, client, LIMITS.samples, 'Empty');
  must(checkMeasurement(empty, assumed, 'when empty', context.units));
  const loadCode = Math.abs(setup.weightG * assumed);
  const from = (code: number): number => Math.abs(code - empty.meanCode);
  const put = `Put the known weight (${weightText(setup.weightG, context.units)}) on the middle of the scale.`;
  await waitFor(context, client, put, (code) => from(code) > loadCode * ON_SHARE);
  const loaded = await measureScale(context, client, LIMITS.samples, 'Under the weight');
  await waitFor(
    context,
    client,
    'Take the weight off again.',
    (code) => from(code) < loadCode * OFF_SHARE,
  );
  const emptyAgain = await measureScale(context, client, LIMITS.samples, 'Empty again');
  const findings = findingsOf(assessScale(setup, { empty, loaded, emptyAgain }));
  if (!sure) await confirmSpan(context, client, setup.cellG, findings.countsPerG);
  const now = context.world.now();
  const calibration = toCalibration(setup, findings, now, emptyAgain.rootZoneC);
  await client.call('scale.calibrate', calibration);
  return findings;
}

async function restore(context: Context, index: number) {
  const calibration = await (await context.client()).call('scale.restore', { index });
  return {
    result: calibration,
    text: `The calibration with ${weightText(calibration.massG, context.units)} (${calibration.countsPerG.toFixed(2)} counts/g) is in use again.`,
  };
}

function registerCalibrate(noun: Command, act: Act): void {
  noun
    .command('calibrate')
    .description(
      'with a known weight: empty, weight on, weight off; nothing changes unless all is well',
    )
    .option('--weight <mass>', 'the known weight, such as 5kg')
    .option('--cell <mass>', 'rated capacity of the load cell, such as 10kg')
    .option('--tray <mass>', 'weight of the drained tray, for which the uncertainty is told')
    .option('--tolerance <mass>', 'how far the known weight may be off, such as 0.5g')
    .option('--yes', 'do not ask when the span is far from the last one')
    .option('--restore [number]', 'put an older calibration back (see `scale check --history`)')
    .action(
      act(CALIBRATE, async (context, options) => {
        if (options.restore !== null) return restore(context, options.restore);
        const found = await calibrate(context, setupOf(options, context.units), options.yes);
        const fine = (massG: number): string => fineText(massG, context.units);
        const list: Fact[] = [
          { label: 'Span', value: `${found.countsPerG.toFixed(3)} counts/g` },
          { label: 'Repeatability', value: fine(found.repeatabilityG) },
          { label: 'Drift', value: fine(found.driftG), note: 'within one measurement' },
          { label: 'Return to zero', value: fine(found.zeroReturnG) },
          {
            label: 'Uncertainty',
            value: fine(found.uncertaintyG),
            note: 'standard, at the working weight',
          },
        ];
        return { result: found, text: `The scale is calibrated.\n${facts(list, context.style)}` };
      }),
    );
}

function registerZero(noun: Command, act: Act): void {
  noun
    .command('zero')
    .description('the empty scale becomes zero; take everything off first')
    .action(
      act({}, async (context) => {
        const client = await context.client();
        const inUse = await scaleInUse(client, 'The scale was never calibrated.');
        const empty = await measureScale(context, client, LIMITS.samples, 'Empty');
        must(checkMeasurement(empty, inUse.countsPerG, 'when empty', context.units));
        const zeroed = await client.call('scale.zero', { zeroCode: empty.meanCode });
        return { result: zeroed, text: `Zero moved by ${fineText(zeroed.shiftG, context.units)}.` };
      }),
    );
}

function historyTable(calibrations: readonly ScaleCalibration[], context: Context): string {
  const rows = calibrations.map((one, i) => [
    i === 0 ? 'in use' : String(i),
    one.unixMs > 0 ? localTime(one.unixMs) : 'unknown',
    weightText(one.massG, context.units),
    one.countsPerG.toFixed(3),
    fineText(one.uncertaintyG, context.units),
  ]);
  const titles = ['number', 'when', 'weight', 'counts/g', 'uncertainty'];
  return table(
    titles.map((title) => ({ title })),
    rows,
    context.style,
  );
}

function registerCheck(noun: Command, act: Act): void {
  noun
    .command('check')
    .description('what the scale reads now; with --history, its calibrations')
    .option('--history', 'the calibrations the board keeps')
    .action(
      act({ history: given }, async (context, { history }) => {
        const client = await context.client();
        const { calibrations } = await client.call('scale.history', {});
        if (history) {
          const text =
            calibrations.length === 0 ? 'Never calibrated.' : historyTable(calibrations, context);
          return { result: { calibrations }, text };
        }
        const read = await client.call('scale.read', {});
        const weight = formatQuantity('mass', read.trayG ?? Number.NaN, context.units);
        const state = scaleText(read.state, read.uptimeMs, read.trayG);
        const note = `${state}, ${read.stable ? 'steady' : 'not steady'}, code ${read.code ?? '-'}`;
        return {
          result: read,
          text: facts([{ label: 'Scale', value: weight, note }], context.style),
        };
      }),
    );
}

export function register(noun: Command, act: Act): void {
  registerZero(noun, act);
  registerCalibrate(noun, act);
  registerCheck(noun, act);
}
