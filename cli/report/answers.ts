/** The first screen: what happened, how bad for the plants, what to do, can I leave again. Pure. */
import { ADVICE, nextSteps } from '../../shared/alarms/advice';
import { ALARM_PRIORITY } from '../../shared/alarms/priority';
import { type Stage, waters } from '../../shared/profile/profile';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import type { Account, ToldFinding, ToldIncident } from '../explain/account';
import type { AlarmSpan } from '../explain/alarm-spans';
import { isNotice } from '../explain/other-alarms';
import { between, firstAt, type Record } from '../explain/record';
import type { Stand } from '../explain/stand';
import { headline } from '../explain/text';
import { keptOffText } from '../words/alarm';
import { capitalised } from '../words/capitalised';
import { lidText } from '../words/lid';
import { percent } from '../words/percent';
import { heldOf } from './heat';
import type { Answers, Leave, Line } from './model';
import { alarmId, incidentId } from './plot/of-stand';
import { givenOf, type Reservoir, reservoirAt } from './water';

export interface Asked {
  readonly fromMs: number;
  readonly toMs: number;
  /** Now, on the same line of time. */
  readonly nowMs: number;
  readonly units: UnitSystem;
  /** The journal tells of a time after this one. */
  readonly goesOn: boolean;
}

/** A first screen has room for so many of each. */
const LINES_MOST = 5;
/** A journal that ends so long before now says little of now. */
const FRESH_MS = 60 * 60_000;
/** Who leaves wants the reservoir to last at least so long, d. */
const RESERVOIR_DAYS = 2;

const plain = (says: string): Line => ({ says, id: null });

export function answersOf(stand: Stand, account: Account, asked: Asked): Answers {
  const standing = stand.spans.filter(
    (span) => span.standing && span.fromMs <= asked.toMs && span.toMs >= asked.toMs,
  );
  return {
    happened: happened(account),
    plants: plantsLines(stand, account, asked),
    next: nextLines(stand, account, standing, asked),
    ...leaveOf(stand, account, standing, asked),
  };
}

function happened({ incidents, quiet, quietText }: Account): readonly Line[] {
  if (quiet.readings === 0 && incidents.length === 0)
    return [plain('The journal has no readings of this time.')];
  if (incidents.length === 0)
    return [
      plain('Nothing went wrong, as far as the journal tells.'),
      plain(`${capitalised(quietText)}.`),
    ];
  const told = incidents.slice(0, LINES_MOST).map(
    (incident, i): Line => ({
      says: `${headline(incident)}, ${incident.when}${incident.open ? '' : '; over'}.`,
      id: incidentId(i + 1),
    }),
  );
  const more = incidents.length - LINES_MOST;
  return more > 0 ? [...told, { says: `And ${more} more.`, id: 'incidents' }] : told;
}

/** What it meant for the crop, the gravest first, then how it was held on the whole. */
function plantsLines(stand: Stand, { incidents }: Account, asked: Asked): readonly Line[] {
  const found = incidents.flatMap(({ findings }, i) =>
    findings.map((finding) => ({ finding, id: incidentId(i + 1) })),
  );
  const meant = [...found]
    .sort((a, b) => graveness(a.finding) - graveness(b.finding))
    .flatMap(({ finding: { crop }, id }) =>
      crop.map(({ says }): Line => ({ says: `${capitalised(says)}.`, id })),
    );
  const told = meant.filter(({ says }, i) => meant.findIndex((one) => one.says === says) === i);
  const worst =
    told.length > 0
      ? told.slice(0, LINES_MOST)
      : [plain('Nothing in the journal says that they suffered.')];
  return [...worst, ...heldLines(stand, asked), ...fedLines(stand, asked)];
}

/** Wool that goes dry kills within a day, heat or cold only sets back: 0 is told first. */
const graveness = ({ kind }: ToldFinding): number => (kind === 'dry' ? 0 : 1);

function heldLines({ record }: Stand, { fromMs, toMs, units }: Asked): readonly Line[] {
  const { inBandShare, coldestC, warmestC, longestOutMs } = heldOf(record, fromMs, toMs);
  if (!Number.isFinite(inBandShare)) return [];
  const temperature = (c: number): string => formatQuantity('temperature', c, units);
  const out =
    longestOutMs > 0
      ? ` The longest time outside was ${formatQuantity('duration', longestOutMs / 1000, units)}.`
      : '';
  return [
    plain(
      `Root zone ${temperature(coldestC)} to ${temperature(warmestC)}, in its band ${percent(inBandShare)} of the time.${out}`,
    ),
  ];
}

function fedLines({ record }: Stand, { fromMs, toMs, units }: Asked): readonly Line[] {
  const started = between(givenOf(record), fromMs, toMs);
  if (started.length === 0) return [plain('The controller gave no water in this time.')];
  const given = started.filter(({ ml }) => ml > 0);
  if (given.length === 0) return [plain('No dose reached the tray in this time.')];
  const eachMl = given.reduce((sum, one) => sum + one.eachMl, 0);
  const eachMg = given.reduce((sum, one) => sum + one.eachSaltsMg, 0);
  const count = given.length === 1 ? '1 dose' : `${given.length} doses`;
  const each = Number.isFinite(eachMl)
    ? `: ${formatQuantity('volume', eachMl, units)} for each plant${Number.isFinite(eachMg) ? `, with ${eachMg.toFixed(0)} mg of salts` : ''}`
    : '';
  return [plain(`Fed by ${count}${each}.`)];
}

