/** Trays at the moments the guard is tried at: just warmed up in the hold, or being watered. */
import type { BenchOptions } from '../../firmware/bench/bench';
import type { JournalEntry } from '../../shared/journal/kinds';
import type { Profile, Stage, Watering } from '../../shared/profile/profile';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { Grower, TEST_PROFILE } from './grower';

export type DoseEntry = Extract<JournalEntry, { kind: 'dose' }>;

export interface ProfileChanges {
  readonly profile?: Partial<Omit<Profile, 'stages'>>;
  readonly hold?: Partial<Stage>;
  readonly feed?: Partial<Omit<Stage, 'watering'>>;
  readonly watering?: Partial<Watering>;
}

/** Waters from 4 % dry-back on: a tray in a room gets there within a day or two. */
const EAGER: Partial<Watering> = { startShare: 0.04, stopShare: 0.02 };

/** The test profile with an eager watering, changed as told. */
export function profileWith(changes: ProfileChanges = {}): Profile {
  const [hold, feed] = TEST_PROFILE.stages;
  if (hold === undefined || feed?.watering == null) throw new Error('the test profile has changed');
  const watering = { ...feed.watering, ...EAGER, ...changes.watering };
  return {
    ...TEST_PROFILE,
    ...changes.profile,
    stages: [
      { ...hold, ...changes.hold },
      { ...feed, ...changes.feed, watering },
    ],
  };
}

/** Sown and warmed up, in the hold. */
export function sownTray(
  changes: ProfileChanges = {},
  options: Partial<BenchOptions> = {},
): Grower {
  const grower = new Grower(options);
  grower.commission(profileWith(changes));
  grower.bench.run(20 * HOUR_MS);
  return grower;
}

/** Emerged, lid off: dries towards its first dose. */
export function wateredTray(
  changes: ProfileChanges = {},
  options: Partial<BenchOptions> = {},
): Grower {
  const grower = sownTray(changes, options);
  grower.call('mark.set', { mark: 'emerged' });
  grower.bench.hand.setLid('off');
  return grower;
}

/** That a welded pump has flooded, in the middle of its running off. */
export function floodedTray(): Grower {
  const grower = wateredTray();
  const { bench } = grower;
  bench.fault('pump-stuck-on', true, 40 * MINUTE_MS);
  bench.run(41 * MINUTE_MS);
  if (bench.rig.plant.wool.channelG < 300) throw new Error('the flood has run off');
  return grower;
}

/** Runs on to the moment the pump starts. */
export function runToDose(grower: Grower, limitMs = 4 * DAY_MS): void {
  const { bench } = grower;
  const dosing = () => bench.state().outputs.pump;
  if (!bench.runUntil(dosing, limitMs)) throw new Error('no dose came');
}

export function doses(grower: Grower): DoseEntry[] {
  return grower.journal().flatMap((entry) => (entry.kind === 'dose' ? [entry] : []));
}

/** What happened to an alarm, in order. */
export function changesOf(grower: Grower, alarm: string): string[] {
  return grower
    .journal()
    .flatMap((entry) => (entry.kind === 'alarm' && entry.alarm === alarm ? [entry.change] : []));
}

/** State of an alarm, `normal` when the board does not list it. */
export function stateOfAlarm(grower: Grower, alarm: string): string {
  return grower.status().alarms.find((report) => report.alarm === alarm)?.state ?? 'normal';
}
