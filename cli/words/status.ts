/** How a tray stands, as labelled lines. */
import { ADVICE } from '../../shared/alarms/advice';
import { ALARM_PRIORITY } from '../../shared/alarms/priority';
import type { Status } from '../../shared/link/status';
import { formatQuantity, NO_VALUE, type UnitSystem } from '../../shared/units';
import type { Fact } from '../terminal/output';
import { stateText } from './alarm';
import { feedAheadText, feedWantedText, reservoirText } from './feed';
import { heldText, isHeldByAlarm } from './held';
import { pumpText } from './pump';
import { scaleText } from './scale';
import { stageNotes } from './stage';

const percent = (share: number | null): string =>
  share === null ? NO_VALUE : `${(share * 100).toFixed(1)} %`;

function quantityIn(units: UnitSystem) {
  return (
    kind: 'temperature' | 'mass' | 'volume' | 'duration' | 'ec',
    value: number | null,
  ): string => formatQuantity(kind, value ?? Number.NaN, units);
}

type Show = ReturnType<typeof quantityIn>;

function stageFact({ profile, stage }: Status, show: Show, units: UnitSystem): Fact {
  if (stage === null) return { label: 'Stage', value: 'not sown yet' };
  const { index, name, runS } = stage;
  const value = `${name} (${index + 1} of ${profile?.stages ?? '?'}), for ${show('duration', runS)}`;
  return { label: 'Stage', value, note: stageNotes(stage, units) };
}

/** What an alarm holds off must not be overlooked. */
const toneOf = (heldBy: string | null): Pick<Fact, 'tone'> =>
  isHeldByAlarm(heldBy) ? { tone: 'warn' } : {};

function heatFacts({ heat }: Status, show: Show): Fact[] {
  const { lowC, highC, on, heldBy, rootZoneC } = heat;
  const band =
    lowC === null ? '' : `band ${show('temperature', lowC)} to ${show('temperature', highC)}`;
  return [
    { label: 'Root zone', value: show('temperature', rootZoneC), note: band },
    heldBy === null
      ? { label: 'Mat', value: on ? 'on' : 'off' }
      : { label: 'Mat', value: 'held off', note: heldText(heldBy), ...toneOf(heldBy) },
  ];
}

function waterFacts(status: Status, show: Show, units: UnitSystem): Fact[] {
  const { water, uptimeMs } = status;
  const { trayG, scale, dryBackShare, heldBy, phase, dayMl, dayCapMl } = water;
  const ahead = feedAheadText(status, units);
  const grown = water.grownG >= GROWN_SHOWN_G ? [plantsText(water, show)] : [];
  return [
    {
      label: 'Tray',
      value: show('mass', trayG),
      note: `scale ${scaleText(scale, uptimeMs, trayG)}`,
    },
    { label: 'Dry-back', value: percent(dryBackShare), note: grown.join(', ') },
    heldBy === null
      ? { label: 'Watering', value: phase.replaceAll('-', ' '), note: ahead }
      : {
          label: 'Watering',
          value: 'held off',
          note: [heldText(heldBy), ...(ahead === '' ? [] : [ahead])].join('; '),
          ...toneOf(heldBy),
        },
    {
      label: 'Water in 24 h',
      value: show('volume', dayMl),
      note: dayCapMl === null ? '' : `of ${show('volume', dayCapMl)}`,
    },
    reservoirFact(status, units),
    ...pumpFacts(water),
    ...plantsFacts(water, show),
  ];
}

/** What one plant was given; nothing before the first feed. */
function plantsFacts({ eachMl, eachSaltsMg }: Status['water'], show: Show): Fact[] {
  if (eachMl === null || eachSaltsMg === null || eachMl === 0) return [];
  const value = `${show('volume', eachMl)} with ${eachSaltsMg.toFixed(1)} mg of salts`;
  return [
    { label: 'Each plant had', value, note: 'since emergence, besides what it was soaked in' },
  ];
}

