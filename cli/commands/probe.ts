/** `probe check|calibrate`: what the probes read, and their offset against ice or a thermometer. */
import type { Command } from 'commander';
import { PROBE_CHANNEL } from '../../shared/board/map';
import { formatQuantity } from '../../shared/units';
import { given, quantity } from '../arguments/options';
import { PROBE_CALIBRATION_LIMITS as LIMITS } from '../calibration/limits';
import { assessProbe, checkReference } from '../calibration/probe';
import { findingsOf, must } from '../calibration/refusal';
import { differenceText } from '../calibration/words';
import type { Act } from '../context';
import { usage } from '../failure';
import { facts, wrap } from '../terminal/output';

function registerCheck(noun: Command, act: Act): void {
  noun
    .command('check')
    .description('what both probes read now')
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
          [
            {
              label: 'Root zone',
              value: show(read.rootZoneC),
              note: `${read.probe}, code ${code(read.rootZoneCode)}, ${offset(read.calibration?.offsetK)}`,
            },
            {
              label: 'Mat',
              value: show(read.matC),
              note: `${read.matProbe}, code ${code(read.matCode)}, ${offset(read.matCalibration?.offsetK)}`,
            },
          ],
          context.style,
        );
        return { result: read, text };
      }),
    );
}

const CALIBRATE = { ice: given, reads: quantity('temperature'), mat: given };

function registerCalibrate(noun: Command, act: Act): void {
  noun
    .command('calibrate')
    .description('make a probe agree with melting ice or a good thermometer')
    .option('--ice', 'the probe is in stirred, crushed ice and water: 0 C')
    .option(
      '--reads <temperature>',
      'what a good thermometer beside the probe reads, such as 24.6C',
    )
    .option('--mat', 'the mat probe instead of the root-zone probe')
    .action(
      act(CALIBRATE, async (context, { ice, reads, mat }) => {
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
          const celsius = (mat ? read.matC : read.rootZoneC) ?? Number.NaN;
          const inUse = mat ? read.matCalibration : read.calibration;
          readings.push(celsius - (inUse?.offsetK ?? 0));
          progress.update(i + 1);
          await context.world.sleep(LIMITS.everyMs);
        }
        progress.stop();
        const findings = findingsOf(assessProbe(readings, referenceC, context.units));
        const channel = mat ? PROBE_CHANNEL.mat : PROBE_CHANNEL.rootZone;
        await client.call('probe.calibrate', { channel, offsetK: findings.offsetK });
        const show = (celsius: number): string =>
          formatQuantity('temperature', celsius, context.units);
        const text = `The ${mat ? 'mat' : 'root-zone'} probe read ${show(findings.readC)} at ${show(referenceC)}. An offset of ${differenceText(findings.offsetK, context.units)} is in use now.`;
        return { result: findings, text: wrap(text, context.style.width) };
      }),
    );
}

export function register(noun: Command, act: Act): void {
  registerCheck(noun, act);
  registerCalibrate(noun, act);
}
