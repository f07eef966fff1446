/** A journal entry as a sentence a grower reads. Pure. */
import { ADVICE } from '../../shared/alarms/advice';
import { type JournalEntry, type JournalKind, NO_STAGE } from '../../shared/journal/kinds';
import { profileIdText } from '../../shared/profile/image';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { differenceText, fineText } from '../calibration/words';
import { measuredText } from '../words/alarm';

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

const stageNumber = (stage: number): string => (stage === NO_STAGE ? 'none' : `${stage + 1}`);
const sentence = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
const percent = (share: number): string =>
  Number.isNaN(share) ? '-' : `${(share * 100).toFixed(1)} %`;

type Entry<Kind extends JournalKind> = Extract<JournalEntry, { readonly kind: Kind }>;

function stageText({ from, to, reason, ranS, waterMl }: Entry<'stage'>, units: UnitSystem): string {
  const begun = `stage ${stageNumber(to)} began (${reason.replaceAll('-', ' ')})`;
  if (from === NO_STAGE) return sentence(begun);
  const ran = formatQuantity('duration', ranS, units);
  const water = formatQuantity('volume', waterMl, units);
  return sentence(`stage ${stageNumber(from)} ended after ${ran} and ${water} of water; ${begun}`);
}

function doseText(entry: Entry<'dose'>, units: UnitSystem): string {
  const { reason, verdict, ranMs, plannedMl, gainedG } = entry;
  // Priming and calibrating are measured in time: their volume is what is being found out.
  if (reason === 'prime' || reason === 'calibrate') {
    return `Pump run by hand (${reason}) for ${(ranMs / 1000).toFixed(1)} s.`;
  }
  const gain = Number.isNaN(gainedG)
    ? 'not weighed'
    : `tray gained ${formatQuantity('mass', gainedG, units)}`;
  const planned = formatQuantity('volume', plannedMl, units);
  return `Dose of ${planned} (${reason}): ${verdict.replaceAll('-', ' ')}, ${gain}.`;
}

function alarmText(entry: Entry<'alarm'>, units: UnitSystem): string {
  const { alarm, change, forS } = entry;
  const measured = change === 'raised' ? measuredText(entry, units) : '';
  const time = change === 'shelved' ? ` for ${formatQuantity('duration', forS, units)}` : '';
  return `Alarm ${change}${time}: ${ADVICE[alarm].title}${measured === '' ? '' : ` (${measured})`}.`;
}

function profileText(entry: Entry<'profile'>): string {
  const { action, slot, profileId, stageBefore, stageAfter } = entry;
  const atRest = stageBefore === NO_STAGE && stageAfter === NO_STAGE;
  const stages = `; stage ${stageNumber(stageBefore)} before, ${stageNumber(stageAfter)} now`;
  return `Profile ${profileIdText(profileId)} ${action} (slot ${slot + 1})${atRest ? '' : stages}.`;
}

/** What was calibrated, and what came out; see `JournalBody` for what a, b and c are. */
function calibrationText(entry: Entry<'calibration'>, units: UnitSystem): string {
  const { target, restored, a, b, c } = entry;
  const what = `${restored ? 'older calibration' : 'calibration'} of the`;
  const told = (value: number, text: string): string => (Number.isNaN(value) ? '' : text);
  switch (target) {
    case 'scale': {
      const uncertainty = told(c, `, uncertain by ${fineText(c, units)}`);
      return sentence(`${what} scale${told(b, `: ${b.toFixed(2)} counts/g`)}${uncertainty}`);
    }
    case 'scale-zero':
      return sentence(`zero of the scale${told(a, `: code ${Math.round(a)}`)}`);
    case 'probe':
      return sentence(`${what} root-zone probe${told(a, `: offset ${differenceText(a, units)}`)}`);
    case 'mat-probe':
      return sentence(`${what} mat probe${told(a, `: offset ${differenceText(a, units)}`)}`);
    case 'pump': {
      const scatter = told(b, `, runs scatter by ${b.toFixed(1)} %`);
      return sentence(`${what} pump${told(a, `: ${a.toFixed(3)} ml/s`)}${scatter}`);
    }
  }
}

/** What an entry says, without its time. */
export function describeEntry(entry: JournalEntry, units: UnitSystem): string {
  const temperature = (celsius: number) => formatQuantity('temperature', celsius, units);
  const mass = (g: number) => formatQuantity('mass', g, units);
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
      return stageText(entry, units);
    case 'mark':
      return `Marked ${entry.mark}${Number.isNaN(entry.trayG) ? '' : ` at ${mass(entry.trayG)}`}.`;
    case 'dose':
      return doseText(entry, units);
    case 'alarm':
      return alarmText(entry, units);
    case 'handling':
      return entry.over
        ? `Tray quiet again at ${mass(entry.afterG)}, before ${mass(entry.beforeG)}.`
        : `A hand on the tray: ${mass(entry.beforeG)} became ${mass(entry.afterG)}.`;
    case 'capacity':
      return `Container capacity ${mass(entry.capacityG)}, dry ${mass(entry.dryG)} (${entry.dryWeighed ? 'weighed' : 'reckoned'}).`;
    case 'calibration':
      return calibrationText(entry, units);
    case 'profile':
      return profileText(entry);
    case 'fault':
      return `Fault ${entry.code} (${entry.detail}) in the firmware.`;
    case 'gap':
      return `${entry.lost} entries are missing here.`;
  }
}