/** The pump, once its doses differ enough from its calibration to be worth a word. */
function pumpFacts({ pumpShare, pumpScatter }: Status['water']): Fact[] {
  const value = pumpText(pumpShare, pumpScatter);
  return value === null ? [] : [{ label: 'Pump', value }];
}

/** Plants lighter than this hide no dry-back worth telling. */
const GROWN_SHOWN_G = 5;

/** What the plants hide of the dry-back, and how sure that is. */
function plantsText({ grownG, grownOffG, readDryBackShare }: Status['water'], show: Show): string {
  const gained =
    grownOffG < grownG
      ? `${show('mass', grownG)} give or take ${show('mass', grownOffG)}`
      : `perhaps ${show('mass', grownG)}, at most ${show('mass', grownG + grownOffG)}`;
  return `the scale alone says ${percent(readDryBackShare)}, the plants have gained ${gained}`;
}

/** The reservoir beside what the stage wants of it. */
function reservoirFact(status: Status, units: UnitSystem): Fact {
  const isTold = status.water.reservoirLeftMl !== null;
  const doubted = isTold && status.alarms.some(({ alarm }) => alarm === 'dose-not-seen');
  const notes = [
    isTold ? '' : '`trayward mark refilled`',
    // It is an account of doses, and the last one did not come.
    doubted ? 'by account: look whether it is so' : '',
    feedWantedText(status, units),
  ];
  return {
    label: 'Reservoir',
    value: reservoirText(status, units),
    note: notes.filter((note) => note !== '').join('; '),
  };
}

/** A power cut that a grower should know of: one that has left its mark on the root zone, or was long. */
function outageFacts({ outage }: Status, show: Show): Fact[] {
  if (outage === null || outage.forS < OUTAGE_SHOWN_S || outage.agoS > OUTAGE_FORGOTTEN_S)
    return [];
  const { forS, agoS, beforeC, afterC } = outage;
  const cooled = `root zone ${show('temperature', beforeC)} before, ${show('temperature', afterC)} after`;
  return [
    {
      label: 'Power was out',
      value: `for ${show('duration', forS)}`,
      note: `until ${show('duration', agoS)} ago, ${cooled}`,
      tone: 'warn',
    },
  ];
}
const OUTAGE_SHOWN_S = 10 * 60;
const OUTAGE_FORGOTTEN_S = 2 * 86_400;

/** One line for each alarm that stands; `nowMs`, Unix ms, gives their times of day. */
function alarmFacts({ alarms }: Status, nowMs: number, show: Show): Fact[] {
  if (alarms.length === 0) return [{ label: 'Alarms', value: 'none' }];
  return alarms.map((report, i) => {
    const { alarm, shelvedS } = report;
    const shelved = shelvedS > 0 ? `; shelved for ${show('duration', shelvedS)} more` : '';
    return {
      label: i === 0 ? 'Alarms' : '',
      value: ADVICE[alarm].title,
      tone: ALARM_PRIORITY[alarm] === 'high' ? 'bad' : 'warn',
      note: stateText(report, nowMs) + shelved,
    };
  });
}

/** The tray as labelled lines, in the grower's units: all but its alarms. */
export function trayFacts(status: Status, units: UnitSystem): Fact[] {
  const show = quantityIn(units);
  return [
    { label: 'Profile', value: status.profile?.title ?? 'none loaded yet' },
    stageFact(status, show, units),
    ...heatFacts(status, show),
    ...waterFacts(status, show, units),
    ...outageFacts(status, show),
  ];
}

/** The same with its alarms. `nowMs`, Unix ms, counts where its own clock was never set. */
export const statusFacts = (status: Status, units: UnitSystem, nowMs: number): Fact[] => [
  ...trayFacts(status, units),
  ...alarmFacts(status, status.unixMs ?? nowMs, quantityIn(units)),
];