function nextLines(
  stand: Stand,
  { incidents }: Account,
  standing: readonly AlarmSpan[],
  asked: Asked,
): readonly Line[] {
  const ofIncidents = incidents.flatMap((incident, i) =>
    stepsOf(incident).map((says): Line => ({ says, id: incidentId(i + 1) })),
  );
  // All other alarms that stand are told by an incident, with its own steps.
  const ofAlarms = standing
    .filter(isNotice)
    .flatMap(({ alarm }) => nextSteps(alarm).map((says): Line => ({ says, id: alarmId(alarm) })));
  const all = [...ofIncidents, ...ofAlarms];
  const steps = all.filter(({ says }, i) => all.findIndex((one) => one.says === says) === i);
  const shown = steps.slice(0, STEPS_MOST);
  const more = steps.length - shown.length;
  return [
    ...(steps.length === 0 ? [plain('Nothing in the journal waits for you.')] : shown),
    ...(more > 0 ? [{ says: `And ${more} more steps, below.`, id: 'incidents' }] : []),
    ...stageLines(stand, asked),
  ];
}
const STEPS_MOST = 8;

const stepsOf = ({ next }: ToldIncident): readonly string[] => next;

const stageAt = (record: Record, atMs: number): Stage | null =>
  record.readings[firstAt(record.readings, atMs + 1) - 1]?.stage ?? null;

/** What the stage wants of the grower. */
function stageLines({ record }: Stand, { toMs }: Asked): readonly Line[] {
  const stage = stageAt(record, toMs);
  if (stage === null) return [];
  const mark = stage.end.mark === null ? '' : ` It ends when you mark ${stage.end.mark}.`;
  return [
    plain(
      `The last stage here, ${stage.name}, wants the lid ${lidText(stage.lid)}; the controller cannot see it.${mark}`,
    ),
  ];
}

type Leaving = Pick<Answers, 'leave' | 'leaveWhy'>;

/** What speaks against leaving, the gravest first. */
function leaveOf(
  { record }: Stand,
  { incidents }: Account,
  standing: readonly AlarmSpan[],
  asked: Asked,
): Leaving {
  const against = [
    ...standing.map(({ alarm }): Line & { grave: boolean } => {
      const kept = keptOffText(alarm);
      return {
        says: `${ADVICE[alarm].title}${kept === '' ? '' : `: ${kept} held off`}.`,
        id: alarmId(alarm),
        grave: kept !== '' || ALARM_PRIORITY[alarm] === 'high',
      };
    }),
    ...incidents.flatMap((incident, i) =>
      incident.open
        ? [{ says: `${headline(incident)}: not over.`, id: incidentId(i + 1), grave: true }]
        : [],
    ),
  ].sort((a, b) => Number(b.grave) - Number(a.grave));
  const reservoir = reservoirAt(record, asked.toMs);
  const doubted = standing.some(({ alarm }) => alarm === 'dose-not-seen');
  const stored = reservoirLine(reservoir, doubted, asked.units);
  const stale = asked.goesOn || asked.nowMs - record.toMs > FRESH_MS;
  const isLow =
    reservoir === null
      ? waters(stageAt(record, asked.toMs))
      : reservoir.days !== null && reservoir.days < RESERVOIR_DAYS;
  const leave: Leave = against.some(({ grave }) => grave)
    ? 'not-yet'
    : against.length > 0 || isLow || stale || record.readings.length === 0
      ? 'look-first'
      : 'nothing-against';
  return {
    leave,
    leaveWhy: [
      ...against.map(({ says, id }) => ({ says, id })).slice(0, LINES_MOST),
      stored,
      ...(stale
        ? [
            plain(
              asked.goesOn
                ? 'This is how it stood then: the journal goes on after it.'
                : 'The journal ends well before now: look at `trayward status` first.',
            ),
          ]
        : []),
      plain('What the room, the lid and the mains will do, no journal knows.'),
    ],
  };
}

function reservoirLine(reservoir: Reservoir | null, doubted: boolean, units: UnitSystem): Line {
  if (reservoir === null)
    return plain('Nobody has told what is in the reservoir: `trayward mark refilled`.');
  const left = formatQuantity('volume', reservoir.leftMl, units);
  // It is an account of doses, and the last one did not come.
  if (doubted)
    return plain(
      `By account of doses ${left} are left in the reservoir, but the last one did not come: look whether it is so.`,
    );
  const lasts =
    reservoir.days === null
      ? 'How long it lasts does not show in the last three days, without a dose for what had dried: `trayward away` reckons it.'
      : `At the pace of the last three days it lasts ${daysText(reservoir.days)}; larger plants take more.`;
  return plain(`By account of doses ${left} are left in the reservoir. ${lasts}`);
}

const daysText = (days: number): string =>
  days < 1 ? 'less than a day' : days > 30 ? 'more than a month' : `about ${Math.floor(days)} d`;
