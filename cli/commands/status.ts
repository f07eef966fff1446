/** `status`: how the tray stands now. */
import type { Command } from 'commander';
import { ADVICE } from '../../shared/alarms/advice';
import type { Status } from '../../shared/link/methods';
import { formatQuantity, NO_VALUE } from '../../shared/units';
import type { Act, Context } from '../context';
import { type Fact, facts } from '../output';

const percent = (share: number | null): string =>
  share === null ? NO_VALUE : `${(share * 100).toFixed(1)} %`;

function quantityIn(context: Context) {
  return (kind: 'temperature' | 'mass' | 'volume' | 'duration', value: number | null): string =>
    formatQuantity(kind, value ?? Number.NaN, context.units);
}

/** The status as labelled lines, in the grower's units. */
export function statusFacts(status: Status, context: Context): Fact[] {
  const { profile, stage, heat, water } = status;
  const show = quantityIn(context);
  const list: Fact[] = [{ label: 'Profile', value: profile?.title ?? 'none loaded' }];
  if (stage === null) list.push({ label: 'Stage', value: 'not sown' });
  else {
    const byTime = stage.leftS === null ? [] : [`${show('duration', stage.leftS)} left`];
    const byMark = stage.endsByMark === null ? [] : [`ends when marked ${stage.endsByMark}`];
    const note = [...byTime, ...byMark, `lid ${stage.lid}`].join(', ');
    const value = `${stage.name} (${stage.index + 1}), for ${show('duration', stage.runS)}`;
    list.push({ label: 'Stage', value, note });
  }
  const band = `band ${show('temperature', heat.lowC)} to ${show('temperature', heat.highC)}`;
  const mat =
    heat.heldBy === null ? `mat ${heat.on ? 'on' : 'off'}` : `mat held off: ${heat.heldBy}`;
  const rootZone = show('temperature', heat.rootZoneC);
  list.push({ label: 'Root zone', value: rootZone, note: `${band}, ${mat}` });
  list.push({ label: 'Tray', value: show('mass', water.trayG), note: `scale ${water.scale}` });
  const held = water.heldBy === null ? water.phase : `water held: ${water.heldBy}`;
  list.push({ label: 'Dry-back', value: percent(water.dryBackShare), note: held });
  const reservoir = `reservoir ${show('volume', water.reservoirLeftMl)} left`;
  list.push({ label: 'Water today', value: show('volume', water.dayMl), note: reservoir });
  const alarms = status.alarms.map(({ alarm, state }) => `${ADVICE[alarm].title} (${state})`);
  list.push({ label: 'Alarms', value: alarms.length === 0 ? 'none' : alarms.join('; ') });
  return list;
}

export function register(noun: Command, act: Act): void {
  noun.action(
    act(async (context) => {
      const status = await (await context.client()).call('status.read', {});
      return { result: status, text: facts(statusFacts(status, context), context.style) };
    }),
  );
}
