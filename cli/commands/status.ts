/** `status`: how the tray stands now. */
import type { Command } from 'commander';
import { ADVICE } from '../../shared/alarms/advice';
import { ALARM_PRIORITY } from '../../shared/alarms/priority';
import type { Status } from '../../shared/link/status';
import { formatQuantity, NO_VALUE, type UnitSystem } from '../../shared/units';
import { typedText } from '../arguments/options';
import { aheadFacts, statusAhead } from '../away/status';
import type { Act, Context } from '../context';
import { storeFolder } from '../journal/places';
import { keptProfiles } from '../journal/profiles';
import { readStore } from '../journal/store';
import { type Fact, facts } from '../terminal/output';
import { stateText } from '../words/alarm';
import { feedAheadText, feedWantedText, reservoirText } from '../words/feed';
import { heldText, isHeldByAlarm } from '../words/held';
import { pumpText } from '../words/pump';
import { scaleText } from '../words/scale';
import { stageNotes } from '../words/stage';

const percent = (share: number | null): string =>
  share === null ? NO_VALUE : `${(share * 100).toFixed(1)} %`;

function quantityIn(context: Context) {
  return (
    kind: 'temperature' | 'mass' | 'volume' | 'duration' | 'ec',
    value: number | null,
  ): string => formatQuantity(kind, value ?? Number.NaN, context.units);
}

type Show = ReturnType<typeof quantityIn>;

function stageFact({ profile, stage }: Status, show: Show, { units }: Context): Fact {
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

function waterFacts(status: Status, show: Show, { units }: Context): Fact[] {
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

/** The status as labelled lines, in the grower's units. */
export function statusFacts(status: Status, context: Context): Fact[] {
  const show = quantityIn(context);
  return [
    { label: 'Profile', value: status.profile?.title ?? 'none loaded yet' },
    stageFact(status, show, context),
    ...heatFacts(status, show),
    ...waterFacts(status, show, context),
    ...outageFacts(status, show),
    ...alarmFacts(status, status.unixMs ?? context.world.now(), show),
  ];
}

/** By the journal that is kept here, where it is fresh: a status never waits for a pull, and never fails for a store. */
function aheadOf(status: Status, boardId: string, store: string, units: UnitSystem) {
  try {
    const profiles = { byId: keptProfiles(store, boardId), activeId: status.profile?.id ?? null };
    return statusAhead(readStore(store, boardId), profiles, status, units);
  } catch {
    return null;
  }
}

export function register(noun: Command, act: Act): void {
  noun.option('--store <folder>', 'where journals are kept').action(
    act({ store: typedText }, async (context, { store }) => {
      const { units, style, world } = context;
      const client = await context.client();
      const status = await client.call('status.read', {});
      const folder = storeFolder(store, world.env);
      const ahead = aheadOf(status, client.hello.boardId, folder, units);
      const nowMs = status.unixMs ?? world.now();
      const told = [
        ...statusFacts(status, context),
        ...(ahead === null ? [] : aheadFacts(ahead, nowMs, units)),
      ];
      return { result: { ...status, ahead }, text: facts(told, style) };
    }),
  );
}
