/** `probe check|calibrate|curve`: what the probes read, their offset against ice or a thermometer, and which NTC each is. */
import type { Command } from 'commander';
import { ofProbes, PROBE_NAMES, PROBES } from '../../shared/board/probes';
import { formatQuantity } from '../../shared/units';
import { flagOf, given, quantity } from '../arguments/options';
import { PROBE_CALIBRATION_LIMITS as LIMITS } from '../calibration/limits';
import { assessProbe, checkReference } from '../calibration/probe';
import { findingsOf, must } from '../calibration/refusal';
import { differenceText } from '../calibration/words';
import type { Act } from '../context';
import { usage } from '../failure';
import { facts, wrap } from '../terminal/output';
import { capitalised } from '../words/capitalised';
import { curveText, PROBE_WORDS } from '../words/probe';
import { registerCurve } from './probe-curve';

function registerCheck(noun: Command, act: Act): void {
  noun
    .command('check')
    .description('what each probe reads now')
    .action(
      act({}, async (context) => {
        const read = await (await context.client()).call('probe.read', {});
        const show = (celsius: number | null) =>
          formatQuantity('temperature', celsius ?? Number.NaN, context.units);
        const code = (value: number | null): string => value?.toFixed(1) ?? '-';
        const offset = (offsetK: number | undefined) =>
          offsetK === undefined
            ? 'not calibrated'
            : `offset ${differenceText(offsetK, context.units)}`;
        const text = facts(
          PROBE_NAMES.map((name) => {
            const fields = PROBES[name];
            const offsetK = read[fields.calibration]?.offsetK;
            const curve = read[fields.curve];
            const kind = curve === 'reference' ? '' : `, by ${curveText(curve)}`;
            return {
              label: capitalised(PROBE_WORDS[name].place),
              value: show(read[fields.celsius]),
              note: `${read[fields.state]}, code ${code(read[fields.code])}, ${offset(offsetK)}${kind}`,
            };
          }),
          context.style,
        );
        return { result: read, text };
      }),
    );
}

/** The root-zone probe is meant unless another one is named. */
const OTHERS = PROBE_NAMES.filter((name) => name !== 'rootZone');
const { rootZone: _, ...OTHER_FLAGS } = ofProbes(() => given);
const CALIBRATE = { ice: given, reads: quantity('temperature'), ...OTHER_FLAGS };

function registerCalibrate(noun: Command, act: Act): void {
  const command = noun
    .command('calibrate')
    .description('make a probe agree with melting ice or a good thermometer')
    .option('--ice', 'the probe is in stirred, crushed ice and water: 0 C')
    .option(
      '--reads <temperature>',
      'what a good thermometer beside the probe reads, such as 24.6C',
    )
    .action(
      act(CALIBRATE, async (context, { ice, reads, ...asked }) => {
        const name = OTHERS.find((other) => asked[other]) ?? 'rootZone';
        const probe = PROBES[name];
        const referenceC = ice ? LIMITS.iceC : reads;
        if (referenceC === null) {
          throw usage('What is the probe compared with?', 'Give --ice, or --reads 24.6C.');
        }
        must(checkReference(referenceC, context.units));
        const client = await context.client();
        const readings: number[] = [];
        const progress = await context.progress('Reading the probe', LIMITS.readings);
        for (let i = 0; i < LIMITS.readings; i++) {
          const read = await client.call('probe.read', {});
          const celsius = read[probe.celsius] ?? Number.NaN;
          readings.push(celsius - (read[probe.calibration]?.offsetK ?? 0));
          progress.update(i + 1);
          await context.world.sleep(LIMITS.everyMs);
        }
        progress.stop();
        const findings = findingsOf(assessProbe(readings, referenceC, context.units));
        const { offsetK } = findings;
        await client.call('probe.calibrate', { channel: probe.channel, offsetK });
        const show = (celsius: number): string =>
          formatQuantity('temperature', celsius, context.units);
        const text = `The ${PROBE_WORDS[name].probe} read ${show(findings.readC)} at ${show(referenceC)}. An offset of ${differenceText(offsetK, context.units)} is in use now.`;
        return { result: findings, text: wrap(text, context.style.width) };
      }),
    );
  for (const name of OTHERS) {
    command.option(flagOf(name), `the ${PROBE_WORDS[name].probe} instead of the root-zone probe`);
  }
}

export function register(noun: Command, act: Act): void {
  registerCheck(noun, act);
  registerCalibrate(noun, act);
  registerCurve(noun, act);
}
