/** `pump prime|calibrate`: by the grower's hand, at the tray. */
import type { Command } from 'commander';
import type { PumpRun } from '../../shared/physics/pump';
import { USUAL_WATER_C } from '../../shared/physics/water';
import { formatQuantity } from '../../shared/units';
import { given, quantity } from '../arguments/options';
import { PUMP_CALIBRATION_LIMITS as LIMITS } from '../calibration/limits';
import { measureScale, scaleInUse } from '../calibration/measure';
import { assessPump, checkRun, signed } from '../calibration/pump';
import { PUMP_CAUTION, runPump } from '../calibration/pump-run';
import { findingsOf, must } from '../calibration/refusal';
import type { Act, Context } from '../context';
import { refused } from '../failure';
import type { Client } from '../link/client';
import { wrap } from '../terminal/output';

function secondsOf(value: number | null, fallback: number): number {
  const seconds = value ?? fallback;
  if (seconds >= LIMITS.runMinS && seconds <= LIMITS.runMaxS) return seconds;
  throw refused(
    'run-out-of-range',
    `A run of ${seconds} s is not possible by hand.`,
    `Choose ${LIMITS.runMinS} to ${LIMITS.runMaxS} s.`,
  );
}

const PRIME = { for: quantity('duration'), yes: given };

function registerPrime(noun: Command, act: Act): void {
  noun
    .command('prime')
    .description('run the pump until the tube is full')
    .option('--for <time>', 'how long, such as 10s')
    .option('--yes', 'do not ask')
    .action(
      act(PRIME, async (context, options) => {
        const seconds = secondsOf(options.for, LIMITS.runS);
        context.caution(PUMP_CAUTION);
        const forText = formatQuantity('duration', seconds, context.units);
        const question = `Is one end of the tube in the reservoir, and the other in a jug? The pump runs for ${forText}.`;
        if (!options.yes && !(await context.ask.confirm(question, '--yes'))) {
          throw refused('not-confirmed', 'The pump was not run.', 'Nothing changed.');
        }
        const ranMs = await runPump(context, await context.client(), seconds, 'prime');
        const text = `The pump ran ${(ranMs / 1000).toFixed(1)} s. Prime again until the water comes without bubbles; then, on a new tube: \`trayward pump calibrate\`.`;
        return { result: { ranMs }, text: wrap(text, context.style.width) };
      }),
    );
}

/** What stands on the scale now, as a code. Refused when the scale cannot tell. */
async function weigh(context: Context, client: Client): Promise<number> {
  const { done, meanCode } = await measureScale(context, client, LIMITS.samples, 'Weighing');
  if (done) return meanCode;
  throw refused(
    'scale-silent',
    'The scale does not answer, or is at the end of its range.',
    'Check its cable and what stands on it, then start again. The old pump calibration stays.',
  );
}

/** Runs the pump a few times onto the scale. Refuses at the first run that brings no water. */
async function weighRuns(
  context: Context,
  client: Client,
  seconds: number,
  countsPerG: number,
): Promise<PumpRun[]> {
  const runs: PumpRun[] = [];
  let before = await weigh(context, client);
  for (let i = 1; i <= LIMITS.runs; i++) {
    context.say(`Run ${i} of ${LIMITS.runs}: ${seconds} s.`);
    const ranMs = await runPump(context, client, seconds, 'calibrate');
    await context.world.sleep(LIMITS.settleS * 1000);
    const after = await weigh(context, client);
    const run = { ranS: ranMs / 1000, gainedG: (after - before) / countsPerG };
    must(checkRun(run, context.units));
    runs.push(run);
    before = after;
  }
  return runs;
}

const CALIBRATE = {
  run: quantity('duration'),
  water: quantity('temperature'),
  yes: given,
  evenIfWorse: given,
};

function registerCalibrate(noun: Command, act: Act): void {
  noun
    .command('calibrate')
    .description('weigh what the pump gives in a few runs, into the tray or a jug on the scale')
    .option('--run <time>', `length of a run, such as ${LIMITS.runS}s`)
    .option('--water <temperature>', `temperature of the water (${USUAL_WATER_C} C unless given)`)
    .option('--yes', 'do not ask')
    .option('--even-if-worse', 'keep it though the pump or tube has changed, or runs scatter more')
    .action(
      act(CALIBRATE, async (context, options) => {
        const seconds = secondsOf(options.run, LIMITS.runS);
        const waterC = options.water ?? USUAL_WATER_C;
        const client = await context.client();
        const { countsPerG } = await scaleInUse(
          client,
          'The pump is calibrated on the scale, and the scale is not calibrated yet.',
        );
        context.caution(PUMP_CAUTION);
        const ready = 'Is the tube primed and its end over the tray or a jug on the scale?';
        if (!options.yes && !(await context.ask.confirm(ready, '--yes'))) {
          throw refused('not-confirmed', 'The pump was not run.', 'Prime it, then start again.');
        }
        const previous = (await client.call('pump.state', {})).calibration;
        const runs = await weighRuns(context, client, seconds, countsPerG);
        const findings = findingsOf(assessPump(runs, waterC, previous, options.evenIfWorse));
        const { mlPerS, cvPercent, driftPercent, drift } = findings;
        await client.call('pump.calibrate', { mlPerS, cvPercent });
        const since =
          driftPercent === null
            ? 'the first calibration'
            : `${signed(driftPercent)} % against the last one${drift === 'ageing' ? ': the tube is ageing' : ''}`;
        const text = `The pump gives ${mlPerS.toFixed(3)} ml/s, runs scatter by ${cvPercent.toFixed(1)} % (${since}).`;
        const result = { ...findings, runs };
        return { result, text: wrap(text, context.style.width) };
      }),
    );
}

export function register(noun: Command, act: Act): void {
  registerPrime(noun, act);
  registerCalibrate(noun, act);
}
