/** A journal entry as a sentence a grower reads. Pure. */
import { ADVICE } from '../../shared/alarms/advice';
import type { AlarmChange } from '../../shared/alarms/catalogue';
import { PROBE_NAMES, PROBES } from '../../shared/board/probes';
import { OUTPUT } from '../../shared/board/words';
import { type JournalEntry, type JournalKind, NO_STAGE } from '../../shared/journal/kinds';
import { onOneLine } from '../../shared/journal/notes';
import { profileIdText } from '../../shared/profile/image';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { differenceText, fineText } from '../calibration/words';
import { measuredText } from '../words/alarm';
import { faultText, outputsText, startText } from '../words/board';
import { capitalised } from '../words/capitalised';
import { CALIBRATED_PROBE, ntcText, PROBE_WORDS } from '../words/probe';

const stageNumber = (stage: number): string => (stage === NO_STAGE ? 'none' : `${stage + 1}`);
const sentence = (text: string): string => `${capitalised(text)}.`;
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

/** Changes in the words of the acts; "returned" would read as "came back". */
const CHANGES: Readonly<Record<AlarmChange, string>> = {
  raised: 'raised',
  accepted: 'seen',
  returned: 'over',
  cleared: 'mended',
  shelved: 'shelved',
  unshelved: 'unshelved',
};

function alarmText(entry: Entry<'alarm'>, units: UnitSystem): string {
  const { alarm, change, forS } = entry;
  const measured = change === 'raised' ? measuredText(entry, units) : '';
  const time = change === 'shelved' ? ` for ${formatQuantity('duration', forS, units)}` : '';
  return `Alarm ${CHANGES[change]}${time}: ${ADVICE[alarm].title}${measured === '' ? '' : ` (${measured})`}.`;
}

function profileText(entry: Entry<'profile'>): string {
  const { action, slot, profileId, stageBefore, stageAfter } = entry;
  const atRest = stageBefore === NO_STAGE && stageAfter === NO_STAGE;
  const stages = `; stage ${stageNumber(stageBefore)} before, ${stageNumber(stageAfter)} now`;
  return `Profile ${profileIdText(profileId)} ${action} (slot ${slot + 1})${atRest ? '' : stages}.`;
}

/** What was calibrated, and what came out. */
function calibrationText(entry: Entry<'calibration'>, units: UnitSystem): string {
  const what = `${entry.restored ? 'older calibration' : 'calibration'} of the`;
  const told = (value: number, text: string): string => (Number.isNaN(value) ? '' : text);
  switch (entry.target) {
    case 'scale': {
      const { countsPerG, uncertaintyG } = entry;
      const uncertainty = told(uncertaintyG, `, uncertain by ${fineText(uncertaintyG, units)}`);
      const span = told(countsPerG, `: ${countsPerG.toFixed(2)} counts/g`);
      return sentence(`${what} scale${span}${uncertainty}`);
    }
    case 'scale-zero':
      return sentence(
        `zero of the scale${told(entry.zeroCode, `: code ${Math.round(entry.zeroCode)}`)}`,
      );
    case 'pump': {
      const { mlPerS, cvPercent } = entry;
      const scatter = told(cvPercent, `, runs scatter by ${cvPercent.toFixed(1)} %`);
      return sentence(`${what} pump${told(mlPerS, `: ${mlPerS.toFixed(3)} ml/s`)}${scatter}`);
    }
    default: {
      const offset = told(entry.offsetK, `: offset ${differenceText(entry.offsetK, units)}`);
      return sentence(`${what} ${CALIBRATED_PROBE[entry.target]}${offset}`);
    }
  }
}

function curveText(entry: Entry<'curve'>): string {
  const is = Number.isNaN(entry.at25Ohm)
    ? 'is the reference one'
    : `is an NTC of ${ntcText(entry)}`;
  return sentence(`told that the ${PROBE_WORDS[entry.probe].probe} ${is}`);
}

function refillText({ volumeMl, feedEc }: Entry<'refill'>, units: UnitSystem): string {
  const volume = Number.isNaN(volumeMl) ? '' : ` to ${formatQuantity('volume', volumeMl, units)}`;
  const ec = Number.isNaN(feedEc) ? '' : ` with feed of ${formatQuantity('ec', feedEc, units)}`;
  return `Reservoir filled${volume}${ec}.`;
}

function readingText(entry: Entry<'reading'> | Entry<'trace'>, units: UnitSystem): string {
  const temperature = (celsius: number) => formatQuantity('temperature', celsius, units);
  const { matDutyShare, trayG, dryBackShare, outputs } = entry;
  const duty = Number.isNaN(matDutyShare) ? '-' : `${(matDutyShare * 100).toFixed(0)} %`;
  // Short enough for one line of a terminal: a night is a hundred of them.
  const parts = [
    ...PROBE_NAMES.map((name) => {
      const on = name === 'mat' ? ` ${duty}` : '';
      return `${PROBE_WORDS[name].short} ${temperature(entry[PROBES[name].celsius])}${on}`;
    }),
    formatQuantity('mass', trayG, units),
    `dry-back ${percent(dryBackShare)}`,
  ];
  // Of the mat its share of the time has been said.
  const now = outputsText(outputs & ~OUTPUT.matOn);
  return sentence(`${parts.join(', ')}${now === '' ? '' : `; ${now}`}`);
}

/** What an entry says, without its time. */
export function describeEntry(entry: JournalEntry, units: UnitSystem): string {
  const mass = (g: number) => formatQuantity('mass', g, units);
  const duration = (s: number) => formatQuantity('duration', s, units);
  switch (entry.kind) {
    case 'boot':
      return `Controller started: ${startText(entry.cause, entry.detail)}.`;
    case 'clock':
      return `Clock set.${entry.outageS > 0 ? ` It had been off for ${duration(entry.outageS)}.` : ''}`;
    case 'reading':
    case 'trace':
      return readingText(entry, units);
    case 'stage':
      return stageText(entry, units);
    case 'mark':
      return sentence(
        `marked ${entry.mark}${Number.isNaN(entry.trayG) ? '' : ` at ${mass(entry.trayG)}`}${entry.pieces > 0 ? `; ${entry.pieces} pieces stay` : ''}`,
      );
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
    case 'curve':
      return curveText(entry);
    case 'profile':
      return profileText(entry);
    case 'refill':
      return refillText(entry, units);
    case 'fault':
      return faultText(entry.code, entry.detail);
    case 'boot-drive':
      return 'Told to show its boot drive, for another image: mat and pump are off until it starts again.';
    case 'note':
      return `Note: "${onOneLine(entry.text)}"${entry.more > 0 ? ', torn off' : ''}.`;
    case 'count':
      return `Counted: ${entry.standing} of ${entry.of} ${entry.standing === 1 ? 'stands' : 'stand'}.`;
  }
}
