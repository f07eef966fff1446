/** A journal entry as a sentence a grower reads. Pure. */
import { ADVICE } from '../../shared/alarms/advice';
import type { JournalEntry } from '../../shared/journal/kinds';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { measuredText } from '../alarm-words';

const NO_STAGE = 255;
/** Order of `RESET_CAUSES` on the board, in a grower's words. */
const BOOT_CAUSES = [
  'power came on',
  'restarted on request',
  'restarted by the watchdog',
  'restarted after low supply voltage',
  'restarted after a fault',
  'restarted after an error in the program',
  'restarted after an abort of the engine',
] as const;

const stageText = (stage: number): string => (stage === NO_STAGE ? 'none' : `${stage + 1}`);
const percent = (share: number): string =>
  Number.isNaN(share) ? '-' : `${(share * 100).toFixed(1)} %`;

/** What an entry says, without its time. */
export function describeEntry(entry: JournalEntry, units: UnitSystem): string {
  const temperature = (celsius: number) => formatQuantity('temperature', celsius, units);
  const mass = (g: number) => formatQuantity('mass', g, units);
  const volume = (ml: number) => formatQuantity('volume', ml, units);
  const duration = (s: number) => formatQuantity('duration', s, units);
  switch (entry.kind) {
    case 'boot':
      return `Controller started: ${BOOT_CAUSES[entry.cause] ?? 'unknown cause'}${entry.detail === 0 ? '' : ` (${entry.detail})`}.`;
    case 'clock':
      return `Clock set.${entry.outageS > 0 ? ` It had been off for ${duration(entry.outageS)}.` : ''}`;
    case 'reading':
    case 'trace':
      return `Root zone ${temperature(entry.rootZoneC)}, mat ${temperature(entry.matC)} (on ${percent(entry.matDutyShare)}), tray ${mass(entry.trayG)}, dry-back ${percent(entry.dryBackShare)}.`;
    case 'stage':
      return `Stage ${stageText(entry.from)} to ${stageText(entry.to)} (${entry.reason}) after ${duration(entry.ranS)} and ${volume(entry.waterMl)} of water.`;
    case 'mark':
      return `Marked ${entry.mark}${Number.isNaN(entry.trayG) ? '' : ` at ${mass(entry.trayG)}`}.`;
    case 'dose': {
      const gain = Number.isNaN(entry.gainedG)
        ? 'not weighed'
        : `tray gained ${mass(entry.gainedG)}`;
      return `Dose of ${volume(entry.plannedMl)} (${entry.reason}): ${entry.verdict}, ${gain}.`;
    }
    case 'alarm': {
      const measured = measuredText(entry.alarm, entry.value, units);
      const detail = entry.change === 'raised' ? measured : '';
      const time = entry.change === 'shelved' ? ` for ${duration(entry.forS)}` : '';
      return `Alarm ${entry.change}${time}: ${ADVICE[entry.alarm].title}${detail === '' ? '' : ` (${detail})`}.`;
    }
    case 'handling':
      return entry.over
        ? `Tray quiet again at ${mass(entry.afterG)}, before ${mass(entry.beforeG)}.`
        : `A hand on the tray: ${mass(entry.beforeG)} became ${mass(entry.afterG)}.`;
    case 'capacity':
      return `Container capacity ${mass(entry.capacityG)}, dry ${mass(entry.dryG)} (${entry.dryWeighed ? 'weighed' : 'reckoned'}).`;
    case 'calibration':
      return `Calibration of ${entry.target}${entry.restored ? ' restored' : ''}.`;
    case 'profile':
      return `Profile ${entry.action} in slot ${entry.slot + 1}: stage ${stageText(entry.stageBefore)} to ${stageText(entry.stageAfter)}.`;
    case 'fault':
      return `Fault ${entry.code} (${entry.detail}) in the firmware.`;
    case 'gap':
      return `${entry.lost} entries are missing here.`;
  }
}
